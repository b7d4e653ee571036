"""Notes and photographs of a lot, in a real browser."""

import base64
import re
from collections.abc import Callable

import pytest
from made_pictures import png
from playwright.sync_api import Page, expect

from collector.pictures import MediaType, Picture, recognize

LOADED_MS = 20_000
"""A page may take this long to load where other tests keep the machine busy."""

LARGE = png(2400, 1800)

DRAWN = """async ([width, height, kind]) => {
  const canvas = document.createElement("canvas");
  Object.assign(canvas, { width, height });
  const pen = canvas.getContext("2d");
  pen.fillRect(0, 0, width / 2, height);
  const blob = await new Promise((resolve) => canvas.toBlob(resolve, kind));
  const bytes = new Uint8Array(await blob.arrayBuffer());
  return btoa(String.fromCharCode(...bytes));
}"""


def lot_of(page: Page, day: str) -> str:
    return str(page.request.get(f"{day}/api/lots").json()[0]["id"])


def open_lot(page: Page, day: str) -> str:
    lot = lot_of(page, day)
    page.goto(f"{day}/lots/{lot}")
    panel = page.get_by_role("region", name="Notes and photographs")
    expect(panel).to_be_visible(timeout=LOADED_MS)
    return lot


def choose(page: Page, name: str, body: bytes, kind: str = "image/png") -> None:
    field = page.locator('input[type="file"]').first
    field.set_input_files({"name": name, "mimeType": kind, "buffer": body})


def test_a_note_is_written_survives_a_reload_before_and_after_and_is_taken_back(
    page: Page, fresh_day: str
) -> None:
    open_lot(page, fresh_day)
    field = page.get_by_role("textbox", name="Write a note")
    field.fill("Wick 3 leans.\nStraightened at the second look.")
    page.reload()
    expect(field).to_have_value("Wick 3 leans.\nStraightened at the second look.")
    field.press("Control+Enter")
    listed = page.get_by_role("list", name="Notes")
    expect(listed).to_contain_text("Straightened at the second look.")
    expect(field).to_have_value("")
    page.reload()
    expect(listed).to_contain_text("Wick 3 leans.")

    listed.get_by_role("button", name="Take back the note of").press("Enter")
    form = page.get_by_role("form", name="Take back the note of")
    form.get_by_role("button", name="Yes, take the note back").press("Enter")
    expect(form.get_by_role("alert")).to_contain_text("Say why")
    form.get_by_role("textbox").fill("the other lot")
    form.get_by_role("button", name="Yes, take the note back").press("Enter")
    expect(listed).to_contain_text(re.compile(r"Taken back on .+: “the other lot”"))
    expect(listed.locator("s")).to_contain_text("Wick 3 leans.")


def test_what_was_typed_survives_that_the_service_is_out_of_reach(
    page: Page, fresh_day: str
) -> None:
    open_lot(page, fresh_day)
    field = page.get_by_role("textbox", name="Write a note")
    page.route("**/notes", lambda route: route.abort())
    field.fill("frost at the rim")
    page.get_by_role("button", name="Keep the note").press("Enter")
    form = page.get_by_role("form", name="Write a note")
    expect(form.get_by_role("alert")).to_contain_text("The note is not kept yet")
    expect(field).to_have_value("frost at the rim")
    page.unroute("**/notes")
    page.get_by_role("button", name="Keep the note").press("Enter")
    expect(page.get_by_role("list", name="Notes")).to_contain_text("frost at the rim")
    expect(form.get_by_role("alert")).to_be_hidden()


