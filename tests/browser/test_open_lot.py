"""Opening a lot of the pour day, in a real browser, at an idle bench.

6 vessels of 120 g and 12 g of residue are 732 g of mix, 677.8 g of wax at 8 % of the wax; the 2
of the other lot 252 g and 233.3 g.
"""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from idle_workshop import idle_workshop
from playwright.sync_api import Page, expect

FIG: dict[str, Any] = {
    "name": "Salted fig",
    "vessel": {"fill": "120 g", "tolerance": "2 g"},
    "pitcher": {"capacity": "800 g", "residue": "12 g"},
    "wax": {"name": "coconut"},
    "fragrance": {"name": "fig", "load": "8 %", "load_of": "wax"},
}
TIDE = {**FIG, "name": "Tiny tide"}
DAY = {
    "lots": [{"recipe": TIDE["name"], "vessels": 6}, {"recipe": FIG["name"], "vessels": 2}],
    "melted": "900 g",
    "residue": "40 g",
}


@pytest.fixture(scope="module")
def idle_url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a workshop whose bench is idle."""
    with idle_workshop(tmp_path_factory.mktemp("idle")) as url:
        yield url


@pytest.fixture
def bench(page: Page, idle_url: str) -> Page:
    """The page of an idle bench, with a pour day whose two lots wait."""
    for recipe in (FIG, TIDE):
        assert page.request.post(f"{idle_url}/api/recipes", data=recipe).ok
    for lot in page.request.get(f"{idle_url}/api/lots").json():
        page.request.post(f"{idle_url}/api/lots/{lot['id']}/close")
    assert page.request.post(f"{idle_url}/api/pour-days", data=DAY).ok
    page.goto(f"{idle_url}/")
    expect(page.get_by_label("Lot of the pour day")).to_be_visible()
    return page


def newest_lot(page: Page, url: str) -> dict[str, Any]:
    """The lot that was opened last."""
    lot, *_ = page.request.get(f"{url}/api/lots").json()
    shown: dict[str, Any] = page.request.get(f"{url}/api/lots/{lot['id']}").json()
    return shown


def test_the_next_lot_of_the_day_is_offered_with_what_the_pot_holds(
    bench: Page, idle_url: str, accessibility_trouble: Callable[[Page], list[str]]
) -> None:
    day = bench.get_by_label("Lot of the pour day")
    expect(day.locator("option:checked")).to_have_text("Tiny tide, 6 vessels")
    expect(bench.get_by_text("The pot holds 51.1 g less than the rest of the day")).to_be_visible()
    assert accessibility_trouble(bench) == []
    bench.get_by_role("button", name="Open the lot", exact=True).click()
    expect(bench.get_by_text("Draw 677.8 g of wax into the pitcher")).to_be_visible()
    pot = newest_lot(bench, idle_url)["batch_sheet"]["pot"]
    assert (pot["left"], pot["needed"], pot["enough"]) == (900.0, 911.111, False)


def test_a_lot_that_is_not_of_the_day_can_be_opened_too(bench: Page, idle_url: str) -> None:
    bench.get_by_label("Lot of the pour day").select_option("Another lot, not of this day")
    bench.get_by_label("Recipe").select_option(str(FIG["name"]))
    bench.get_by_role("button", name="Open the lot", exact=True).click()
    expect(bench.get_by_text("12 vessels")).to_be_visible()
    lot = newest_lot(bench, idle_url)
    assert lot["recipe"]["name"] == FIG["name"]
    assert lot["batch_sheet"]["pot"] is None
