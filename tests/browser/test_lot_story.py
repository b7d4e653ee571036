"""The page of a lot that is over: its story, its curve looked into, and other lots beside it."""

import re
import urllib.parse
from collections.abc import Callable, Iterator
from datetime import UTC, datetime

import pytest
from made_workshop import ALIKE, LIGHT, made_workshop
from playwright.sync_api import Locator, Page, expect

WIDTHS = [390, 820, 1440]
PATIENCE_MS = 30_000  # everything is fetched at first, and three tests share two cores
WHOLE = re.compile(r"/lots/[^?]+$")
"""The address of a lot of which nothing is chosen."""
HERE, OTHER = ALIKE

Trouble = Callable[[Page], list[str]]


@pytest.fixture(scope="module")
def made_day(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with made_workshop(tmp_path_factory.mktemp("made")) as url:
        yield url


def opened(page: Page, url: str, lot: str, query: str = "") -> Page:
    """Open a lot and wait until its curves are drawn."""
    page.goto(f"{url}/lots/{lot}{query}")
    expect(page.locator(".lot-curve canvas")).to_have_count(2, timeout=PATIENCE_MS)
    asked = page.get_by_role("region", name="Against the recipe")
    expect(asked.get_by_role("row", name="Wax when the pour ended").first).to_be_visible(
        timeout=PATIENCE_MS
    )
    return page


@pytest.fixture
def light(page: Page, made_day: str) -> Page:
    return opened(page, made_day, LIGHT)


@pytest.fixture
def alike(page: Page, made_day: str) -> Page:
    return opened(page, made_day, HERE)


def plot(page: Page) -> Locator:
    return page.locator(".chart-over").first


def span_of(page: Page) -> tuple[float, float] | None:
    """Return the part of the lot that the address names, in epoch seconds."""
    asked = urllib.parse.parse_qs(urllib.parse.urlsplit(page.url).query)
    if "from" not in asked:
        return None
    return (epoch(asked["from"][0]), epoch(asked["to"][0]))


def epoch(text: str) -> float:
    return datetime.fromisoformat(text).timestamp()


def drag(page: Page, first: float, last: float) -> None:
    """Draw a part of the upper chart out, by shares of its width."""
    area = plot(page)
    area.scroll_into_view_if_needed()
    box = area.bounding_box()
    assert box is not None
    y = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + box["width"] * first, y)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] * last, y, steps=5)
    page.mouse.up()


def rests(page: Page) -> None:
    """Wait until the readings of the part that is looked at are there."""
    page.wait_for_timeout(400)
    expect(page.locator(".curve-tools .loading")).to_be_empty(timeout=PATIENCE_MS)


# ------------------------------------------------------------------ the story


def test_the_page_tells_what_happened_before_it_shows_it(light: Page) -> None:
    story = light.get_by_role("region", name="What happened")
    expect(story).to_contain_text("for 7 vessels of Rain on slate, 180 g.")
    expect(story).to_contain_text(re.compile(r"°C under the window of 78\.0 to 84\.0\s°C"))
    expect(story).to_contain_text("outside of what is allowed: vessel 4")
    order = light.evaluate(
        "[...document.querySelectorAll('main h2')].map((heading) => heading.innerText)"
    )
    assert order[0] == "What happened"
    assert order.index("The curve") < order.index("What needs looking at")


def test_the_table_says_what_the_service_measured(light: Page, made_day: str) -> None:
    (pitcher,) = light.request.get(f"{made_day}/api/lots/{LIGHT}/measured").json()
    table = light.get_by_role("region", name="Against the recipe")
    row = table.get_by_role("row", name="Wax when fragrance went in")
    expect(row).to_contain_text(f"{pitcher['added']['value']:.1f} °C")
    expect(row.locator(".off")).to_contain_text("°C under")
    load = table.get_by_role("row", name="Fragrance load")
    expect(load).to_contain_text(f"{pitcher['load']['of_wax']:.2f} % of the wax")
    expect(load).to_contain_text(f"{pitcher['load']['of_total']:.2f} % of the total")


def test_exactly_the_light_vessel_is_marked_and_numbered(light: Page) -> None:
    fills = light.locator(".target-kind.fill")
    marked = fills.locator(".outside")
    expect(marked).to_have_count(1)
    expect(marked.locator("title")).to_have_text(re.compile(r"^Vessel 4, \d\.\d g under$"))
    expect(marked.locator("text").first).to_have_text(re.compile("^\u2212\\d\\.\\d g$"))
    expect(fills.get_by_role("img")).to_have_attribute(
        "aria-label", re.compile(r"Outside of what is allowed: Vessel 4, \d\.\d g under\.$")
    )
    expect(light.locator(".target-kind .outside")).to_have_count(1)


