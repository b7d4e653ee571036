"""What a person can do about an alarm, by keyboard alone, in a real browser."""

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, Route, expect

PUT_ASIDE = re.compile(r"^Put aside ?:")


@pytest.fixture
def banner(page: Page, fresh_day: str) -> Locator:
    """The banner with the most pressing alarm, its answers not yet used."""
    page.goto(f"{fresh_day}/")
    banner = page.get_by_role("region", name="Alarms", exact=True)
    expect(banner.get_by_role("button", name=PUT_ASIDE)).to_be_visible()
    return banner


@pytest.fixture
def form(page: Page, banner: Locator) -> Locator:
    """The form that asks for how long and why, opened by key."""
    banner.get_by_role("button", name=PUT_ASIDE).focus()
    page.keyboard.press("Enter")
    form = banner.get_by_role("form", name="Put aside")
    expect(form.get_by_role("radio", name="5 min", exact=True)).to_be_focused()
    return form


def test_an_alarm_is_not_put_aside_without_a_reason(page: Page, form: Locator) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    form.get_by_role("textbox", name="Reason").focus()
    page.keyboard.press("Enter")
    expect(form.get_by_role("alert")).to_contain_text("Say why")
    assert [url for url in asked if url.endswith("/shelve")] == []


def test_escape_closes_the_form_and_leads_back_to_its_button(
    page: Page, banner: Locator, form: Locator
) -> None:
    page.keyboard.press("Escape")
    expect(form).to_be_hidden()
    expect(banner.get_by_role("button", name=PUT_ASIDE)).to_be_focused()


@pytest.mark.parametrize("width", [390, 820, 1440])
def test_axe_finds_nothing_on_the_form(
    page: Page, form: Locator, width: int, accessibility_trouble: Callable[[Page], list[str]]
) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    expect(form).to_be_visible()
    assert accessibility_trouble(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_an_alarm_is_put_aside_with_a_reason_and_brought_back_by_key(
    page: Page, banner: Locator, form: Locator
) -> None:
    message = banner.locator(".what").inner_text()
    page.keyboard.press("ArrowRight")
    expect(form.get_by_role("radio", name="15 min")).to_be_checked()
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    reason = form.get_by_role("textbox", name="Reason").input_value()
    assert reason
    form.get_by_role("button", name="Put aside for 15 min").focus()
    with page.expect_response(lambda answer: answer.url.endswith("/shelve")) as shelved:
        page.keyboard.press("Enter")
    assert shelved.value.ok
    assert shelved.value.json()["state"] == "shelved"
    assert shelved.value.json()["shelved_reason"] == reason

    page.locator(".more-alarms summary", has_text="put aside").focus()
    page.keyboard.press("Enter")
    card = page.locator(".more-alarms article", has_text=message).filter(has_text=reason)
    expect(card).to_contain_text(re.compile(r"put aside\s*until \d\d:\d\d:\d\d"))
    card.get_by_role("button", name=re.compile("^Bring back")).focus()
    with page.expect_response(lambda answer: answer.url.endswith("/unshelve")) as back:
        page.keyboard.press("Enter")
    assert back.value.ok
    assert back.value.json()["state"] != "shelved"


def test_an_alarm_is_acknowledged_with_a_note(page: Page, banner: Locator) -> None:
    banner.get_by_role("button", name=re.compile("^Note …")).focus()
    page.keyboard.press("Enter")
    page.keyboard.type("seen at the bench")
    with page.expect_response(lambda answer: answer.url.endswith("/acknowledge")) as answer:
        page.keyboard.press("Enter")
    assert answer.value.ok
    assert answer.value.json()["note"] == "seen at the bench"


class OneAlarm:
    """Stands in the service's place for one alarm, so that a test says when it clears."""

    def __init__(self, page: Page, url: str) -> None:
        found = page.request.get(f"{url}/api/alarms?state=all").json()[0]
        fresh = {"state": "active", "acknowledged_at": None, "note": None, "shelved_until": None}
        self.shown: dict[str, Any] = {**found, **fresh}
        self.notes: list[str] = []
        page.route("**/api/alarms", lambda route: route.fulfill(json=[self.shown]))
        page.route("**/api/alarms/*/acknowledge", self._acknowledge)
        page.route("**/api/live", self._live)

    def clear(self) -> None:
        """Let the limit hold again: the next connection of the screen tells it."""
        self.shown |= {"state": "cleared", "outcome": "put right"}

    def _acknowledge(self, route: Route) -> None:
        self.notes.append(json.loads(route.request.post_data or "")["note"])
        self.shown |= {"state": "ended", "note": self.notes[-1]}
        route.fulfill(json=self.shown)

    def _live(self, route: Route) -> None:
        beat = json.dumps({"now": self.shown["raised_at"], "trouble": None, "notice": None})
        body = f"retry: 300\nevent: beat\ndata: {beat}\n\n"
        body += f"event: alarm\ndata: {json.dumps(self.shown)}\n\n"
        route.fulfill(status=200, content_type="text/event-stream", body=body)


def test_a_note_that_is_being_typed_outlives_its_alarm(page: Page, fresh_day: str) -> None:
    alarm = OneAlarm(page, fresh_day)
    page.goto(f"{fresh_day}/")
    banner = page.get_by_role("region", name="Alarms", exact=True)
    banner.get_by_role("button", name=re.compile("^Note …")).click()
    page.keyboard.type("warmed it")
    alarm.clear()
    expect(banner).to_contain_text("gone, not yet seen")
    note = banner.get_by_role("form", name="Note").get_by_role("textbox")
    expect(note).to_be_focused()
    expect(note).to_have_value("warmed it")
    page.keyboard.type(" again")
    page.keyboard.press("Enter")
    expect(banner).to_be_hidden()
    assert alarm.notes == ["warmed it again"]
