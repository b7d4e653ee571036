"""A thermometer and a scale are calibrated on the screen, from the first button to the journal.

The probe shows 0.4375 °C in ice water: 0 °C (ITS-90). The scale shows 199.5 g under 200 g.
"""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from calibrating_workshop import PROBE, SCALE, TYPED, Displays, calibrating_workshop
from playwright.sync_api import Page, expect

Trouble = Callable[[Page], list[str]]
STEADY_MS = 40_000


@pytest.fixture(scope="module")
def quay(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Displays]]:
    """A running workshop, and what its instruments show."""
    with calibrating_workshop(tmp_path_factory.mktemp("quay")) as running:
        yield running


def instrument(page: Page, url: str, name: str) -> dict[str, Any]:
    """Return what the service says of an instrument."""
    shown: dict[str, Any] = page.request.get(f"{url}/api/instruments/{name}").json()
    return shown


def button(page: Page, name: str) -> Any:  # noqa: ANN401 - playwright's locator
    return page.get_by_role("button", name=name)


def test_every_instrument_is_a_card_with_what_to_do_where_it_is_silent(
    page: Page, quay: tuple[str, Displays], accessibility_trouble: Trouble
) -> None:
    url, _ = quay
    page.goto(f"{url}/instruments")
    probe = page.get_by_role("article", name=PROBE)
    expect(probe.get_by_text("21.0 °C")).to_be_visible()
    expect(probe.get_by_text("gives readings")).to_be_visible()
    expect(probe.get_by_text("Not calibrated")).to_be_visible()
    pot = page.get_by_role("article", name="quay-pot")
    expect(pot.get_by_text("unplugged")).to_be_visible()
    expect(page.get_by_role("article", name=TYPED).get_by_text("typed in by hand")).to_be_visible()
    assert accessibility_trouble(page) == []


def test_a_thermometer_in_ice_water_step_by_step(
    page: Page, quay: tuple[str, Displays], accessibility_trouble: Trouble
) -> None:
    url, displays = quay
    page.goto(f"{url}/instruments/{PROBE}")
    expect(page.get_by_role("img", name="The last ten minutes")).to_be_visible()
    assert accessibility_trouble(page) == []
    button(page, "Calibrate it").click()
    heading = page.get_by_role("heading", name="What will you hold it against?")
    expect(heading).to_be_focused()
    assert accessibility_trouble(page) == []
    displays.heat(0.4375)
    button(page, "Go on").press("Enter")
    expect(page.get_by_role("heading", name="Point 1 of 1: Ice water")).to_be_focused()
    expect(page.get_by_text("Known to be 0.00 °C")).to_be_visible()
    expect(button(page, "Take this value")).to_be_disabled()
    expect(button(page, "Take it anyway")).to_be_enabled()
    assert accessibility_trouble(page) == []
    page.reload()  # whatever happens to the page: she stands where she was
    expect(page.get_by_role("heading", name="Point 1 of 1: Ice water")).to_be_visible()
    take = button(page, "Take 0.44 °C")
    expect(take).to_be_enabled(timeout=STEADY_MS)
    expect(page.get_by_role("paragraph").filter(has_text="steady for 20 s").first).to_be_visible()
    take.click()
    expect(page.get_by_role("heading", name="What came of it")).to_be_focused()
    expect(page.get_by_role("row").filter(has_text="ice water")).to_contain_text("\u22120.44 °C")
    expect(page.get_by_text("A shown value of 60.00 °C becomes 59.56 °C.")).to_be_visible()
    expect(page.get_by_text("One point says nothing about the rest")).to_be_visible()
    assert accessibility_trouble(page) == []
    page.get_by_label("Who did it").fill("Ana")
    button(page, "Keep it").click()
    expect(page.get_by_text("Kept. Readings are corrected from now on.")).to_be_visible()
    expect(page.locator(".instrument-head .instrument-value")).to_have_text("0.0 °C")
    kept = instrument(page, url, PROBE)["calibration"]
    assert kept["points"] == [{"reference": 0.0, "shown": 0.437, "of": "ice water"}]
    assert (kept["offset"], kept["note"]) == (-0.437, "Ana")
    assert accessibility_trouble(page) == []


def test_what_is_shown_while_calibrating_anew_has_no_correction(
    page: Page, quay: tuple[str, Displays]
) -> None:
    url, displays = quay
    page.goto(f"{url}/instruments/{PROBE}")
    displays.heat(0.4375)
    button(page, "Calibrate it anew").click()
    button(page, "Go on").click()
    expect(page.get_by_role("group", name="It shows")).to_contain_text("0.44 °C")
    button(page, "Discard").click()
    expect(button(page, "Calibrate it anew")).to_be_visible()
    assert len(instrument(page, url, PROBE)["calibrations"]) == 1


