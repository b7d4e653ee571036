"""What was measured of a lot: a part of its curve, its pitchers, and another lot beside it."""

from collections.abc import AsyncIterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import pytest_asyncio
from test_http_good_lots import STEP_S, jug, work
from workshop_at_hand import JUG, MORNING_US, AtHand, at_hand, config, problem, until

from collector.store.verify import verify

pytestmark = pytest.mark.asyncio


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        yield hand
    assert verify(tmp_path) == []


def text(us: int) -> str:
    """Return an instant as a caller writes it."""
    moment = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=us)
    return moment.isoformat().replace("+00:00", "Z")


async def shown(hand: AtHand, seconds: int, celsius: float) -> None:
    """Let the jug's probe show a temperature for some seconds, and wait until that is kept."""
    await jug(hand, seconds, celsius)
    now_us, history = hand.clock.now_us(), hand.workshop.history
    await until(lambda: (history.last_reading_us([JUG]) or 0) >= now_us)


async def part(hand: AtHand, lot: str, **ends: str) -> dict[str, Any]:
    answer = await hand.http.get(f"/api/lots/{lot}/curve", params={"channel": JUG, **ends})
    assert answer.status_code == 200, answer.text
    curve: dict[str, Any] = answer.json()
    return curve


# ------------------------------------------------------------------ a part of a curve


async def test_a_part_of_a_curve_is_the_readings_of_that_time_ends_included(hand: AtHand) -> None:
    lot = await hand.open_lot()
    await shown(hand, 60, 62.0)
    whole = await part(hand, lot)
    first_us = MORNING_US + 10_000_000
    seen = await part(hand, lot, **{"from": text(first_us), "to": text(first_us + 20_000_000)})
    assert seen["t"] == [t for t in whole["t"] if first_us / 1e6 <= t <= first_us / 1e6 + 20]
    assert len(seen["t"]) == 21


async def test_a_part_shows_readings_that_the_whole_leaves_out(hand: AtHand) -> None:
    lot = await hand.open_lot()
    for second in range(60):
        await shown(hand, 1, 62.0 + second % 2 / 10)
    coarse = await hand.got(f"/api/lots/{lot}/curve?channel={JUG}&points=8")
    ends = f"from={text(MORNING_US)}&to={text(MORNING_US + 8_000_000)}"
    fine = await hand.got(f"/api/lots/{lot}/curve?channel={JUG}&points=8&{ends}")
    step_s = [later - t for t, later in zip(fine["t"], fine["t"][1:], strict=False)]
    assert step_s == [1.0] * 7
    assert len([t for t in coarse["t"] if t <= fine["t"][-1]]) < len(fine["t"])


async def test_an_open_end_is_that_of_the_lot_and_nothing_outside_it_is_shown(hand: AtHand) -> None:
    await jug(hand, 30, 50.0)  # before the lot
    lot = await hand.open_lot()
    await shown(hand, 30, 62.0)
    since = await part(hand, lot, **{"from": text(MORNING_US)})
    assert set(since["value"]) == {62.0}
    assert await part(hand, lot, to=text(hand.clock.now_us() + 5_000_000)) == since
    assert len((await part(hand, lot, to=text(MORNING_US + 35_000_001)))["t"]) == 5


@pytest.mark.parametrize(
    ("ends", "said"),
    [
        ({"from": text(MORNING_US + 5), "to": text(MORNING_US + 5)}, "earlier than to"),
        ({"from": text(MORNING_US + 10**12)}, "earlier than to"),
        ({"from": "yesterday"}, "query.from"),
        ({"to": "2026-11-25T10:00:00"}, "query.to"),  # without a zone
    ],
)
async def test_a_span_that_is_none_is_refused(
    hand: AtHand, ends: dict[str, str], said: str
) -> None:
    lot = await hand.open_lot()
    answer = await hand.http.get(f"/api/lots/{lot}/curve", params={"channel": JUG, **ends})
    assert said in problem(answer, 422)["detail"]


# ------------------------------------------------------------------ pitchers


