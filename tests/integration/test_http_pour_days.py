"""Pour days over HTTP and a real workshop. Problem documents by RFC 9457."""

from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import pytest
import pytest_asyncio
from workshop_at_hand import BENCH, RECIPE, AtHand, at_hand, config, problem

from collector.lot_events import LotOpened, PotTold
from collector.pot import Pot
from collector.store.verify import verify

NAME = RECIPE["name"]
PLAN: dict[str, Any] = {
    "lots": [{"recipe": NAME, "vessels": 6}, {"recipe": NAME, "vessels": 2}],
    "melted": "900 g",
    "residue": "40 g",
}


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        assert (await hand.http.post("/api/recipes", json=RECIPE)).status_code == 201
        yield hand
    assert verify(tmp_path) == []


async def plan(hand: AtHand, **changes: object) -> str:
    answer = await hand.http.post("/api/pour-days", json={**PLAN, **changes})
    assert answer.status_code == 201, answer.text
    return str(answer.json()["id"])


def lot_request(day: str, recipe: str = NAME) -> dict[str, object]:
    return {"recipe": recipe, "vessels": 6, "bench": BENCH, "pour_day": day}


@pytest.mark.asyncio
async def test_a_planned_day_shows_pot_lots_and_pitchers(hand: AtHand) -> None:
    # 6 vessels: 6 x 120 + 12 = 732 g, wax 732 / 1.08 = 677.778 g; 2: 252 g, wax 233.333 g;
    # with the pot's 40 g it must hold 951.111 g, 51.111 g more than the 900 g melted
    day = await plan(hand)
    shown = await hand.got(f"/api/pour-days/{day}")
    assert (shown["pot"]["must_hold"], shown["pot"]["needed"]) == (951.111, 911.111)
    assert (shown["pot"]["left"], shown["pot"]["enough"]) == (900.0, False)
    assert "51.1 g less" in shown["pot"]["message"]
    assert [(lot["state"], lot["wax"]) for lot in shown["lots"]] == [
        ("planned", 677.778),
        ("planned", 233.333),
    ]
    assert await hand.got("/api/pour-days") == [shown]


@pytest.mark.asyncio
async def test_days_are_numbered_and_listed_newest_first(hand: AtHand) -> None:
    days = [await plan(hand), await plan(hand, melted=None)]
    assert days == ["day-2026-11-25-1", "day-2026-11-25-2"]
    listed = await hand.got("/api/pour-days")
    assert [entry["id"] for entry in listed] == days[::-1]
    assert (listed[0]["pot"]["enough"], listed[0]["pot"]["left"]) == (None, None)


@pytest.mark.asyncio
async def test_a_lot_of_the_day_carries_the_rest_of_the_pot(hand: AtHand) -> None:
    day = await plan(hand)
    opened = await hand.http.post("/api/lots", json=lot_request(day))
    lot = opened.json()["id"]
    shown = await hand.got(f"/api/lots/{lot}")
    assert shown["batch_sheet"]["pot"]["pour_day"] == day
    assert shown["batch_sheet"]["pot"]["needed"] == 911.111
    assert (await hand.got(f"/api/pour-days/{day}"))["lots"][0]["lot"] == lot
    await hand.http.post(f"/api/lots/{lot}/close")
    pot = (await hand.got(f"/api/pour-days/{day}"))["pot"]
    assert (pot["needed"], pot["enough"]) == (233.333, True)


@pytest.mark.asyncio
async def test_a_lot_that_is_on_no_day_says_so(hand: AtHand) -> None:
    lot = await hand.open_lot()
    assert (await hand.got(f"/api/lots/{lot}"))["batch_sheet"]["pot"] is None


@pytest.mark.asyncio
async def test_a_lot_is_refused_on_a_day_that_is_not_there_or_has_no_such_lot(
    hand: AtHand,
) -> None:
    day = await plan(hand, lots=[{"recipe": NAME, "vessels": 6}])
    unknown = problem(await hand.http.post("/api/lots", json=lot_request("day-x")), 404)
    assert "GET /api/pour-days lists them" in unknown["detail"]
    other = {**RECIPE, "name": "Bittern, 120 g"}
    assert (await hand.http.post("/api/recipes", json=other)).status_code == 201
    stray = problem(await hand.http.post("/api/lots", json=lot_request(day, other["name"])), 409)
    assert f"is not on pour day {day}, which has {NAME}" in stray["detail"]
    first = await hand.http.post("/api/lots", json=lot_request(day))
    await hand.http.post(f"/api/lots/{first.json()['id']}/close")
    again = problem(await hand.http.post("/api/lots", json=lot_request(day)), 409)
    assert "is opened already" in again["detail"]