def test_boiling_water_by_altitude_and_back_to_the_choice(
    page: Page, quay: tuple[str, Displays], accessibility_trouble: Trouble
) -> None:
    """ISO 2533 and IAPWS-IF97: 898.75 hPa at 1000 m, where water boils at 96.65 °C."""
    url, displays = quay
    page.goto(f"{url}/instruments/{PROBE}")
    button(page, "Calibrate it anew").click()
    page.get_by_label("Ice water").uncheck()
    expect(button(page, "Go on")).to_be_disabled()
    page.get_by_label("Boiling water").check()
    page.get_by_label("Meters above the sea").fill("9000")
    button(page, "Go on").click()
    expect(page.get_by_role("alert")).to_contain_text("expected -430 to 5500 m")
    page.get_by_label("Meters above the sea").fill("1000")
    assert accessibility_trouble(page) == []
    button(page, "Go on").click()
    expect(page.get_by_text("Known to be 96.65 °C")).to_be_visible()
    expect(page.get_by_role("complementary", name="Take care")).to_contain_text("scald")
    displays.heat(60)
    expect(page.get_by_role("group", name="It shows")).to_contain_text("60.00 °C")
    button(page, "Take it anyway").click()
    expect(page.get_by_role("alert")).to_contain_text("wrong reference or a broken probe")
    button(page, "Back").click()
    button(page, "Back").click()
    expect(page.get_by_label("Boiling water")).to_be_checked()
    button(page, "Discard").click()


def test_a_scale_with_a_known_mass(
    page: Page, quay: tuple[str, Displays], accessibility_trouble: Trouble
) -> None:
    url, displays = quay
    page.goto(f"{url}/instruments/{SCALE}")
    button(page, "Calibrate it").click()
    button(page, "Go on").click()
    expect(page.get_by_role("heading", name="Point 1 of 2: Empty pan")).to_be_visible()
    empty = button(page, "Take 0.00 g")
    expect(empty).to_be_enabled(timeout=STEADY_MS)
    empty.click()
    displays.grams = 118.3  # on its way
    expect(page.get_by_role("heading", name="Point 2 of 2: Known mass")).to_be_visible()
    expect(page.get_by_role("group", name="It shows")).to_contain_text("118.30 g")
    displays.grams = 118.4
    expect(page.get_by_role("group", name="It shows")).to_contain_text("118.40 g")
    displays.grams = 199.5
    page.get_by_label("What the mass weighs").fill("200")
    assert accessibility_trouble(page) == []
    mass = button(page, "Take 199.50 g")
    expect(mass).to_be_enabled(timeout=STEADY_MS)
    mass.click()
    expect(page.get_by_text("A shown value of 220.00 g becomes 220.60 g.")).to_be_visible()
    button(page, "Keep it").click()
    expect(page.get_by_text("Kept. Readings are corrected from now on.")).to_be_visible()
    expect(page.locator(".instrument-head .instrument-value")).to_have_text("200.0 g")
    assert instrument(page, url, SCALE)["calibration"]["step"] == 0.1


def test_a_withdrawn_calibration_is_asked_for_twice_and_told(
    page: Page, quay: tuple[str, Displays]
) -> None:
    url, _ = quay
    page.goto(f"{url}/instruments/{SCALE}")
    button(page, "Withdraw it").click()
    page.get_by_label("Why").fill("another scale")
    button(page, "Yes, withdraw it").click()
    expect(page.get_by_text("Not calibrated")).to_be_visible()
    expect(page.get_by_text("another scale")).to_be_visible()
    assert instrument(page, url, SCALE)["calibration"] is None


def test_what_is_typed_in_says_how_it_was_corrected(page: Page, quay: tuple[str, Displays]) -> None:
    url, _ = quay
    point = {"reference": 0, "shown": 0.5, "of": "ice water"}
    path = f"{url}/api/instruments/{TYPED}/calibrations"
    assert page.request.post(path, data={"points": [point]}).ok
    page.goto(f"{url}/instruments")
    page.get_by_role("link", name="Type its readings at bench quay").click()
    page.get_by_label(f"Value of {TYPED}").fill("21.5")
    button(page, f"Keep for {TYPED}").click()
    expect(page.get_by_text("Kept: 21.00 °C, corrected from 21.5")).to_be_visible()


def test_an_instrument_that_is_not_there_is_said(page: Page, quay: tuple[str, Displays]) -> None:
    url, _ = quay
    page.goto(f"{url}/instruments/kiln")
    expect(
        page.get_by_role("heading", name="This workshop has no instrument kiln.")
    ).to_be_visible()
