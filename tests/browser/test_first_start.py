"""From an empty workshop to an open lot, by nothing but what the screen says.

Two minutes are our own bound, no source; the steps are a person's, without her reading.
"""

import re
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from empty_workshop import empty_workshop
from playwright.sync_api import Locator, Page, expect

MOST_S = 120.0
PATIENCE_MS = 30_000


@dataclass
class Newcomer:
    """Somebody who has never seen the screens: she presses what they name, step by step."""

    page: Page
    began_s: float = field(default_factory=time.monotonic)
    steps: int = 0

    def press(self, what: Locator) -> None:
        what.click(timeout=PATIENCE_MS)
        self.steps += 1

    @property
    def seconds(self) -> float:
        return time.monotonic() - self.began_s


@pytest.fixture(scope="module")
def empty_url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a workshop that has instruments, and neither recipe nor lot."""
    folder: Path = tmp_path_factory.mktemp("empty")
    with empty_workshop(folder / "data") as url:
        yield url


def test_a_newcomer_has_her_first_lot_open_in_under_two_minutes(
    page: Page, empty_url: str, accessibility_trouble: Callable[[Page], list[str]]
) -> None:
    page.goto(empty_url)
    guide = page.get_by_role("region", name="Three steps to your first lot")
    expect(guide.get_by_text("pot · reading")).to_be_visible(timeout=PATIENCE_MS)
    expect(guide.locator(".found strong").first).to_have_text(re.compile(r"\d\s*(g|°C)"))
    assert accessibility_trouble(page) == []

    she = Newcomer(page)
    she.press(guide.get_by_role("link", name="Start from an example"))
    she.press(page.get_by_label(re.compile("I have checked these against my suppliers")))
    she.press(page.get_by_role("button", name="Use these values"))
    she.press(page.get_by_role("link", name="Open a lot of it at the bench"))
    she.press(guide.get_by_role("button", name="Open the lot", exact=True))
    expect(page.get_by_text(re.compile(r"Draw \d+\.\d\sg of wax"))).to_be_visible(
        timeout=PATIENCE_MS
    )
    seconds = she.seconds
    sys.stdout.write(f"first lot open after {she.steps} steps and {seconds:.1f} s\n")

    temperature = page.get_by_label("Temperature", exact=True).locator(".figure-value")
    expect(temperature).to_have_text(re.compile(r"\d+\.\d\s*°C"))
    (lot,) = page.request.get(f"{empty_url}/api/lots").json()
    assert (lot["state"], lot["vessels"]) == ("open", 12)
    assert seconds < MOST_S


def test_the_simulated_maker_pours_what_was_opened(page: Page, empty_url: str) -> None:
    """She draws wax into the pitcher: the bench sees it on the scale."""
    page.goto(empty_url)
    (lot,) = page.request.get(f"{empty_url}/api/lots").json()
    deadline = time.monotonic() + 60
    weighings: list[dict[str, object]] = []
    while not weighings and time.monotonic() < deadline:
        weighings = page.request.get(f"{empty_url}/api/lots/{lot['id']}").json()["weighings"]
        page.wait_for_timeout(500)
    assert [each["kind"] for each in weighings][:1] == ["wax"]
