"""Alarms, readings and the workshop over HTTP. Problem documents by RFC 9457."""

import asyncio
import sqlite3
from collections.abc import AsyncIterator
from pathlib import Path

import pytest
import pytest_asyncio
from workshop_at_hand import BENCH, JUG, POT, AtHand, at_hand, config, problem

from collector.readings import Quality, Role
from collector.store.verify import verify


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        yield hand
    assert verify(tmp_path) == []


# ------------------------------------------------------------------ alarms


@pytest.mark.asyncio
async def test_an_alarm_is_acknowledged_once_with_its_note(hand: AtHand) -> None:
    alarm = await hand.alarm(await hand.open_lot())
    hand.clock.pass_s(2)
    path = f"/api/alarms/{alarm['id']}/acknowledge"
    seen = await hand.http.post(path, json={"note": "phone rang"})
    assert seen.status_code == 200
    assert (seen.json()["state"], seen.json()["note"]) == ("acknowledged", "phone rang")
    assert seen.json()["acknowledged_at"] == "2026-11-25T09:46:44.000Z"
    refused = problem(await hand.http.post(path, json={"note": "again"}), 409)
    assert "acknowledged" in refused["detail"]


@pytest.mark.asyncio
async def test_two_acknowledgements_at_once_are_one_and_the_journal_stays_sound(
    tmp_path: Path,
) -> None:
    async with at_hand(config(tmp_path)) as hand:
        alarm = await hand.alarm(await hand.open_lot())
        path = f"/api/alarms/{alarm['id']}/acknowledge"
        calls = [hand.http.post(path, json={"note": str(n)}) for n in range(4)]
        answers = await asyncio.gather(*calls)
    assert sorted(answer.status_code for answer in answers) == [200, 409, 409, 409]
    async with at_hand(config(tmp_path), hand.clock) as again:  # it starts on that journal
        (kept,) = [a for a in await again.got("/api/alarms?state=all") if a["id"] == alarm["id"]]
    assert kept["state"] == "acknowledged"


@pytest.mark.asyncio
async def test_a_shelved_alarm_is_put_aside_and_comes_back(hand: AtHand) -> None:
    alarm = await hand.alarm(await hand.open_lot())
    path = f"/api/alarms/{alarm['id']}/shelve"
    shelved = await hand.http.post(path, json={"minutes": 5})
    assert (shelved.status_code, shelved.json()["state"]) == (200, "shelved")
    assert shelved.json()["shelved_until"] == "2026-11-25T09:51:42.000Z"
    assert alarm["id"] in [a["id"] for a in await hand.got("/api/alarms")]
    assert alarm["id"] in [a["id"] for a in await hand.got("/api/alarms?state=shelved")]
    hand.clock.pass_s(301)
    assert alarm["id"] in [a["id"] for a in await hand.got("/api/alarms?state=active")]


@pytest.mark.asyncio
@pytest.mark.parametrize("body", [{}, {"minutes": 0}, {"minutes": -1}, {"minutes": 1441}])
async def test_a_shelving_without_a_sensible_time_is_refused(
    hand: AtHand, body: dict[str, int]
) -> None:
    alarm = await hand.alarm(await hand.open_lot())
    problem(await hand.http.post(f"/api/alarms/{alarm['id']}/shelve", json=body), 422)


@pytest.mark.asyncio
async def test_an_alarm_that_is_over_and_seen_has_ended(hand: AtHand) -> None:
    lot = await hand.open_lot()
    await hand.http.post(f"/api/lots/{lot}/close")
    cleared = (await hand.got("/api/alarms?state=cleared"))[0]
    assert (cleared["lot"], cleared["rule"]) == (lot, "skipped-phase")
    assert cleared["outcome"]
    seen = await hand.http.post(f"/api/alarms/{cleared['id']}/acknowledge", json={})
    assert seen.json()["state"] == "ended"
    assert cleared["id"] not in [a["id"] for a in await hand.got("/api/alarms")]
    assert cleared["id"] in [a["id"] for a in await hand.got("/api/alarms?state=all")]
    problem(await hand.http.post(f"/api/alarms/{cleared['id']}/shelve", json={"minutes": 5}), 409)


@pytest.mark.asyncio
async def test_an_unknown_state_of_alarms_is_refused(hand: AtHand) -> None:
    refused = problem(await hand.http.get("/api/alarms?state=loud"), 422)
    assert refused["errors"][0]["field"] == "query.state"


# ------------------------------------------------------------------ readings and curves


@pytest.mark.asyncio
async def test_a_reading_typed_in_is_taken_in_its_own_unit(hand: AtHand) -> None:
    taken = await hand.http.post(
        f"/api/instruments/{JUG}/readings", json={"value": 180.5, "unit": "degF"}
    )
    assert taken.status_code == 201
    (jug,) = [i for i in await hand.got("/api/instruments") if i["name"] == JUG]
    # (180.5 - 32) / 1.8 = 82.5 °C
    assert jug["last"] == {
        "value": 82.5,
        "unit": "degC",
        "quality": "good",
        "taken_at": taken.json()["taken_at"],
    }
    assert (jug["state"], jug["kind"], jug["rejected"]) == ("reading", "manual", {})


