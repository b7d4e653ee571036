"""A stir that an elbow ended, taken back with the keyboard in a real browser."""

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from idle_workshop import idle_workshop
from playwright.sync_api import Locator, Page, expect

MOSS: dict[str, Any] = {
    "name": "Wet moss",
    "vessel": {"fill": "120 g", "tolerance": "2 g"},
    "pitcher": {"capacity": "800 g", "residue": "12 g"},
    "wax": {"name": "coconut"},
    "fragrance": {"name": "moss", "load": "8 %", "load_of": "wax"},
    "stir": {"at_least": "30 min"},
}
CALM_MS = 800  # a press sooner after what is offered counts as one that bounced
DISPLAYS_G = (0.0, 300.0, 533.3, 552.0)  # the pan, the pitcher, 233.3 g of wax, 18.7 g of fragrance


@pytest.fixture(scope="module")
def idle_url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a workshop of its own."""
    with idle_workshop(tmp_path_factory.mktemp("undo")) as url:
        yield url


@pytest.fixture
def bench(page: Page, idle_url: str) -> Page:
    """The page of a bench at which it is time to stir."""
    ask = page.request
    assert ask.post(f"{idle_url}/api/recipes", data=MOSS).ok
    for lot in ask.get(f"{idle_url}/api/lots").json():
        ask.post(f"{idle_url}/api/lots/{lot['id']}/close")
    order = {"recipe": MOSS["name"], "vessels": 2, "bench": "sill"}
    assert ask.post(f"{idle_url}/api/lots", data=order).ok
    for value in DISPLAYS_G:
        typed = {"value": value, "unit": "g"}
        assert ask.post(f"{idle_url}/api/instruments/sill-scale/readings", data=typed).ok
    page.goto(f"{idle_url}/")
    expect(page.get_by_role("button", name="Stir: begin")).to_be_enabled()
    return page


def said(page: Page) -> Locator:
    """What the place beside the mark button says, to the ear too."""
    return page.locator(".marking").get_by_role("status")


def left_s(page: Page) -> int:
    """The seconds that the clock of the stir still counts."""
    text = page.get_by_role("timer").inner_text()
    hours, minutes, seconds = re.findall(r"\d+", f"0:{text}")[-3:]
    return int(hours) * 3600 + int(minutes) * 60 + int(seconds)


def test_a_stir_ended_by_mistake_goes_on_after_the_key_u(bench: Page) -> None:
    bench.get_by_role("button", name="Stir: begin").click()
    expect(said(bench)).to_have_text(re.compile(r"^Marked: Stir began at \d\d:\d\d:\d\d$"))
    before = left_s(bench)
    expect(bench.get_by_role("button", name="Stir: done")).to_be_enabled()
    bench.keyboard.press("Space")  # the elbow
    undo = bench.get_by_role("button", name="Undo: Stir ended")
    expect(undo).to_be_visible()
    bench.reload()
    expect(undo).to_be_visible()
    bench.wait_for_timeout(CALM_MS)
    with bench.expect_response(lambda answer: answer.url.endswith("/marks/undo")) as answer:
        bench.keyboard.press("u")
    assert answer.value.ok
    expect(said(bench)).to_have_text(re.compile(r"^Taken back: Stir ended at \d\d:\d\d:\d\d$"))
    expect(bench.get_by_role("button", name="Stir: done")).to_be_enabled()
    expect(bench.get_by_role("button", name="Undo: Stir began")).to_be_visible()
    assert 0 < before - left_s(bench) < 120  # it has gone on, and not begun anew
    now = left_s(bench)
    bench.wait_for_timeout(2_000)
    assert left_s(bench) < now


def test_the_lot_page_strikes_out_what_was_taken_back(bench: Page, idle_url: str) -> None:
    bench.get_by_role("button", name="Stir: begin").click()
    undo = bench.get_by_role("button", name="Undo: Stir began")
    expect(undo).to_be_visible()
    bench.wait_for_timeout(CALM_MS)
    undo.click()
    expect(bench.get_by_role("button", name="Stir: begin")).to_be_enabled()
    lot, *_ = bench.request.get(f"{idle_url}/api/lots").json()
    bench.goto(f"{idle_url}/lots/{lot['id']}")
    row = bench.get_by_role("row", name=re.compile("Stir began"))
    expect(row.locator("del")).to_have_text("Stir began")
    expect(row).to_contain_text(re.compile(r"taken back at \d\d:\d\d:\d\d"))


def test_a_mark_moves_nothing_under_the_hand(bench: Page) -> None:
    button = bench.locator(".mark-button")
    before = button.bounding_box()
    button.click()
    undo = bench.locator(".undo")
    expect(undo).to_be_visible()
    after, beside = button.bounding_box(), undo.bounding_box()
    assert before is not None
    assert after is not None
    assert beside is not None
    assert after["x"] == before["x"]
    assert beside["y"] >= after["y"] + after["height"] + 16
    assert beside["height"] >= 56


def test_the_space_bar_marks_again_after_a_press_on_undo(bench: Page) -> None:
    bench.get_by_role("button", name="Stir: begin").click()
    undo = bench.get_by_role("button", name="Undo: Stir began")
    expect(undo).to_be_visible()
    bench.wait_for_timeout(CALM_MS)
    undo.click()
    expect(bench.get_by_role("button", name="Stir: begin")).to_be_enabled()
    bench.keyboard.press("Space")
    expect(bench.get_by_role("button", name="Stir: done")).to_be_enabled()


@pytest.mark.parametrize("width", [390, 820, 1440])
def test_axe_finds_nothing_while_a_mark_can_be_taken_back(
    bench: Page, width: int, accessibility_trouble: Callable[[Page], list[str]]
) -> None:
    bench.set_viewport_size({"width": width, "height": 900})
    bench.get_by_role("button", name="Stir: begin").click()
    expect(bench.locator(".undo")).to_be_visible()
    assert accessibility_trouble(bench) == []
    assert bench.evaluate("document.documentElement.scrollWidth") <= width
