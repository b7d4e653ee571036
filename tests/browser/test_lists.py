"""Lots that are found again, a pour day that is planned, and how the service does."""

import re
from collections.abc import Callable, Iterator
from urllib.parse import urlsplit

import pytest
from idle_workshop import THERMOMETERS, idle_workshop
from playwright.sync_api import Page, expect

SETTLE_MS = 700
"""Long enough for a page to ask again, if it were to."""


def recipe(name: str) -> dict[str, object]:
    """Return a recipe of our own invention."""
    return {
        "name": name,
        "vessel": {"fill": "100 g", "tolerance": "2 g"},
        "pitcher": {"capacity": "700 g", "residue": "5 g"},
        "wax": {"name": "rapeseed", "never_above": "90 degC"},
        "fragrance": {
            "name": name.lower(),
            "load": "8 %",
            "load_of": "wax",
            "flash_point": "85 degC",
            "add_between": ["70 degC", "76 degC"],
        },
        "pour": {"between": ["55 degC", "62 degC"]},
    }


@pytest.fixture(scope="module")
def url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a workshop without a lot."""
    with idle_workshop(tmp_path_factory.mktemp("lists"), THERMOMETERS) as address:
        yield address


@pytest.fixture
def workshop(page: Page, url: str) -> str:
    """The address of the workshop with two recipes, and a closed lot of each."""
    if page.request.get(f"{url}/api/lots").json():
        return url
    for name in ("Woodruff", "Quince"):
        assert page.request.post(f"{url}/api/recipes", data=recipe(name)).ok
        order = {"recipe": name, "vessels": 3, "bench": "sill"}
        lot = page.request.post(f"{url}/api/lots", data=order).json()["id"]
        assert page.request.post(f"{url}/api/lots/{lot}/close", data={}).ok
    return url


def test_lots_are_found_by_word_and_the_list_is_kept_in_the_address(
    page: Page, workshop: str
) -> None:
    page.goto(f"{workshop}/lots")
    expect(page.locator(".lots li")).to_have_count(2)
    page.get_by_label("Find").fill("quin")
    expect(page.locator(".lots li")).to_have_count(1)
    expect(page.get_by_text("1 of 2 lots")).to_be_visible()
    expect(page).to_have_url(re.compile(r"q=quin"))
    page.reload()
    expect(page.locator(".lots li")).to_have_count(1)
    expect(page.locator(".lot-recipe")).to_have_text("Quince")
    page.get_by_label("Show").select_option("open")
    expect(page.get_by_text("No lot is like that.")).to_be_visible()


def test_a_page_asks_once_for_what_it_shows(page: Page, workshop: str) -> None:
    lot = page.request.get(f"{workshop}/api/lots").json()[0]["id"]
    asked: list[str] = []
    page.on("request", lambda request: asked.append(urlsplit(request.url).path))
    page.goto(f"{workshop}/lots/{lot}")
    expect(page.get_by_role("region", name="Batch sheet")).to_be_visible()
    page.wait_for_timeout(SETTLE_MS)
    assert asked.count(f"/api/lots/{lot}") == 1
    assert asked.count(f"/api/lots/{lot}/measured") == 1
    assert asked.count("/api/lots") == 1


def test_a_pour_day_is_worked_out_while_it_is_planned_and_kept(page: Page, workshop: str) -> None:
    page.goto(f"{workshop}/pour-days")
    page.get_by_role("link", name="Plan a pour day").click()
    page.get_by_label("Recipe").select_option("Woodruff")
    page.get_by_role("button", name="Add a lot").click()
    page.get_by_label("Recipe").select_option("Quince")
    page.get_by_role("button", name="Add a lot").click()
    page.get_by_label("What stays in it").fill("50 g")
    pot = page.get_by_role("region", name="Pot")
    # 12 vessels of 100 g in two pitchers with 5 g of residue each: 1,210 g of mix, of which
    # 1,210 / 1.08 = 1,120.370 g are wax; two such lots and 50 g that stay: 2,290.741 g.
    expect(pot).to_contain_text("2290.7 g")
    page.get_by_label("Wax melted in the pot").fill("2 kg")
    expect(pot).to_contain_text("not enough")
    page.get_by_label("Wax melted in the pot").fill("2 stone of wax")
    expect(pot).to_contain_text("melted")
    page.get_by_label("Wax melted in the pot").fill("2.4 kg")
    expect(pot).not_to_contain_text("not enough")
    page.get_by_role("button", name="Quince: earlier").click()
    page.get_by_role("button", name="Keep the plan").click()
    expect(page).to_have_url(re.compile(r"/pour-days/day-"))
    expect(page.locator(".day-lot-name strong")).to_have_text(["Quince", "Woodruff"])
    page.goto(f"{workshop}/")
    offered = page.get_by_label("Lot of the pour day").locator("option")
    expect(offered.first).to_have_text("Quince, 12 vessels")


def test_the_service_says_how_it_does(page: Page, workshop: str) -> None:
    page.goto(f"{workshop}/health")
    checks = page.get_by_role("region", name="What was looked at")
    expect(checks.get_by_role("listitem").first).to_be_visible()
    expect(page.get_by_text("Nothing is sent elsewhere")).to_be_visible()


@pytest.mark.parametrize("path", ["/lots", "/pour-days", "/pour-days/new", "/health"])
@pytest.mark.parametrize("width", [390, 820, 1440])
def test_axe_finds_nothing_and_nothing_runs_over_the_edge(
    page: Page,
    workshop: str,
    path: str,
    width: int,
    accessibility_trouble: Callable[[Page], list[str]],
) -> None:
    page.emulate_media(color_scheme="dark")
    page.set_viewport_size({"width": width, "height": 900})
    page.goto(f"{workshop}{path}")
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    if path == "/pour-days/new":
        page.get_by_role("button", name="Add a lot").click()
        expect(page.get_by_role("region", name="What to weigh")).to_be_visible()
    assert accessibility_trouble(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