async def test_the_pitcher_is_told_by_the_readings_of_those_moments(hand: AtHand) -> None:
    lot = await hand.open_lot()
    for celsius, step in ((75.0, "add fragrance"), (61.0, "pour")):
        await jug(hand, 5, celsius)
        await hand.mark(lot, step, "begin")
        await shown(hand, 20, celsius - 5)
        await hand.mark(lot, step, "end")
    (pitcher,) = await hand.got(f"/api/lots/{lot}/measured")
    phases = {phase["phase"]: phase for phase in (await hand.got(f"/api/lots/{lot}"))["phases"]}
    assert pitcher["channel"] == JUG
    assert pitcher["load"] is None  # nothing was weighed
    assert pitcher["added"] == {
        "at": phases["add fragrance"]["began"], "value": 75.0, "off": False,
    }  # fmt: skip
    assert pitcher["pour_began"] == {"at": phases["pour"]["began"], "value": 61.0, "off": False}
    assert pitcher["pour_ended"] == {"at": phases["pour"]["ended"], "value": 56.0, "off": True}


async def test_fragrance_that_was_marked_in_too_cool_wax_is_off(hand: AtHand) -> None:
    lot = await hand.open_lot()
    await shown(hand, 5, 66.3)
    await hand.mark(lot, "add fragrance", "begin")
    (pitcher,) = await hand.got(f"/api/lots/{lot}/measured")
    assert (pitcher["added"]["value"], pitcher["added"]["off"]) == (66.3, True)
    assert pitcher["pour_began"] is None


async def test_a_silent_probe_tells_no_temperature(hand: AtHand) -> None:
    lot = await hand.open_lot()
    await hand.mark(lot, "pour", "begin")
    (pitcher,) = await hand.got(f"/api/lots/{lot}/measured")
    assert (pitcher["pour_began"]["value"], pitcher["pour_began"]["off"]) == (None, False)


# ------------------------------------------------------------------ beside


async def test_another_lot_is_laid_on_this_lots_events(hand: AtHand) -> None:
    cool, warm = await work(hand, 58.0), await work(hand, 62.0)
    beside = await hand.got(f"/api/lots/{warm}/beside/{cool}")
    assert (beside["lot"], beside["recipe"]) == (cool, "Grey heron, 120 g")
    ended = {p["phase"]: p["ended"] for p in (await hand.got(f"/api/lots/{warm}"))["phases"]}
    anchors = {event["anchor"]: event for event in beside["events"]}
    assert anchors["wax drawn"]["at"] == ended["draw wax"]
    for event in beside["events"]:
        assert (event["here"], event["there"], event["difference"]) == (62.0, 58.0, -4.0)
    for stretch, event in zip(beside["stretches"], beside["events"], strict=True):
        began = datetime.fromisoformat(event["at"]).timestamp()
        assert began - 0.01 <= stretch["t"][0] <= began + 2
        assert set(stretch["value"]) == {58.0}
    assert {p["phase"]: p["difference"] for p in beside["phases"]}["stir"] == 0.0
    assert beside["stretches"][-1]["t"][-1] - beside["stretches"][-1]["t"][0] <= STEP_S


async def test_a_lot_that_was_just_opened_has_nothing_to_lay_beside(hand: AtHand) -> None:
    other = await work(hand, 62.0)
    lot = await hand.open_lot()
    beside = await hand.got(f"/api/lots/{lot}/beside/{other}")
    assert (beside["stretches"], beside["events"]) == ([], [])
    assert {phase["here"] for phase in beside["phases"]} == {None}


async def test_a_lot_beside_itself_or_one_that_is_not_there_is_refused(hand: AtHand) -> None:
    lot = await hand.open_lot()
    itself = problem(await hand.http.get(f"/api/lots/{lot}/beside/{lot}"), 409)
    assert "beside itself" in itself["detail"]
    problem(await hand.http.get(f"/api/lots/{lot}/beside/2020-01-01-1"), 404)
    problem(await hand.http.get(f"/api/lots/2020-01-01-1/beside/{lot}"), 404)
    problem(await hand.http.get("/api/lots/2020-01-01-1/measured"), 404)