@pytest.mark.asyncio
@pytest.mark.parametrize(
    ("body", "field"),
    [
        ({"value": 82.0, "unit": "g"}, "body.unit"),
        ({"value": 82.0, "unit": "warm"}, "body.unit"),
        ({"value": -300.0, "unit": "degC"}, "body.unit"),
        ({"value": 1e300, "unit": "degC"}, "body.unit"),
        ({"value": "82", "unit": "degC"}, "body.value"),
        ({"unit": "degC"}, "body.value"),
    ],
)
async def test_a_reading_that_cannot_be_is_refused(
    hand: AtHand, body: dict[str, object], field: str
) -> None:
    answer = await hand.http.post(f"/api/instruments/{JUG}/readings", json=body)
    assert problem(answer, 422)["errors"][0]["field"] == field


@pytest.mark.asyncio
async def test_an_instrument_with_a_wire_is_not_typed_in(hand: AtHand) -> None:
    body = {"value": 1.0, "unit": "g"}
    refused = problem(await hand.http.post("/api/instruments/attic-scale/readings", json=body), 409)
    assert "attic-scale" in refused["detail"]


@pytest.mark.asyncio
async def test_a_lots_curve_holds_its_own_span(hand: AtHand) -> None:
    await hand.said(POT, Role.POT, 70_000)
    hand.clock.pass_s(1)
    lot = await hand.open_lot()
    for mdegc in (80_000, 81_000, 82_000):
        hand.clock.pass_s(1)
        await hand.said(POT, Role.POT, mdegc)
    hand.clock.pass_s(1)
    await hand.said(POT, Role.POT, 0, Quality.BAD)
    await hand.http.post(f"/api/lots/{lot}/close")
    hand.clock.pass_s(1)
    await hand.said(POT, Role.POT, 90_000)
    await hand.workshop.pipeline.write_now()
    curve = await hand.got(f"/api/lots/{lot}/curve?channel={POT}&points=100")
    assert (curve["channel"], curve["unit"]) == (POT, "degC")
    assert curve["value"] == [80.0, 81.0, 82.0]
    assert curve["t"] == [1795600002.0, 1795600003.0, 1795600004.0]
    live = await hand.got(f"/api/benches/{BENCH}/curve?channel={POT}&minutes=60")
    assert live["value"] == [70.0, 80.0, 81.0, 82.0, 90.0]


@pytest.mark.asyncio
@pytest.mark.parametrize("query", ["points=1", "points=20001", "points=many"])
async def test_a_curve_has_a_sensible_number_of_points(hand: AtHand, query: str) -> None:
    lot = await hand.open_lot()
    problem(await hand.http.get(f"/api/lots/{lot}/curve?channel={POT}&{query}"), 422)


# ------------------------------------------------------------------ the workshop


@pytest.mark.asyncio
async def test_the_workshop_and_its_benches_say_where_they_stand(hand: AtHand) -> None:
    workshop = await hand.got("/api/workshop")
    assert workshop == {
        "name": "Slip Street",
        "timezone": "UTC",
        "display": {"temperature": "degC", "mass": "g"},
        "benches": [BENCH, "attic"],
        "speed": 50.0,
        "now": "2026-11-25T09:46:40.000Z",
        "trouble": None,
        "notice": None,
    }
    assert (await hand.got(f"/api/benches/{BENCH}"))["lot"] is None
    lot = await hand.open_lot()
    await hand.mark(lot, "stir", "begin")
    bench = await hand.got(f"/api/benches/{BENCH}")
    assert (bench["lot"], bench["phase"], bench["vessels"]) == (lot, "stir", 2)
    assert bench["phase_until"] == "2026-11-25T09:47:11.000Z"  # 30 s after the mark
    assert bench["next_mark"] == {"phase": "stir", "edge": "end"}
    assert bench["steps"][2] == {"phase": "stir", "state": "now"}


@pytest.mark.asyncio
async def test_a_store_that_cannot_be_read_is_said_and_the_rest_goes_on(tmp_path: Path) -> None:
    async with at_hand(config(tmp_path)) as hand:
        lot = await hand.open_lot()
        away = tmp_path / "pourkeep.db.away"
        (tmp_path / "pourkeep.db").rename(away)
        for path in ("/api/lots", f"/api/lots/{lot}", "/api/recipes"):
            refused = problem(await hand.http.get(path), 503)
            assert str(tmp_path) in refused["detail"]
        assert (await hand.got(f"/api/benches/{BENCH}"))["lot"] == lot
        away.rename(tmp_path / "pourkeep.db")
        assert (await hand.got(f"/api/lots/{lot}"))["state"] == "open"


@pytest.mark.asyncio
async def test_a_damaged_store_is_said_without_a_traceback(tmp_path: Path) -> None:
    async with at_hand(config(tmp_path)) as hand:
        await hand.open_lot()
        with sqlite3.connect(tmp_path / "pourkeep.db") as other:
            other.execute("PRAGMA user_version = 999")
        other.close()
        refused = problem(await hand.http.get("/api/lots"), 503)
        assert "newer version" in refused["detail"]


@pytest.mark.asyncio
async def test_head_answers_wherever_get_does(hand: AtHand) -> None:
    for path in ("/api/workshop", "/api/live", "/api/lots"):
        answer = await hand.http.head(path)
        assert (answer.status_code, answer.content) == (200, b""), path
    assert (await hand.http.head("/")).status_code == 503  # the screens are not built here
    assert hand.workshop.pipeline.live.screens == 0
