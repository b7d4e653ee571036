"""What is not yet trouble is said on every page, below what is."""

import json
from collections.abc import Callable, Iterator

import pytest
from idle_workshop import idle_workshop
from playwright.sync_api import Page, expect

NOTICE = "123 MB are free on the disk that holds the record."
TROUBLE = "The disk is full."


@pytest.fixture(scope="module")
def idle_url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a workshop whose bench is idle."""
    with idle_workshop(tmp_path_factory.mktemp("idle")) as url:
        yield url


def tell(page: Page, url: str, trouble: str | None, notice: str | None) -> None:
    """Let the service say these, in its beats and when it is asked."""
    said = {"trouble": trouble, "notice": notice}
    beat = json.dumps({"now": "2026-07-01T10:20:30Z", **said})
    workshop = {**page.request.get(f"{url}/api/workshop").json(), **said}
    page.route("**/api/workshop", lambda route: route.fulfill(json=workshop))
    page.route(
        "**/api/live",
        lambda route: route.fulfill(
            content_type="text/event-stream", body=f"retry: 500\nevent: beat\ndata: {beat}\n\n"
        ),
    )


@pytest.mark.parametrize(("path", "scheme"), [("/", "light"), ("/lots", "dark")])
def test_a_notice_is_on_every_page_by_day_and_night(
    page: Page,
    idle_url: str,
    path: str,
    scheme: str,
    accessibility_trouble: Callable[[Page], list[str]],
) -> None:
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    tell(page, idle_url, None, NOTICE)
    page.goto(f"{idle_url}{path}")
    expect(page.get_by_text(NOTICE)).to_be_visible()
    assert accessibility_trouble(page) == []


def test_trouble_stands_above_a_notice(page: Page, idle_url: str) -> None:
    tell(page, idle_url, TROUBLE, NOTICE)
    page.goto(f"{idle_url}/")
    trouble, notice = page.get_by_text(TROUBLE), page.get_by_text(NOTICE)
    expect(trouble).to_be_visible()
    expect(notice).to_be_visible()
    above, below = trouble.bounding_box(), notice.bounding_box()
    assert above is not None
    assert below is not None
    assert above["y"] < below["y"]
