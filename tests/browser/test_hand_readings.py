"""A bench with no connected instrument at all: everything is typed with a thumb."""

from collections.abc import Callable, Iterator

import pytest
from idle_workshop import THERMOMETERS, idle_workshop
from playwright.sync_api import Locator, Page, expect

RECIPE: dict[str, object] = {
    "name": "Linden, 120 g jar",
    "vessel": {"fill": "120 g", "tolerance": "2 g"},
    "pitcher": {"capacity": "900 g", "residue": "5 g"},
    "wax": {"name": "soy", "never_above": "90 degC"},
    "fragrance": {
        "name": "linden",
        "load": "6 %",
        "load_of": "wax",
        "flash_point": "85 degC",
        "add_between": ["72 degC", "78 degC"],
    },
    "stir": {"at_least": "60 s"},
    "pour": {"between": ["55 degC", "62 degC"]},
}


@pytest.fixture(scope="module")
def url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a workshop with an open lot whose instruments have no lead."""
    with idle_workshop(tmp_path_factory.mktemp("hand"), THERMOMETERS) as address:
        yield address


@pytest.fixture
def pad(page: Page, url: str) -> Locator:
    """The number pad of the bench, a lot being open there."""
    page.set_viewport_size({"width": 390, "height": 844})
    assert page.request.post(f"{url}/api/recipes", data=RECIPE).ok
    if page.request.get(f"{url}/api/benches/sill").json()["lot"] is None:
        order = {"recipe": RECIPE["name"], "vessels": 2, "bench": "sill"}
        assert page.request.post(f"{url}/api/lots", data=order).ok
    page.goto(f"{url}/")
    pad = page.get_by_role("region", name="Type a reading")
    expect(pad).to_be_visible()
    return pad


def choose(pad: Locator, instrument: str) -> None:
    """Say which instrument is typed for."""
    pad.get_by_role("group", name="Which one?").get_by_role("button", name=instrument).click()


def type_in(pad: Locator, instrument: str, digits: str) -> None:
    """Press the digits for an instrument, and keep them."""
    choose(pad, instrument)
    for digit in digits:
        name = "Decimal point" if digit == "." else digit
        pad.get_by_role("button", name=name, exact=True).click()
    pad.get_by_role("button", name=f"Keep for {instrument}").click()
    expect(pad.get_by_role("status")).to_contain_text(f"Kept: {digits}")


def test_typed_grams_are_weighed_like_those_of_a_scale_with_a_lead(
    page: Page, pad: Locator, url: str
) -> None:
    state = page.request.get(f"{url}/api/benches/sill").json()
    wax = page.request.get(f"{url}/api/lots/{state['lot']}").json()["batch_sheet"]["wax"]
    type_in(pad, "sill-scale", "640")  # the pitcher
    choose(pad, "sill-scale")
    pad.get_by_role("button", name="Tared: keep 0").click()
    expect(pad.get_by_role("status")).to_contain_text("Kept: 0")
    type_in(pad, "sill-scale", f"{wax:.1f}")
    type_in(pad, "sill-pitcher", "75.5")
    expect(page.get_by_role("region", name="Temperature", exact=True)).to_contain_text("75.5")

    def drawn() -> list[dict[str, object]]:
        found: list[dict[str, object]] = page.request.get(f"{url}/api/lots/{state['lot']}").json()[
            "weighings"
        ]
        return found

    for _ in range(50):
        if drawn():
            break
        page.wait_for_timeout(100)
    assert [(each["kind"], each["grams"]) for each in drawn()] == [("wax", round(wax, 1))]


def test_a_slip_of_the_thumb_is_asked_about(page: Page, pad: Locator) -> None:
    choose(pad, "sill-pitcher")
    for digit in "755":
        pad.get_by_role("button", name=digit, exact=True).click()
    page.keyboard.press("Tab")
    pad.get_by_role("button", name="Keep for sill-pitcher").click()
    expect(pad.get_by_role("status")).to_contain_text("Press again to keep 755 °C")
    pad.get_by_role("button", name="Take the last digit back").click()
    expect(pad.get_by_role("textbox")).to_have_value("75")


def test_the_pad_works_by_keyboard_in_the_units_of_the_person(page: Page, pad: Locator) -> None:
    page.set_viewport_size({"width": 1280, "height": 900})
    page.get_by_role("button", name="Temperatures in °C").click()
    choose(pad, "sill-pitcher")
    pad.get_by_role("textbox").focus()
    page.keyboard.type("167")
    page.keyboard.press("Enter")
    expect(pad.get_by_role("status")).to_contain_text("Kept: 167 °F")
    # NIST SP 811 (2008), appendix B.8: 167 °F = 75 °C
    shown = page.request.get(page.url.rstrip("/") + "/api/instruments").json()
    assert [i["last"]["value"] for i in shown if i["name"] == "sill-pitcher"] == [75.0]


@pytest.mark.parametrize("width", [390, 820, 1440])
def test_the_pad_is_in_reach_and_axe_finds_nothing(
    page: Page, pad: Locator, width: int, accessibility_trouble: Callable[[Page], list[str]]
) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    expect(pad).to_be_visible()
    for key in pad.locator(".number-pad button").all():
        box = key.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 56
    assert accessibility_trouble(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
