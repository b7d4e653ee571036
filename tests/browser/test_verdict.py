"""A person's verdict on a closed lot, in a real browser."""

import re
from collections.abc import Iterator

import pytest
from idle_workshop import THERMOMETERS, idle_workshop
from playwright.sync_api import Page, expect
from test_lists import recipe


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a workshop in which nobody but the test does anything."""
    with idle_workshop(tmp_path_factory.mktemp("verdict"), THERMOMETERS) as address:
        yield address


def test_a_lot_is_judged_once_it_is_closed_and_the_last_word_counts(
    page: Page, workshop: str
) -> None:
    assert page.request.post(f"{workshop}/api/recipes", data=recipe("Quince")).ok
    order = {"recipe": "Quince", "vessels": 3, "bench": "sill"}
    lot = page.request.post(f"{workshop}/api/lots", data=order).json()["id"]
    page.goto(f"{workshop}/lots/{lot}")
    expect(page.get_by_role("region", name="Batch sheet")).to_be_visible()
    expect(page.get_by_role("heading", name="Was it a good lot?")).to_be_hidden()

    assert page.request.post(f"{workshop}/api/lots/{lot}/close", data={}).ok
    verdict = page.get_by_role("region", name="Verdict")
    expect(verdict).to_contain_text("Nobody has said yet.")
    verdict.get_by_role("textbox", name="Note").fill("even tops")
    verdict.get_by_role("button", name="A good lot", exact=True).press("Enter")
    expect(verdict.get_by_role("status")).to_contain_text(
        re.compile(r"A good lot, said on .+: “even tops”")
    )
    verdict.get_by_role("button", name="Not a good lot").press("Enter")
    expect(verdict.get_by_role("status")).to_contain_text("Not a good lot, said on")

    page.reload()
    expect(verdict.get_by_role("status")).to_contain_text("Not a good lot, said on")
    kept = page.request.get(f"{workshop}/api/lots/{lot}").json()["verdict"]
    assert (kept["good"], kept["note"]) == (False, "even tops")
