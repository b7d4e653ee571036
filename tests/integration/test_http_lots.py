"""Recipes, lots and marks over HTTP and a real workshop. Problem documents by RFC 9457."""

import asyncio
import contextlib
import copy
import threading
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import pytest
import pytest_asyncio
from workshop_at_hand import BENCH, JUG, POT, RECIPE, SCALE, AtHand, at_hand, config, problem

from collector.store.verify import verify


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        yield hand
    assert verify(tmp_path) == []


def recipe(*path: str, value: object) -> dict[str, Any]:
    """Return the recipe with one key changed."""
    changed = copy.deepcopy(RECIPE)
    inner = changed
    for name in path[:-1]:
        inner = inner[name]
    inner[path[-1]] = value
    return changed


# ------------------------------------------------------------------ recipes


@pytest.mark.asyncio
async def test_a_recipe_comes_back_as_it_was_posted(hand: AtHand) -> None:
    kept = await hand.http.post("/api/recipes", json=RECIPE)
    assert (kept.status_code, kept.json()) == (
        201,
        {"name": RECIPE["name"], "version": 1},
    )
    (entry,) = await hand.got("/api/recipes")
    assert entry["recipe"] == RECIPE
    assert entry["phases"] == ["draw wax", "add fragrance", "stir", "pour", "set", "cure"]


@pytest.mark.asyncio
async def test_a_recipe_posted_again_takes_the_place_of_the_first(hand: AtHand) -> None:
    await hand.http.post("/api/recipes", json=RECIPE)
    changed = recipe("vessel", "fill", value="130 g")
    assert (await hand.http.post("/api/recipes", json=changed)).status_code == 201
    (entry,) = await hand.got("/api/recipes")
    assert entry["recipe"]["vessel"]["fill"] == "130 g"


@pytest.mark.asyncio
@pytest.mark.parametrize(
    ("document", "field", "words"),
    [
        (recipe("vessel", "fill", value="120 degC"), "body.vessel.fill", "a temperature"),
        (recipe("vessel", "fill", value=120), "body.vessel.fill", "120"),
        (recipe("stir", "at_least", value="30 g"), "body.stir.at_least", "duration"),
        (
            recipe("pour", "between", value=["63 degC", "57 degC"]),
            "body.pour.between",
            "inverted",
        ),
        (recipe("vessel", "colour", value="grey"), "body.vessel.colour", "unknown key"),
        (recipe("wick", value={}), "body.wick", "unknown key"),
        ({"name": "No vessel"}, "body.vessel", "missing"),
    ],
)
async def test_a_recipe_that_makes_no_sense_is_refused_at_its_field(
    hand: AtHand, document: dict[str, Any], field: str, words: str
) -> None:
    refused = problem(await hand.http.post("/api/recipes", json=document), 422)
    (error,) = refused["errors"]
    assert error["field"] == field
    assert words in error["problem"]
    assert await hand.got("/api/recipes") == []


@pytest.mark.asyncio
@pytest.mark.parametrize(
    "body",
    [b"", b"{", b"[]", b"null", b'"text"', b"[" * 100_000, b"\xff\xfe", b'{"name": "\\ud800"}'],
)
async def test_a_body_that_is_no_recipe_is_refused(hand: AtHand, body: bytes) -> None:
    answer = await hand.http.post(
        "/api/recipes", content=body, headers={"content-type": "application/json"}
    )
    assert answer.status_code in (400, 422)
    problem(answer, answer.status_code)


# ------------------------------------------------------------------ lots


@pytest.mark.asyncio
async def test_a_lot_opens_with_its_batch_sheet_and_what_to_do(hand: AtHand) -> None:
    lot = await hand.open_lot(vessels=2)
    assert lot == "2026-11-25-1"
    shown = await hand.got(f"/api/lots/{lot}")
    # 2 x 120 g + 12 g on the wall; 8 % of the wax: 252 / 1.08 = 233.333 g, by hand
    sheet = shown["batch_sheet"]
    assert (sheet["mix"], sheet["wax"], sheet["fragrance"]) == (252.0, 233.333, 18.667)
    assert (sheet["load"], sheet["load_of"]) == (8.0, "wax")
    assert shown["recipe"]["windows"]["add"] == {"low": 70.0, "high": 80.0}
    assert shown["recipe"]["document"] == RECIPE
    assert (shown["recipe"]["never_above"], shown["recipe"]["stir_seconds"]) == (92.0, 30)
    assert {c["channel"] for c in shown["channels"]} == {SCALE, JUG, POT}
    assert shown["advice"]["do"]
    assert (shown["state"], shown["closed_at"], shown["deviations"]) == ("open", None, [])