def test_the_figures_are_those_of_the_weighings(light: Page, made_day: str) -> None:
    weighings = light.request.get(f"{made_day}/api/lots/{LIGHT}").json()["weighings"]
    grams = [weighing["grams"] for weighing in weighings if weighing["kind"] == "fill"]
    figures = light.locator(".fill-figures")
    expect(figures).to_contain_text(f"{sum(grams) / len(grams):.1f} g")
    expect(figures).to_contain_text(f"{min(grams):.1f} g to {max(grams):.1f} g")


# ------------------------------------------------------------------ looking into the curve


def test_a_drag_shows_that_part_and_the_address_keeps_it(alike: Page, made_day: str) -> None:
    asked: list[str] = []
    alike.on("request", lambda request: asked.append(request.url))
    drag(alike, 0.25, 0.5)
    rests(alike)
    span = span_of(alike)
    assert span is not None
    assert sum("/curve?" in url and "from=" in url for url in asked) == 4  # one for each channel
    lot = alike.request.get(f"{made_day}/api/lots/{HERE}").json()
    whole = (epoch(lot["opened_at"]), epoch(lot["closed_at"]))
    share = (span[1] - span[0]) / (whole[1] - whole[0])
    assert share == pytest.approx(0.25, abs=0.02)
    shown = alike.locator(".curve-tools p").first.inner_text()

    alike.reload()
    expect(alike.locator(".curve-tools p").first).to_have_text(shown, timeout=PATIENCE_MS)
    assert span_of(alike) == span

    plot(alike).dblclick()
    expect(alike.locator(".curve-tools p").first).not_to_have_text(shown)
    alike.wait_for_url(WHOLE)


def test_keys_alone_zoom_move_and_read(alike: Page) -> None:
    charts = alike.get_by_role("group", name="Curves of the lot")
    hint = charts.get_attribute("aria-describedby")
    expect(alike.locator(f"[id='{hint}']")).to_contain_text("arrows move")
    charts.focus()
    alike.keyboard.press("ArrowRight")
    expect(alike.locator(".read-out .moment")).to_be_visible()
    expect(alike.locator(".read-out [role=status]")).to_contain_text("quay-pitcher")
    alike.keyboard.press("+")
    alike.keyboard.press("+")
    rests(alike)
    first, before = span_of(alike), alike.url
    assert first is not None
    alike.keyboard.press("PageDown")
    alike.wait_for_url(lambda url: url != before)
    later = span_of(alike)
    assert later is not None
    assert later[0] > first[0]
    alike.keyboard.press("Home")
    alike.wait_for_url(WHOLE)


def test_the_read_out_shows_the_reading_of_that_moment(alike: Page, made_day: str) -> None:
    drag(alike, 0.3, 0.34)
    rests(alike)
    charts = alike.get_by_role("group", name="Curves of the lot")
    charts.focus()
    for _ in range(7):
        alike.keyboard.press("ArrowLeft")
    moment = alike.locator(".read-out .moment strong").inner_text()
    shown = {
        row.locator("dt").inner_text(): row.locator("dd").inner_text()
        for row in alike.locator(".read-out dl > div").all()
    }
    at = epoch(f"2026-11-25T{moment}Z")
    for channel in ("quay-pitcher", "quay-pot", "quay-room"):
        values = readings_around(alike, made_day, channel, at)
        read = float(shown[channel].removesuffix(" °C"))
        assert any(read == pytest.approx(value, abs=0.051) for value in values)
    assert set(shown) == {"quay-pitcher", "quay-pot", "quay-room", "quay-scale"}


def readings_around(page: Page, url: str, channel: str, at: float) -> list[float]:
    """Return the readings of the second that the page names, which rounds down, and its edges."""
    ends = [datetime.fromtimestamp(at + by, UTC).isoformat() for by in (-1.0, 2.0)]
    answer = page.request.get(
        f"{url}/api/lots/{HERE}/curve",
        params={"channel": channel, "from": ends[0], "to": ends[1], "points": 1000},
    )
    values: list[float] = answer.json()["value"]
    assert values
    return values


def test_the_buttons_do_what_the_hand_does(alike: Page) -> None:
    tools = alike.get_by_role("group", name="Look closer")
    tools.get_by_role("button", name="Closer").click()
    rests(alike)
    closer, before = span_of(alike), alike.url
    assert closer is not None
    tools.get_by_role("button", name="Later").click()
    alike.wait_for_url(lambda url: url != before)
    later = span_of(alike)
    assert later is not None
    assert later[0] > closer[0]
    tools.get_by_role("button", name="Whole lot").click()
    alike.wait_for_url(WHOLE)


