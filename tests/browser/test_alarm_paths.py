"""An alarm from the fault to its end, as a person at the screen lives through it."""

import re
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from idle_workshop import THERMOMETERS, idle_workshop
from playwright.sync_api import BrowserContext, Locator, Page, expect

WITHIN_MS = 1000
"""From the fault to its banner, and to its end."""

RECIPE: dict[str, object] = {
    "name": "Juniper, 150 g tin",
    "vessel": {"fill": "150 g", "tolerance": "2 g"},
    "pitcher": {"capacity": "1500 g", "residue": "5 g"},
    "wax": {"name": "rapeseed", "never_above": "90 degC"},
    "fragrance": {
        "name": "juniper",
        "load": "7 %",
        "load_of": "wax",
        "flash_point": "80 degC",
        "add_between": ["70 degC", "76 degC"],
    },
    "stir": {"at_least": "90 s"},
    "pour": {"between": ["55 degC", "62 degC"]},
}

LISTEN = """
window.heard = [];
navigator.vibrate = (pattern) => window.heard.push("buzz");
speechSynthesis.speak = (said) => window.heard.push(`voice ${said.text}`);
const start = OscillatorNode.prototype.start;
OscillatorNode.prototype.start = function (at) {
  window.heard.push("tone");
  start.call(this, at);
};
"""
"""Notes what reaches a person's ears and hand; the chime is played all the same."""


class Bench:
    """A bench without leads, whose readings the test types in, and its screen."""

    def __init__(self, page: Page, url: str) -> None:
        self.page = page
        self.url = url

    def reads(self, instrument: str, value: float) -> None:
        """Type a value, °C or g."""
        unit = "g" if instrument.endswith("scale") else "degC"
        path = f"{self.url}/api/instruments/{instrument}/readings"
        answer = self.page.request.post(path, data={"value": value, "unit": unit})
        assert answer.ok, answer.text()

    def post(self, path: str, body: dict[str, object]) -> dict[str, str]:
        """Ask the service for something."""
        answer = self.page.request.post(f"{self.url}/api{path}", data=body)
        assert answer.ok, answer.text()
        given: dict[str, str] = answer.json()
        return given

    @property
    def banner(self) -> Locator:
        """The banner with the most pressing alarm."""
        return self.page.get_by_role("region", name="Alarms", exact=True)

    def heard(self) -> list[str]:
        """What was heard and felt since the page was loaded."""
        found: list[str] = self.page.evaluate("window.heard")
        return found


