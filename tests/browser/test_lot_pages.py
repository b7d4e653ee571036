"""The list of lots and the page of a lot in a real browser, on a service with an open lot."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

WIDTHS = [390, 820, 1440]


@pytest.fixture
def lots(page: Page, day_url: str) -> Page:
    page.goto(f"{day_url}/lots")
    expect(page.get_by_role("heading", name="Lots")).to_be_visible()
    expect(page.locator(".lots a").first).to_be_visible()
    return page


@pytest.fixture
def lot(lots: Page) -> Page:
    lots.locator(".lots a").first.click()
    expect(lots.get_by_role("heading", level=1)).to_contain_text("Lot ")
    return lots


def test_the_list_says_what_the_service_says(lots: Page, day_url: str) -> None:
    entries = lots.request.get(f"{day_url}/api/lots").json()
    links = lots.locator(".lots a")
    expect(links).to_have_count(len(entries))
    for place, entry in enumerate(entries):
        expect(links.nth(place)).to_contain_text(entry["recipe"])
        expect(links.nth(place)).to_contain_text(entry["state"])


def test_a_lot_can_be_opened_by_its_own_address(lot: Page) -> None:
    named = re.compile(r"^Lot \S+: \S")  # its recipe too, which comes a moment after its name
    expect(lot.get_by_role("heading", level=1)).to_have_text(named)
    title = lot.get_by_role("heading", level=1).inner_text()
    assert re.search(r"/lots/[^/]+$", lot.url)
    lot.reload()
    expect(lot.get_by_role("heading", level=1)).to_have_text(title)
    lot.go_back()
    expect(lot.get_by_role("heading", name="Lots")).to_be_visible()


def test_back_leads_to_the_place_that_was_left(lot: Page) -> None:
    batch_sheet = lot.get_by_role("region", name="Batch sheet")
    batch_sheet.scroll_into_view_if_needed()
    left = lot.evaluate("scrollY")
    assert left > 500
    lot.evaluate("document.querySelector('a[href=\"/lots\"]').click()")  # where the page stands
    expect(lot.get_by_role("heading", name="Lots")).to_be_visible()
    assert lot.evaluate("scrollY") == 0
    lot.go_back()
    expect(batch_sheet).to_be_in_viewport()
    lot.reload()
    expect(batch_sheet).to_be_in_viewport()


def test_the_verdict_counts_the_deviations_that_are_listed(lot: Page) -> None:
    expect(lot.locator(".verdict")).to_be_visible()
    # Both at once: in an open lot a deviation may come between two questions.
    verdict, listed = lot.evaluate(
        "[document.querySelector('.verdict').innerText,"
        " document.querySelectorAll('.deviations li').length]"
    )
    expected = "No deviations" if listed == 0 else f"{listed} deviation"
    assert expected in verdict


def test_both_charts_are_drawn_and_named(lot: Page) -> None:
    charts = lot.get_by_role("region", name="The curve").get_by_role("img")
    expect(charts).to_have_count(2)
    expect(lot.locator("canvas")).to_have_count(2)
    for chart in charts.all():
        expect(chart).to_have_attribute("aria-label", re.compile(".+: .+"))


def test_an_unknown_lot_is_said_to_be_unknown(page: Page, day_url: str) -> None:
    page.goto(f"{day_url}/lots/no-such-lot")
    expect(page.get_by_text("There is no such lot.")).to_be_visible()


@pytest.mark.parametrize("width", WIDTHS)
def test_the_lot_page_fits_its_screen(lot: Page, width: int) -> None:
    lot.set_viewport_size({"width": width, "height": 900})
    assert lot.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("width", WIDTHS)
def test_axe_finds_nothing_on_the_lot_pages(
    lots: Page, width: int, accessibility_trouble: Callable[[Page], list[str]]
) -> None:
    lots.set_viewport_size({"width": width, "height": 900})
    assert accessibility_trouble(lots) == []
    lots.locator(".lots a").first.click()
    expect(lots.get_by_role("region", name="Batch sheet")).to_be_visible()
    assert accessibility_trouble(lots) == []
