"""A session with a skipped test fails: what was not tried must not look like what passed.

An expected failure counts too, since it hides a defect just as well.
"""

import pytest


class SkippedTests:
    """Collects what was skipped, and turns a good exit code into a bad one."""

    def __init__(self) -> None:
        self.names: list[str] = []

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note a test that was skipped, or failed as expected."""
        if report.skipped:
            self.names.append(report.nodeid)

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        """Note a file that skipped itself."""
        if report.skipped:
            self.names.append(report.nodeid)

    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        """Fail the session."""
        if self.names and session.exitstatus == pytest.ExitCode.OK:
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        """Say why the session failed."""
        for name in self.names:
            terminalreporter.write_line(f"skipped, which counts as failed: {name}", red=True)


def pytest_configure(config: pytest.Config) -> None:
    """Register the collector of skipped tests."""
    config.pluginmanager.register(SkippedTests(), "skipped-tests")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Run the browser's tests last: its event loop goes on in this thread until the end."""
    items.sort(key=lambda item: "browser" in item.path.parts)
