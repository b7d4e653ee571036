"""Several benches side by side, as on a wall."""

from collections.abc import Callable, Iterator

import pytest
from idle_workshop import THERMOMETERS, idle_workshop
from playwright.sync_api import Page, expect

SECOND = """
[[bench]]
name = "hearth"

[[instrument]]
name = "hearth-pot"
bench = "hearth"
role = "pot"
kind = "manual"
"""


@pytest.fixture(scope="module")
def url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a workshop with two benches."""
    with idle_workshop(tmp_path_factory.mktemp("two"), THERMOMETERS + SECOND) as address:
        yield address


def type_in(page: Page, url: str, instrument: str, value: float) -> None:
    path = f"{url}/api/instruments/{instrument}/readings"
    assert page.request.post(path, data={"value": value, "unit": "degC"}).ok


def test_each_bench_has_its_own_digits_and_leads_to_its_page(page: Page, url: str) -> None:
    page.set_viewport_size({"width": 1440, "height": 900})
    type_in(page, url, "sill-pitcher", 71.3)
    type_in(page, url, "hearth-pot", 64.2)
    page.goto(f"{url}/")
    page.get_by_role("navigation").get_by_role("link", name="All benches").click()
    sill = page.get_by_role("region", name="Bench sill", exact=True)
    hearth = page.get_by_role("region", name="Bench hearth", exact=True)
    expect(sill).to_contain_text("71.3")
    expect(hearth).to_contain_text("64.2")
    left, right = sill.bounding_box(), hearth.bounding_box()
    assert left is not None
    assert right is not None
    assert left["y"] == right["y"]
    assert left["x"] < right["x"]
    type_in(page, url, "hearth-pot", 66.6)
    expect(hearth).to_contain_text("66.6")
    hearth.get_by_role("link", name="Bench hearth").click()
    expect(page).to_have_url(f"{url}/?bench=hearth")


@pytest.mark.parametrize("width", [390, 820, 1440])
def test_benches_fit_the_screen_and_axe_finds_nothing(
    page: Page, url: str, width: int, accessibility_trouble: Callable[[Page], list[str]]
) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    page.goto(f"{url}/benches")
    expect(page.get_by_role("region", name="Bench hearth", exact=True)).to_be_visible()
    assert accessibility_trouble(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