@pytest.mark.asyncio
async def test_a_busy_bench_names_its_open_lot(hand: AtHand) -> None:
    lot = await hand.open_lot()
    body = {"recipe": RECIPE["name"], "vessels": 2, "bench": BENCH}
    refused = problem(await hand.http.post("/api/lots", json=body), 409)
    assert refused["lot"] == lot


@pytest.mark.asyncio
async def test_two_opens_at_once_make_one_lot(hand: AtHand) -> None:
    await hand.http.post("/api/recipes", json=RECIPE)
    body = {"recipe": RECIPE["name"], "vessels": 2, "bench": BENCH}
    answers = await asyncio.gather(*(hand.http.post("/api/lots", json=body) for _ in range(5)))
    opened = [answer for answer in answers if answer.status_code == 201]
    assert len(opened) == 1
    for answer in answers:
        if answer is not opened[0]:
            assert problem(answer, 409)["lot"] == opened[0].json()["id"]
    assert len(await hand.got("/api/lots")) == 1


@pytest.mark.asyncio
async def test_lots_of_two_benches_at_once_get_numbers_of_their_own(
    hand: AtHand, monkeypatch: pytest.MonkeyPatch
) -> None:
    lot_serials = hand.workshop.history.lot_serials

    together = threading.Barrier(2)

    def slowly(prefix: str) -> list[int]:
        found = lot_serials(prefix)
        with contextlib.suppress(threading.BrokenBarrierError):  # the other one does not come
            together.wait(0.2)
        return found

    monkeypatch.setattr(hand.workshop.history, "lot_serials", slowly)
    await hand.http.post("/api/recipes", json=RECIPE)
    bodies = [{"recipe": RECIPE["name"], "vessels": 1, "bench": b} for b in (BENCH, "attic")]
    answers = await asyncio.gather(*(hand.http.post("/api/lots", json=body) for body in bodies))
    assert sorted(a.json()["id"] for a in answers) == ["2026-11-25-1", "2026-11-25-2"]


@pytest.mark.asyncio
async def test_a_lots_number_follows_the_workshops_own_date(tmp_path: Path) -> None:
    settings = config(tmp_path, timezone="Pacific/Kiritimati")  # UTC+14: tomorrow there already
    async with at_hand(settings) as hand:
        assert await hand.open_lot() == "2026-11-25-1"
        hand.clock.pass_s(900)  # past 10:00 UTC
        assert await hand.open_lot(bench="attic") == "2026-11-26-1"


@pytest.mark.asyncio
@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"vessels": 0}, "body.vessels"),
        ({"vessels": 1001}, "body.vessels"),
        ({"vessels": "2"}, "body.vessels"),
        ({"vessels": 2.5}, "body.vessels"),
        ({"bench": None}, "body.bench"),
        ({"colour": "grey"}, "body.colour"),
    ],
)
async def test_a_wrong_lot_request_names_the_field(
    hand: AtHand, change: dict[str, object], field: str
) -> None:
    await hand.http.post("/api/recipes", json=RECIPE)
    body = {"recipe": RECIPE["name"], "vessels": 2, "bench": BENCH, **change}
    refused = problem(await hand.http.post("/api/lots", json=body), 422)
    assert [error["field"] for error in refused["errors"]] == [field]
    assert await hand.got("/api/lots") == []


@pytest.mark.asyncio
async def test_what_is_not_there_is_not_found(hand: AtHand) -> None:
    lot = await hand.open_lot()
    mark = {"phase": "stir", "edge": "begin"}
    request = {"recipe": RECIPE["name"], "vessels": 1, "bench": "attic"}
    missing = [
        await hand.http.get("/api/lots/2020-01-01-1"),
        await hand.http.post("/api/lots", json={**request, "recipe": "No such"}),
        await hand.http.post("/api/lots", json={**request, "bench": "cellar"}),
        await hand.http.post("/api/lots/2020-01-01-1/marks", json=mark),
        await hand.http.post(f"/api/lots/{lot}/marks", json={**mark, "phase": "sing"}),
        await hand.http.post("/api/lots/2020-01-01-1/close"),
        await hand.http.get(f"/api/lots/{lot}/curve", params={"channel": "attic-scale"}),
        await hand.http.get("/api/lots/2020-01-01-1/curve", params={"channel": SCALE}),
        await hand.http.get("/api/benches/cellar"),
        await hand.http.get(f"/api/benches/{BENCH}/curve", params={"channel": "attic-scale"}),
        await hand.http.post("/api/alarms/nothing/acknowledge", json={"note": ""}),
        await hand.http.post("/api/alarms/nothing/shelve", json={"minutes": 5}),
        await hand.http.post("/api/instruments/none/readings", json={"value": 1, "unit": "g"}),
        await hand.http.get("/api/nothing"),
    ]
    for answer in missing:
        problem(answer, 404)


