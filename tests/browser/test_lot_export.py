"""A lot is taken away as a file from its page, in a real browser under the service's own CSP."""

import csv
import io
import json
import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pyarrow.parquet as pq
import pytest
from playwright.sync_api import Download, Locator, Page, expect

PATIENCE_MS = 20_000
PNG = b"\x89PNG\r\n\x1a\n"
"""The first eight bytes of every PNG file (ISO/IEC 15948, 5.2)."""


@pytest.fixture
def lot(page: Page, day_url: str) -> str:
    """Open the page of the newest lot and return its id."""
    found = str(page.request.get(f"{day_url}/api/lots").json()[0]["id"])
    page.goto(f"{day_url}/lots/{found}")
    expect(page.get_by_role("link", name="CSV")).to_be_visible(timeout=PATIENCE_MS)
    return found


@pytest.fixture
def panel(page: Page, lot: str) -> Locator:
    assert lot
    return page.get_by_role("region", name="Take it with you")


def saved(press: Locator) -> Download:
    """Press something and return the file that the browser saves."""
    with press.page.expect_download() as waiting:
        press.click()
    assert waiting.value.failure() is None
    return waiting.value


def rows_of(name: str, file: Path) -> list[dict[str, Any]]:
    if name == "csv":
        return list(csv.DictReader(io.StringIO(file.read_text("utf-8"), newline="")))
    if name == "jsonl":
        return [json.loads(line) for line in file.read_text("utf-8").splitlines()]
    found: list[dict[str, Any]] = pq.read_table(file).to_pylist()
    return found


@pytest.mark.parametrize(
    ("link", "name"), [("CSV", "csv"), ("Parquet", "parquet"), ("JSON lines", "jsonl")]
)
def test_each_format_is_saved_by_its_link(
    panel: Locator, lot: str, tmp_path: Path, link: str, name: str
) -> None:
    file = saved(panel.get_by_role("link", name=link))
    assert file.suggested_filename == f"lot-{lot}.{name}"
    file.save_as(tmp_path / "file")
    rows = rows_of(name, tmp_path / "file")
    readings = [row for row in rows if row["kind"] == "reading"]
    assert {row["lot"] for row in readings} == {lot}
    assert len(readings) > 20
    expect(panel.get_by_role("status")).to_contain_text(f"Your browser saves lot-{lot}.{name}")


def test_the_picture_is_the_chart_under_its_title(
    page: Page, panel: Locator, lot: str, tmp_path: Path
) -> None:
    chart = page.locator("canvas").first
    expect(chart).to_be_visible()
    file = saved(panel.get_by_role("button", name="Picture"))
    assert file.suggested_filename == f"lot-{lot}.png"
    file.save_as(tmp_path / "lot.png")
    data = (tmp_path / "lot.png").read_bytes()
    assert data.startswith(PNG)
    width, height = struct.unpack(">II", data[16:24])  # of IHDR: ISO/IEC 15948, 11.2.2
    drawn = chart.evaluate("canvas => [canvas.width, canvas.height]")
    assert width > drawn[0]
    assert height > drawn[1] + 50
    expect(panel.get_by_role("status")).to_have_text(f"Saved as lot-{lot}.png.")


def test_how_large_a_file_becomes_is_said_beforehand(panel: Locator) -> None:
    for link in ("CSV", "Parquet", "JSON lines"):
        expect(panel.get_by_role("link", name=link)).to_contain_text("about")
    expect(panel).to_contain_text("readings")


def test_that_readings_were_removed_is_said(page: Page, day_url: str) -> None:
    lot = page.request.get(f"{day_url}/api/lots").json()[0]["id"]
    told = page.request.get(f"{day_url}/api/lots/{lot}/exports").json()
    lost = {**told, "readings_removed": True}
    lost["formats"] = [
        {
            **made,
            "unavailable": "It cannot be written here." if made["format"] == "parquet" else None,
        }
        for made in told["formats"]
    ]
    page.route("**/exports", lambda route: route.fulfill(json=lost))
    page.goto(f"{day_url}/lots/{lot}")
    panel = page.get_by_role("region", name="Take it with you")
    expect(panel.get_by_role("link", name="CSV")).to_be_visible(timeout=PATIENCE_MS)
    expect(panel).to_contain_text("Readings of this lot were removed from the store.")
    expect(panel).to_contain_text("It cannot be written here.")
    expect(panel.get_by_role("link", name="Parquet")).to_have_count(0)


@pytest.mark.parametrize("width", [390, 820, 1440])
def test_each_way_is_large_enough_for_a_thumb(page: Page, panel: Locator, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    for way in panel.locator("a, button").all():
        box = way.bounding_box()
        assert box is not None
        assert box["height"] >= 56
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_axe_finds_nothing_on_it(
    page: Page, panel: Locator, accessibility_trouble: Callable[[Page], list[str]]
) -> None:
    expect(panel).to_be_visible()
    assert accessibility_trouble(page) == []


def test_the_browser_complains_of_no_policy(page: Page, day_url: str, lot: str) -> None:
    complaints: list[str] = []
    page.on("console", lambda message: complaints.append(message.text))
    page.goto(f"{day_url}/lots/{lot}")
    expect(page.locator("canvas").first).to_be_visible()
    panel = page.get_by_role("region", name="Take it with you")
    saved(panel.get_by_role("button", name="Picture"))
    saved(panel.get_by_role("link", name="CSV"))
    assert [told for told in complaints if "Content Security Policy" in told] == []
