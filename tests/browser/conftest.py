"""A real browser for the screens, and a simulated day for it to look at."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from demo_day import demo_day
from launch import LAUNCH
from playwright.sync_api import Page

from dashboards import dist_dir

AXE = dist_dir().parent / "node_modules" / "axe-core" / "axe.min.js"


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    """Drive the system's Chromium."""
    return {**browser_type_launch_args, **LAUNCH}


@pytest.fixture(scope="session")
def base_url() -> None:
    """No address for all: every browser context asks for it, and a day would begin too early."""


@pytest.fixture(scope="session")
def day_url() -> Iterator[str]:
    """The address of a simulated day with an open lot and an alarm.

    The alarm lasts for a minute of life: the day begins with the first test that asks for it.
    """
    with demo_day(speed=20) as url:
        yield url


@pytest.fixture(scope="module")
def fresh_day() -> Iterator[str]:
    """The address of a simulated day of its own, for tests that change what it holds.

    It is slow enough that its first alarm lasts for a minute of life.
    """
    with demo_day(speed=15) as url:
        yield url


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
