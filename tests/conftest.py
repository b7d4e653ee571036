"""A session with a skipped test fails: what was not tried must not look like what passed.

An expected failure counts too, since it hides a defect just as well. Where several processes
share the tests (pytest-xdist), the first one reports for all.
"""

from typing import Any

import pytest

SHARE = "skipped-files"
"""Under this key a process that runs some of the tests tells which files skipped themselves."""


class SkippedTests:
    """Collects what was skipped, and turns a good exit code into a bad one."""

    def __init__(self, config: pytest.Config) -> None:
        self.names: list[str] = []
        self._told: dict[str, Any] | None = getattr(config, "workeroutput", None)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note a test that was skipped, or failed as expected."""
        if report.skipped:
            self._note(report.nodeid)

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        """Note a file that skipped itself."""
        if report.skipped:
            self._note(report.nodeid)
            if self._told is not None:
                self._told.setdefault(SHARE, []).append(report.nodeid)

    @pytest.hookimpl(optionalhook=True)
    def pytest_testnodedown(self, node: Any) -> None:  # noqa: ANN401 - pytest-xdist's own
        """Note the files that skipped themselves in another process: all of them saw each."""
        for name in getattr(node, "workeroutput", {}).get(SHARE, []):
            self._note(name)

    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        """Fail the session."""
        if self.names and session.exitstatus == pytest.ExitCode.OK:
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        """Say why the session failed."""
        for name in self.names:
            terminalreporter.write_line(f"skipped, which counts as failed: {name}", red=True)

    def _note(self, name: str) -> None:
        if name not in self.names:
            self.names.append(name)


def pytest_configure(config: pytest.Config) -> None:
    """Register the collector of skipped tests."""
    config.pluginmanager.register(SkippedTests(config), "skipped-tests")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Run the browser's tests last: its event loop goes on in this thread until the end."""
    items.sort(key=lambda item: "browser" in item.path.parts)