def test_a_photograph_is_sent_smaller_shown_large_and_taken_back(
    page: Page, fresh_day: str, accessibility_trouble: Callable[[Page], list[str]]
) -> None:
    lot = open_lot(page, fresh_day)
    page.get_by_role("textbox", name="Caption").fill("Vessel 3, a sinkhole")
    choose(page, "tray.png", LARGE)
    thumbs = page.get_by_role("list", name="Photographs")
    expect(thumbs.get_by_role("listitem")).to_have_count(1)
    choose(page, "rim.png", png(640, 480, 30))
    expect(thumbs.get_by_role("listitem")).to_have_count(2)
    page.reload()
    thumb = page.get_by_role("button", name="Show large: Vessel 3, a sinkhole")
    thumb.scroll_into_view_if_needed()
    expect(thumb).to_contain_text("Vessel 3, a sinkhole")
    wide = "(image) => image.complete && image.naturalWidth"
    page.wait_for_function(wide, arg=thumb.locator("img").element_handle())
    assert thumb.locator("img").evaluate(wide) == 1600
    kept = page.request.get(f"{fresh_day}/api/lots/{lot}").json()["photographs"]
    assert [(one["width"], one["height"], one["media_type"]) for one in kept] == [
        (1600, 1200, "image/jpeg"),
        (640, 480, "image/jpeg"),
    ]
    assert accessibility_trouble(page) == []

    thumb.press("Enter")
    large = page.get_by_role("dialog", name="Vessel 3, a sinkhole")
    expect(large.get_by_role("img", name="Vessel 3, a sinkhole")).to_be_visible()
    assert accessibility_trouble(page) == []
    page.keyboard.press("ArrowRight")
    other = page.get_by_role("dialog", name=re.compile("Photograph of"))
    expect(other).to_contain_text("2 of 2")
    page.keyboard.press("ArrowRight")
    expect(large).to_contain_text("1 of 2")
    page.keyboard.press("Escape")
    expect(large).to_be_hidden()
    expect(thumb).to_be_focused()

    thumb.press("Enter")
    large.get_by_role("button", name="Take it back").press("Enter")
    reason = large.get_by_role("textbox", name="Why is it taken back?")
    expect(reason).to_be_focused()
    page.keyboard.press("Escape")  # closes the form, not the picture
    expect(reason).to_be_hidden()
    expect(large).to_be_visible()
    large.get_by_role("button", name="Take it back").press("Enter")
    reason.fill("a face in it")
    large.get_by_role("button", name="Yes, delete the picture").press("Enter")
    expect(page.get_by_role("dialog")).to_be_hidden()
    panel = page.get_by_role("region", name="Notes and photographs")
    told = re.compile("Vessel 3, a sinkhole: taken back on .+ “a face in it”")
    expect(panel).to_contain_text(told)
    expect(thumbs.get_by_role("listitem")).to_have_count(1)
    gone = page.request.get(f"{fresh_day}/api/lots/{lot}/photographs/{kept[0]['id']}")
    assert gone.status == 404


def test_a_text_called_jpg_is_said_to_be_none(page: Page, fresh_day: str) -> None:
    open_lot(page, fresh_day)
    choose(page, "list.jpg", b"eggs, flour, wicks", "image/jpeg")
    panel = page.get_by_role("region", name="Notes and photographs")
    expect(panel.get_by_role("alert")).to_contain_text("list.jpg was not sent.")
    panel.get_by_role("button", name="Let it be").press("Enter")
    expect(panel.get_by_role("alert")).to_be_hidden()


def test_one_that_was_not_sent_is_tried_again_with_a_press(page: Page, fresh_day: str) -> None:
    open_lot(page, fresh_day)
    page.route("**/photographs?*", lambda route: route.abort())
    page.get_by_role("textbox", name="Caption").fill("second try")
    choose(page, "again.png", png(300, 200, 90))
    panel = page.get_by_role("region", name="Notes and photographs")
    expect(panel.get_by_role("alert")).to_contain_text("again.png was not sent.")
    page.unroute("**/photographs?*")
    panel.get_by_role("button", name="Try again").press("Enter")
    expect(panel.get_by_role("button", name="Show large: second try")).to_be_visible()


def test_a_picture_is_dropped_on_the_panel(page: Page, fresh_day: str) -> None:
    open_lot(page, fresh_day)
    page.get_by_role("textbox", name="Caption").fill("dropped")
    files = page.evaluate_handle(
        """(text) => {
          const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
          const files = new DataTransfer();
          files.items.add(new File([bytes], "dropped.png", { type: "image/png" }));
          return files;
        }""",
        base64.b64encode(png(200, 100, 60)).decode(),
    )
    panel = page.get_by_role("region", name="Notes and photographs")
    for kind in ("dragover", "drop"):
        panel.dispatch_event(kind, {"dataTransfer": files})
    expect(panel.get_by_role("button", name="Show large: dropped")).to_be_visible()


def test_two_people_see_each_others_notes_and_photographs(page: Page, fresh_day: str) -> None:
    lot = open_lot(page, fresh_day)
    other = page.context.new_page()
    other.goto(f"{fresh_day}/lots/{lot}")
    field = other.get_by_role("textbox", name="Write a note")
    field.fill("seen by both")
    field.press("Control+Enter")
    expect(page.get_by_role("list", name="Notes")).to_contain_text("seen by both")
    other.get_by_role("textbox", name="Caption").fill("also seen by both")
    choose(other, "both.png", png(120, 90, 5))
    expect(page.get_by_role("button", name="Show large: also seen by both")).to_be_visible()


def test_the_bench_leads_to_the_panel(page: Page, fresh_day: str) -> None:
    page.goto(fresh_day)
    page.get_by_role("link", name="Add a note or photograph").click()
    panel = page.get_by_role("region", name="Notes and photographs")
    expect(panel).to_be_focused()
    expect(panel).to_be_in_viewport(ratio=0.1)
    assert page.url.endswith("#notes")


@pytest.mark.parametrize("kind", [kind.value for kind in MediaType])
@pytest.mark.parametrize("size", [(320, 240), (33, 77)])
def test_what_a_browser_draws_is_recognized_with_its_size(
    page: Page, fresh_day: str, kind: str, size: tuple[int, int]
) -> None:
    page.goto(fresh_day)
    body = base64.b64decode(page.evaluate(DRAWN, [*size, kind]))
    assert recognize(body) == Picture(MediaType(kind), *size)
