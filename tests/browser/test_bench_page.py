"""The bench page in a real browser, on a service with an open lot, readings and an alarm."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

WIDTHS = [390, 820, 1440]
DIGITS_FROM_TWO_METERS_PX = 96  # our own bound for a 10-inch tablet, no source
TABLET_PX = 740
A_FINGER_PX = 56  # our own bound for a hand in a glove, no source


@pytest.fixture
def bench(page: Page, day_url: str) -> Page:
    page.goto(f"{day_url}/")
    expect(page.locator(".figure-value .unit").first).to_be_visible()
    return page


def test_the_digits_follow_the_thermometer(bench: Page) -> None:
    digits = bench.get_by_label("Temperature", exact=True).locator(".figure-value")
    before = digits.inner_text()
    expect(digits).to_have_text(re.compile(r"\d+\.\d\s*°C"))
    expect(digits).not_to_have_text(before, timeout=20_000)


def test_nothing_on_the_page_breaks_the_content_policy_or_the_script(
    page: Page, day_url: str
) -> None:
    trouble: list[str] = []
    page.on("pageerror", lambda error: trouble.append(str(error)))
    page.on("console", lambda said: trouble.append(said.text) if said.type == "error" else None)
    page.goto(f"{day_url}/")
    expect(page.get_by_role("img", name=re.compile("Temperatures"))).to_be_visible()
    expect(page.locator("canvas")).to_be_visible()
    assert trouble == []


def test_the_key_a_acknowledges_the_alarm_in_the_banner(bench: Page) -> None:
    banner = bench.get_by_role("region", name="Alarms", exact=True)
    expect(banner).to_be_visible()
    message = banner.locator(".what").inner_text().replace("\u00a0", " ")  # units stay with numbers
    with bench.expect_response(lambda answer: answer.url.endswith("/acknowledge")) as answer:
        bench.keyboard.press("a")
    assert answer.value.ok
    assert answer.value.json()["message"] == message
    assert answer.value.json()["acknowledged_at"] is not None


def test_the_units_are_the_persons_own_and_stay(bench: Page) -> None:
    bench.get_by_role("button", name="Temperatures in °C").click()
    unit = bench.get_by_label("Temperature", exact=True).locator(".unit")
    expect(unit).to_have_text("°F")
    bench.reload()
    expect(unit).to_have_text("°F")


def test_a_lost_connection_is_said_with_the_time_of_the_values(page: Page, day_url: str) -> None:
    # One beat, then the stream breaks off, as when the service stops.
    body = '{"now": "2026-07-01T10:20:30Z", "trouble": null, "notice": null}'
    beat = f"retry: 500\nevent: beat\ndata: {body}\n\n"
    page.route(
        "**/api/live",
        lambda route: route.fulfill(status=200, content_type="text/event-stream", body=beat),
    )
    page.goto(f"{day_url}/")
    lost = page.get_by_text(re.compile(r"No connection: values are from \d\d:\d\d:\d\d"))
    expect(lost).to_be_visible()
    page.unroute("**/api/live")
    expect(lost).to_be_hidden(timeout=15_000)
    expect(page.locator(".figure-value .unit").first).to_be_visible()


def test_closing_the_lot_asks_for_a_second_press(bench: Page) -> None:
    asked: list[str] = []
    bench.on("request", lambda request: asked.append(request.url))
    bench.get_by_role("button", name="Close the lot", exact=True).click()
    expect(bench.get_by_role("button", name="Press again to close the lot")).to_be_visible()
    assert [url for url in asked if url.endswith("/close")] == []


def test_a_verdict_can_be_read_at_the_moment_it_changes(bench: Page) -> None:
    # A ground that fades while its ink changes at once is dark on dark for a moment.
    at_once, later = bench.evaluate(
        """async () => {
            const chip = document.body.appendChild(document.createElement("p"));
            const ground = () => getComputedStyle(chip).backgroundColor;
            chip.className = "chip off";
            const before = ground();
            chip.className = "chip calm";
            const atOnce = ground();
            await Promise.all(chip.getAnimations().map((each) => each.finished));
            if (ground() === before) throw new Error("both verdicts have the same ground");
            return [atOnce, ground()];
        }"""
    )
    assert at_once == later


def test_the_caution_is_said_once(bench: Page) -> None:
    expect(bench.get_by_text("is no safety device")).to_have_count(1)


@pytest.mark.parametrize("width", WIDTHS)
def test_the_page_fits_its_screen_and_can_be_read_and_pressed(bench: Page, width: int) -> None:
    bench.set_viewport_size({"width": width, "height": 900})
    wide = bench.evaluate("document.documentElement.scrollWidth")
    digits = bench.locator(".figure-value").evaluate_all(
        "all => all.map((each) => parseFloat(getComputedStyle(each).fontSize))"
    )
    heights = bench.get_by_role("button").evaluate_all(
        "all => all.map((each) => each.getBoundingClientRect().height)"
    )
    assert wide <= width
    assert digits
    assert min(digits) >= (A_FINGER_PX if width < TABLET_PX else DIGITS_FROM_TWO_METERS_PX)
    assert min(heights) >= A_FINGER_PX


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_on_the_bench_page(
    bench: Page, scheme: str, width: int, accessibility_trouble: Callable[[Page], list[str]]
) -> None:
    bench.set_viewport_size({"width": width, "height": 900})
    bench.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    assert accessibility_trouble(bench) == []
