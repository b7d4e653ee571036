"""A real browser for the screens. Where the service comes from is the fixture `base_url`."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

from dashboards import dist_dir

CHROMIUM = "/usr/bin/chromium"
AXE = dist_dir().parent / "node_modules" / "axe-core" / "axe.min.js"


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    """Drive the system's Chromium, which works in a container and calls nobody."""
    return {
        **browser_type_launch_args,
        "executable_path": CHROMIUM,
        "args": [
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
        ],
    }


@pytest.fixture(scope="session")
def axe_source() -> str:
    """The text of axe-core, which the front end's development packages bring."""
    return AXE.read_text(encoding="utf-8")


@pytest.fixture
def accessibility_trouble(axe_source: str) -> Callable[[Page], list[str]]:
    """Return a function that runs every rule of axe on a page and gives what it found."""

    def find(page: Page) -> list[str]:
        page.evaluate(axe_source)
        violations = page.evaluate("axe.run(document).then((result) => result.violations)")
        return [
            f"{violation['id']}: {node['html']} {node['failureSummary']}"
            for violation in violations
            for node in violation["nodes"]
        ]

    return find