@pytest.mark.asyncio
async def test_closing_says_what_was_missed_and_closing_twice_is_refused(hand: AtHand) -> None:
    lot = await hand.open_lot()
    hand.clock.pass_s(5)
    closed = await hand.http.post(f"/api/lots/{lot}/close")
    assert (closed.status_code, closed.json()) == (200, {"id": lot, "state": "closed"})
    shown = await hand.got(f"/api/lots/{lot}")
    assert shown["state"] == "closed"
    assert shown["closed_at"] == "2026-11-25T09:46:45.000Z"
    assert shown["advice"] is None
    skipped = {d["phase"] for d in shown["deviations"] if d["rule"] == "skipped-phase"}
    assert {"draw wax", "add fragrance", "pour"} <= skipped
    refused = problem(await hand.http.post(f"/api/lots/{lot}/close"), 409)
    assert lot in refused["detail"]


@pytest.mark.asyncio
async def test_closing_twice_at_once_closes_once(hand: AtHand) -> None:
    lot = await hand.open_lot()
    answers = await asyncio.gather(*(hand.http.post(f"/api/lots/{lot}/close") for _ in range(4)))
    assert sorted(answer.status_code for answer in answers) == [200, 409, 409, 409]


@pytest.mark.asyncio
async def test_lots_are_listed_newest_first_with_their_deviations(hand: AtHand) -> None:
    first = await hand.open_lot()
    hand.clock.pass_s(5)
    await hand.http.post(f"/api/lots/{first}/close")
    second = await hand.open_lot()
    listed = await hand.got("/api/lots")
    assert [entry["id"] for entry in listed] == [second, first]
    assert [entry["state"] for entry in listed] == ["open", "closed"]
    shown = await hand.got(f"/api/lots/{first}")
    assert listed[1]["deviations"] == len(shown["deviations"]) > 0


# ------------------------------------------------------------------ marks


@pytest.mark.asyncio
async def test_marks_make_a_phase_of_their_length(hand: AtHand) -> None:
    lot = await hand.open_lot()
    begun = await hand.mark(lot, "stir", "begin")
    assert (begun.status_code, begun.json()) == (201, {"at": "2026-11-25T09:46:41.000Z"})
    hand.clock.pass_s(40)
    await hand.mark(lot, "stir", "end")
    shown = await hand.got(f"/api/lots/{lot}")
    (stir,) = [phase for phase in shown["phases"] if phase["phase"] == "stir"]
    assert (stir["seconds"], stir["evidence"]) == (41.0, "mark")
    assert [(m["phase"], m["edge"]) for m in shown["marks"]] == [("stir", "begin"), ("stir", "end")]


@pytest.mark.asyncio
async def test_a_phase_that_the_recipe_lacks_cannot_be_marked(hand: AtHand) -> None:
    lot = await hand.open_lot()
    refused = problem(await hand.mark(lot, "prepare", "begin"), 409)
    assert "prepare" in refused["detail"]
    assert "stir" in refused["detail"]


@pytest.mark.asyncio
@pytest.mark.parametrize("body", [{"phase": "stir"}, {"phase": "stir", "edge": "middle"}, {}])
async def test_a_mark_without_its_edge_is_refused(hand: AtHand, body: dict[str, str]) -> None:
    lot = await hand.open_lot()
    problem(await hand.http.post(f"/api/lots/{lot}/marks", json=body), 422)


@pytest.mark.asyncio
async def test_a_closed_lot_takes_marks_of_its_aftercare_only(hand: AtHand) -> None:
    lot = await hand.open_lot()
    await hand.http.post(f"/api/lots/{lot}/close")
    problem(await hand.mark(lot, "pour", "begin"), 409)
    assert (await hand.mark(lot, "cure", "begin")).status_code == 201


@pytest.mark.asyncio
async def test_a_mark_of_an_earlier_lots_aftercare_leaves_the_open_lot_alone(hand: AtHand) -> None:
    first = await hand.open_lot()
    await hand.http.post(f"/api/lots/{first}/close")
    second = await hand.open_lot()
    assert (await hand.mark(first, "cure", "begin")).status_code == 201
    assert [m["phase"] for m in (await hand.got(f"/api/lots/{first}"))["marks"]] == ["cure"]
    shown = await hand.got(f"/api/lots/{second}")
    assert (shown["phases"], shown["deviations"], shown["marks"]) == ([], [], [])