@pytest.fixture(scope="module")
def url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a workshop with an open lot."""
    folder: Path = tmp_path_factory.mktemp("hand")
    with idle_workshop(folder, THERMOMETERS) as address:
        yield address


@pytest.fixture
def bench(page: Page, url: str) -> Iterator[Bench]:
    """The bench with nothing wrong, a lot open, and its page in sight."""
    bench = Bench(page, url)
    bench.post("/recipes", RECIPE)
    state = page.request.get(f"{url}/api/benches/sill").json()
    if state["lot"] is None:
        bench.post("/lots", {"recipe": RECIPE["name"], "vessels": 4, "bench": "sill"})
    bench.reads("sill-pot", 82)
    page.add_init_script(LISTEN)
    page.goto(f"{url}/")
    expect(page.get_by_text("Juniper, 150 g tin")).to_be_visible()
    yield bench
    bench.reads("sill-pot", 82)
    for alarm in page.request.get(f"{url}/api/alarms").json():
        if alarm["acknowledged_at"] is None:
            bench.post(f"/alarms/{alarm['id']}/acknowledge", {"note": ""})


def test_a_banner_comes_within_a_second_and_stays_until_the_fault_is_gone(bench: Bench) -> None:
    page = bench.page
    expect(bench.banner).to_be_hidden()
    bench.reads("sill-pot", 95)
    began = time.monotonic()
    expect(bench.banner).to_be_visible(timeout=WITHIN_MS)
    assert time.monotonic() - began < WITHIN_MS / 1000
    expect(bench.banner).to_contain_text("95.0 °C")
    expect(page).to_have_title(re.compile(r"^\(1 alarm\) .*95\.0 °C"))

    page.keyboard.press("a")
    expect(bench.banner).to_be_hidden(timeout=WITHIN_MS)
    expect(page.get_by_text("seen", exact=True)).to_be_attached()

    page.reload()
    seen = page.get_by_role("region", name="Other alarms")
    expect(seen).to_contain_text("1 alarm seen, put aside or not judged")

    bench.reads("sill-pot", 82)
    expect(seen).to_be_hidden(timeout=WITHIN_MS)
    expect(page).to_have_title(re.compile(r"^sill"))


def test_an_alarm_that_nobody_saw_is_kept_through_a_reload_and_after_its_fault(
    bench: Bench,
) -> None:
    bench.reads("sill-pot", 96)
    expect(bench.banner).to_contain_text("96.0 °C")
    bench.page.reload()
    expect(bench.banner).to_contain_text("96.0 °C")
    bench.reads("sill-pot", 82)
    expect(bench.banner).to_be_hidden(timeout=WITHIN_MS)
    expect(bench.page.get_by_text("1 alarm is over and not yet seen")).to_be_visible()


def test_an_alarm_that_is_put_aside_is_quiet_until_it_is_brought_back(bench: Bench) -> None:
    bench.reads("sill-pot", 97)
    expect(bench.banner).to_be_visible()
    alarm = bench.page.request.get(f"{bench.url}/api/alarms?state=active").json()[0]
    bench.post(f"/alarms/{alarm['id']}/shelve", {"minutes": 10, "reason": "the lid is off"})
    expect(bench.banner).to_be_hidden(timeout=WITHIN_MS)
    bench.post(f"/alarms/{alarm['id']}/unshelve", {})
    expect(bench.banner).to_be_visible(timeout=WITHIN_MS)


def test_sound_is_off_until_it_is_armed_and_says_so(bench: Bench) -> None:
    bench.reads("sill-pot", 95)
    expect(bench.banner).to_be_visible()
    assert [sound for sound in bench.heard() if sound != "buzz"] == []
    sound = bench.page.get_by_role("button", name="Sound off")
    expect(sound).to_be_visible()


def test_an_armed_screen_chimes_and_speaks_and_buzzes(bench: Bench) -> None:
    page = bench.page
    page.get_by_role("button", name="Sound off").click()
    expect(page.get_by_role("link", name="Sound on")).to_be_visible()
    tried = bench.heard()
    bench.reads("sill-pot", 95)
    expect(bench.banner).to_be_visible(timeout=WITHIN_MS)
    page.wait_for_function("window.heard.some((sound) => sound.startsWith('voice'))")
    new = bench.heard()[len(tried) :]
    assert new[0] == "buzz"
    assert new.count("tone") > 1
    assert "95.0 °C" in new[-1]


def test_after_a_reload_the_screen_says_that_it_is_mute_until_it_is_touched(
    bench: Bench, context: BrowserContext
) -> None:
    page = bench.page
    page.get_by_role("button", name="Sound off").click()
    expect(page.get_by_role("link", name="Sound on")).to_be_visible()
    again = context.new_page()  # nobody has touched this one
    again.goto(f"{bench.url}/")
    expect(again.get_by_role("button", name="Press for sound")).to_be_visible()
    again.set_viewport_size({"width": 390, "height": 844})
    place = again.get_by_role("heading", level=1).first
    before = place.bounding_box()
    assert before is not None
    again.mouse.move(before["x"] + 5, before["y"] + 5)
    again.mouse.down()
    again.wait_for_timeout(300)
    assert place.bounding_box() == before  # nothing moves under a finger
    again.mouse.up()
    again.get_by_text("Juniper, 150 g tin").click()
    expect(again.get_by_role("link", name="Sound on")).to_be_visible()


def test_the_history_tells_an_alarm_from_its_raising_to_its_end_and_narrows(
    bench: Bench, accessibility_trouble: Callable[[Page], list[str]]
) -> None:
    page = bench.page
    bench.reads("sill-pot", 94.5)
    expect(bench.banner).to_contain_text("94.5 °C")
    page.keyboard.press("a")
    bench.reads("sill-pot", 82)
    page.goto(f"{bench.url}/alarms")
    story = (
        page.get_by_role("region", name="What was")
        .get_by_role("article")
        .filter(has_text="94.5 °C")
    )
    for step in ("raised", "seen", "gone"):
        expect(story.get_by_text(step, exact=True)).to_be_visible()
    assert accessibility_trouble(page) == []

    page.get_by_label("About").select_option("too hot")
    expect(page).to_have_url(re.compile(r"rule=over-temperature"))
    page.reload()
    expect(story).to_be_visible()
    page.goto(f"{bench.url}/alarms?rule=fill-grams")
    expect(page.get_by_text("No alarm of this time is of that kind.")).to_be_visible()


def test_a_foot_switch_marks_once_its_key_is_taught(
    bench: Bench, accessibility_trouble: Callable[[Page], list[str]]
) -> None:
    page = bench.page
    page.goto(f"{bench.url}/screen")
    page.get_by_role("button", name="Teach the switch").click()
    expect(page.get_by_text("Press the switch now")).to_be_visible()
    page.keyboard.press("F9")
    expect(page.get_by_text("The switch types F9.")).to_be_visible()
    assert accessibility_trouble(page) == []
    page.goto(f"{bench.url}/")
    expect(page.locator(".mark-button")).to_be_enabled()
    page.keyboard.press("F9")
    expect(page.locator(".marked")).to_contain_text("Marked:")