@pytest.mark.asyncio
async def test_a_day_that_makes_no_sense_is_refused_at_its_field(hand: AtHand) -> None:
    async def refused(status: int, **changes: object) -> dict[str, Any]:
        return problem(await hand.http.post("/api/pour-days", json={**PLAN, **changes}), status)

    (error,) = (await refused(422, melted="9 L"))["errors"]
    assert (error["field"], "a volume, not a mass" in error["problem"]) == ("body.melted", True)
    assert (await refused(422, residue="-5 g"))["errors"][0]["field"] == "body.residue"
    (error,) = (await refused(422, residue="900 g"))["errors"]
    assert "900 g stay in the pot, and only 900 g were melted" in error["problem"]
    assert (await refused(422, lots=[]))["errors"]
    await refused(404, lots=[{"recipe": "nobody's", "vessels": 2}])
    assert await hand.got("/api/pour-days") == []


@pytest.mark.asyncio
async def test_a_day_planned_again_takes_the_place_of_the_first(hand: AtHand) -> None:
    day = await plan(hand)
    lot = (await hand.http.post("/api/lots", json=lot_request(day))).json()["id"]
    changed = await hand.http.put(f"/api/pour-days/{day}", json={**PLAN, "melted": "1 kg"})
    assert changed.json() == {"id": day}
    shown = await hand.got(f"/api/pour-days/{day}")
    assert (shown["pot"]["melted"], shown["pot"]["enough"]) == (1000.0, True)
    assert shown["lots"][0]["lot"] == lot
    problem(await hand.http.put("/api/pour-days/day-x", json=PLAN), 404)


@pytest.mark.asyncio
async def test_a_lot_is_told_its_pot_as_it_opens_and_when_the_day_is_planned_again(
    hand: AtHand,
) -> None:
    # 900 g melted less 40 g on the wall; the other lot still needs 233.333 g
    day = await plan(hand)
    lot = (await hand.http.post("/api/lots", json=lot_request(day))).json()["id"]
    for melted in ("1 kg", None):
        await hand.http.put(f"/api/pour-days/{day}", json={**PLAN, "melted": melted})
    events = [stored.event for stored in hand.workshop.history.events(lot)]
    told = [event.pot for event in events if isinstance(event, LotOpened | PotTold)]
    assert told == [Pot(860_000, 233_333), Pot(960_000, 233_333), None]


@pytest.mark.asyncio
async def test_a_lot_that_a_newer_plan_left_out_stays_on_its_day(hand: AtHand) -> None:
    day = await plan(hand)
    lot = (await hand.http.post("/api/lots", json=lot_request(day))).json()["id"]
    other = {**RECIPE, "name": "Bittern, 120 g"}
    await hand.http.post("/api/recipes", json=other)
    rest = {**PLAN, "lots": [{"recipe": other["name"], "vessels": 2}]}
    assert (await hand.http.put(f"/api/pour-days/{day}", json=rest)).is_success
    shown = await hand.got(f"/api/pour-days/{day}")
    assert [entry["lot"] for entry in shown["lots"]] == [None, lot]
    assert shown["pot"]["needed"] == 911.111


@pytest.mark.asyncio
async def test_a_day_outlives_a_restart(tmp_path: Path) -> None:
    async with at_hand(config(tmp_path)) as hand:
        await hand.http.post("/api/recipes", json=RECIPE)
        day = await plan(hand)
        before = await hand.got(f"/api/pour-days/{day}")
    async with at_hand(config(tmp_path)) as hand:
        assert await hand.got(f"/api/pour-days/{day}") == before


@pytest.mark.asyncio
async def test_the_sheet_holds_the_load_against_its_limits(hand: AtHand) -> None:
    recipe = {**RECIPE, "wax": {**RECIPE["wax"], "most_fragrance": "10 %", "density": "0.9 g/mL"}}
    recipe["fragrance"] = {**RECIPE["fragrance"], "ifra_limit": "12 %"}
    recipe["vessel"] = {"volume": "4 fl oz", "tolerance": "2 g"}
    assert (await hand.http.post("/api/recipes", json=recipe)).status_code == 201
    body = {"recipe": NAME, "vessels": 2, "bench": BENCH}
    lot = (await hand.http.post("/api/lots", json=body)).json()["id"]
    sheet = (await hand.got(f"/api/lots/{lot}"))["batch_sheet"]
    # 8 % of the wax is 8 / 108 = 7.4074 % of the total; 4 fl oz are 118.294 mL and 106.465 g
    assert [(e["basis"], e["most"], round(e["load"], 4)) for e in sheet["limits"]] == [
        ("wax", 10.0, 8.0),
        ("total", 12.0, 7.4074),
    ]
    assert (sheet["volume"], sheet["fill"]) == (118.294, 106.465)