def test_a_line_is_switched_off_and_on(alike: Page) -> None:
    pot = alike.get_by_role("group", name="Lines").get_by_role("button", name="quay-pot")
    plot(alike).hover()
    expect(alike.locator(".read-out dl")).to_contain_text("quay-pot")
    pot.click()
    expect(pot).to_have_attribute("aria-pressed", "false")
    expect(alike.locator(".read-out dl")).not_to_contain_text("quay-pot")
    pot.click()
    expect(alike.locator(".read-out dl")).to_contain_text("quay-pot")


def test_a_row_leads_to_its_moment_and_back(light: Page) -> None:
    row = light.get_by_role("region", name="Weighings", exact=True).get_by_role(
        "row", name="Vessel 4"
    )
    show = row.get_by_role("button", name="Show in the curve: Vessel 4")
    show.click()
    rests(light)
    expect(light.locator(".read-out")).to_contain_text("Vessel 4, 174")
    expect(light.get_by_role("group", name="Curves of the lot")).to_be_focused()
    light.get_by_role("button", name="Back to Vessel 4").click()
    expect(show).to_be_focused()
    deviation = light.get_by_role("button", name="Show in the curve: deviation 1")
    deviation.click()
    expect(light.locator(".read-out")).to_contain_text("Deviation 1: Fragrance added too cool")


# ------------------------------------------------------------------ other lots


def test_another_lot_is_laid_beside_and_the_address_keeps_it(alike: Page, made_day: str) -> None:
    panel = alike.get_by_role("region", name="Beside other lots")
    panel.get_by_role("button", name=f"Lay {OTHER} beside").click()
    table = panel.get_by_role("group", name=f"This lot and lot {OTHER}")
    shown = alike.request.get(f"{made_day}/api/lots/{HERE}/beside/{OTHER}").json()
    (drawn,) = [event for event in shown["events"] if event["anchor"] == "wax drawn"]
    row = table.get_by_role("row", name="Wax drawn")
    expect(row).to_contain_text(f"{drawn['here']:.1f} °C")
    expect(row).to_contain_text(f"{abs(drawn['difference']):.1f} °C warmer")
    line = alike.get_by_role("group", name="Lines").get_by_role("button", name=f"lot {OTHER}")
    expect(line).to_be_visible()
    assert alike.url.endswith(f"?beside={OTHER}")
    alike.reload()
    expect(line).to_be_visible(timeout=PATIENCE_MS)
    panel.get_by_role("button", name=f"Take lot {OTHER} away").click()
    expect(line).to_be_hidden()
    alike.wait_for_url(WHOLE)


def test_any_lot_is_found_by_search_and_a_wrong_address_is_said(page: Page, made_day: str) -> None:
    opened(page, made_day, HERE, "?beside=no-such-lot")
    expect(page.locator(".complaints")).to_contain_text("no-such-lot")
    panel = page.get_by_role("region", name="Beside other lots")
    expect(panel.get_by_role("button", name=f"Lay {LIGHT} beside")).to_be_hidden()
    panel.get_by_role("searchbox", name="Search all lots").fill("slate")
    expect(panel.get_by_role("button", name=f"Lay {LIGHT} beside")).to_be_visible()


def test_readings_are_kept_for_good_and_let_go_again(light: Page, made_day: str) -> None:
    panel = light.get_by_role("region", name="Readings")
    panel.get_by_role("textbox", name="Note").fill("a customer asked")
    panel.get_by_role("button", name="Keep these readings for good").click()
    expect(panel.get_by_role("status")).to_contain_text("kept for good")
    assert kept(light, made_day)
    panel.get_by_role("button", name="Let these readings go with the others").click()
    expect(panel.get_by_role("status")).to_contain_text("go when the workshop removes")
    assert not kept(light, made_day)


def kept(page: Page, url: str) -> bool:
    return bool(page.request.get(f"{url}/api/lots/{LIGHT}").json()["kept"])


# ------------------------------------------------------------------ every size


@pytest.mark.parametrize("width", [320, *WIDTHS, 720])  # 720: the widest at 200 %
def test_the_page_fits_its_screen(page: Page, made_day: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 450 if width == 720 else 900})
    opened(page, made_day, LIGHT)
    assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("width", WIDTHS)
def test_axe_finds_nothing_in_any_state(
    page: Page, made_day: str, width: int, accessibility_trouble: Trouble
) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    opened(page, made_day, LIGHT)
    assert accessibility_trouble(page) == []
    page.get_by_role("button", name="Show in the curve: Vessel 4").click()
    rests(page)
    assert accessibility_trouble(page) == []
    page.get_by_role("group", name="Lines").get_by_role("button", name="quay-pot").click()
    panel = page.get_by_role("region", name="Beside other lots")
    panel.get_by_role("searchbox").fill("driftwood")
    panel.get_by_role("button", name=f"Lay {HERE} beside").click()
    expect(panel.get_by_role("row", name="Wax drawn")).to_be_visible()
    assert accessibility_trouble(page) == []
