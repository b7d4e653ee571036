"""The page of the notices: a target that is away is said everywhere, a test when it is back."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from idle_workshop import idle_workshop
from notice_targets import free_port, hook_url, web_hook
from playwright.sync_api import Page, expect

AWAY = "Notices do not get through to json 127.0.0.1"
SECRET = "an-invented-path"  # noqa: S105 - it opens nothing


@pytest.fixture
def hook_port() -> int:
    return free_port()


@pytest.fixture
def url(tmp_path: Path, hook_port: int) -> Iterator[str]:
    """The address of a workshop whose notices go to a port of this machine."""
    notices = f'[notices]\nto = ["{hook_url(hook_port, SECRET)}"]\nquiet = ["22:00", "07:00"]\n'
    with idle_workshop(tmp_path, notices) as url:
        yield url


def press_test(page: Page) -> None:
    page.get_by_role("button", name="Send a test").click()


def test_a_target_that_is_away_is_said_on_every_page(
    page: Page, url: str, accessibility_trouble: Callable[[Page], list[str]]
) -> None:
    page.goto(f"{url}/notices")
    expect(page.get_by_role("heading", name="Notices", exact=True)).to_be_visible()
    expect(page.get_by_text("not tried yet")).to_be_visible()
    press_test(page)
    expect(page.get_by_text("Test failed")).to_be_visible()
    expect(page.get_by_text("does not get through")).to_be_visible()
    expect(page.get_by_text(AWAY)).to_be_visible()
    assert accessibility_trouble(page) == []
    assert SECRET not in page.content()
    page.goto(f"{url}/")
    expect(page.get_by_text(AWAY)).to_be_visible()


def test_once_it_is_back_a_test_tells_so(page: Page, url: str, hook_port: int) -> None:
    page.goto(f"{url}/notices")
    press_test(page)
    expect(page.get_by_text("Test failed")).to_be_visible()
    with web_hook(hook_port) as hook:
        press_test(page)
        expect(page.get_by_text("Test sent")).to_be_visible()
        expect(page.get_by_text("gets through", exact=True)).to_be_visible()
        expect(page.get_by_text(AWAY)).to_be_hidden()
    (got,) = hook.got
    assert got["title"] == "Weir Street: test, nothing has happened"


def test_a_test_under_way_is_seen_and_the_button_waits(page: Page, url: str) -> None:
    page.goto(f"{url}/notices")
    button = page.get_by_role("button", name="Send a test")
    expect(button).to_be_visible()
    page.route("**/api/notices/test", lambda _route: None)  # no answer comes
    button.click()
    expect(page.get_by_text("Sending a test")).to_be_visible()
    expect(button).to_have_attribute("aria-disabled", "true")


@pytest.mark.parametrize(("width", "scheme"), [(390, "light"), (1440, "dark")])
def test_without_the_section_the_page_says_how_to_write_it(
    page: Page,
    tmp_path: Path,
    width: int,
    scheme: str,
    accessibility_trouble: Callable[[Page], list[str]],
) -> None:
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    page.set_viewport_size({"width": width, "height": 844})
    with idle_workshop(tmp_path) as url:
        page.goto(f"{url}/notices")
        expect(page.get_by_text("Nobody is told anything")).to_be_visible()
        lines = page.locator("pre").inner_text()
        assert accessibility_trouble(page) == []
        wide = page.evaluate("document.documentElement.scrollWidth")
    assert lines.startswith("[notices]")
    assert wide <= width


def test_quiet_hours_and_what_they_hold_are_said(page: Page, url: str) -> None:
    found = page.request.get(f"{url}/api/notices").json()
    found["quiet"] |= {"now": True, "until": "2026-07-02T07:00:00Z"}
    found |= {"held": ["1", "2"], "gathered": 1}
    page.route("**/api/notices", lambda route: route.fulfill(body=json.dumps(found)))
    page.goto(f"{url}/notices")
    expect(page.get_by_text("Quiet hours are from 22:00 to 07:00: only high")).to_be_visible()
    expect(page.get_by_text("It is quiet now, until 07:00.")).to_be_visible()
    expect(page.get_by_text("2 alarms wait for their end.")).to_be_visible()
    expect(page.get_by_text("1 alarm is about to be told.")).to_be_visible()
