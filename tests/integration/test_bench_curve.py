"""The curve of a bench over HTTP: all that its screens were told, and only the part they lack."""

import math
import re
from collections.abc import AsyncIterator
from pathlib import Path

import pytest
import pytest_asyncio
from workshop_at_hand import BENCH, POT, S_US, AtHand, at_hand, config, problem

from api.curves import GAP_US
from collector.readings import Reading, Role
from dashboards import dist_dir

CURVE = f"/api/benches/{BENCH}/curve?channel={POT}"


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        yield hand


async def seconds_of_pot(hand: AtHand, count: int) -> list[float]:
    """Let the pot say something each second; return when, in seconds since 1970."""
    said = []
    for number in range(count):
        hand.clock.pass_s(1)
        said.append(await hand.said(POT, Role.POT, 80_000 + number) / S_US)
    return said


@pytest.mark.asyncio
async def test_what_a_screen_was_told_is_in_the_curve_that_it_asks_for(
    hand: AtHand, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("collector.pipeline.COMMIT_S", 3600)
    said = await seconds_of_pot(hand, 3)
    assert hand.workshop.pipeline.batch.waiting > 0
    assert (await hand.got(CURVE))["t"] == said


@pytest.mark.asyncio
async def test_a_screen_that_has_a_part_is_given_the_rest(hand: AtHand) -> None:
    said = await seconds_of_pot(hand, 5)
    assert (await hand.got(f"{CURVE}&since={said[2]}"))["t"] == said[2:]
    assert (await hand.got(f"{CURVE}&since={said[4] + 1}"))["t"] == []
    assert (await hand.got(f"{CURVE}&since=0"))["t"] == said


@pytest.mark.asyncio
async def test_a_part_that_begins_before_the_minutes_begins_with_them(hand: AtHand) -> None:
    said = await seconds_of_pot(hand, 5)
    # Five seconds said, of which the last 0.05 min are the latest three and the one before them.
    assert (await hand.got(f"{CURVE}&since={said[0]}&minutes=0.05"))["t"] == said[1:]


@pytest.mark.asyncio
async def test_a_microsecond_in_the_time_of_a_reading_is_kept_both_ways(hand: AtHand) -> None:
    now_us = hand.clock.pass_s(10)
    odd = [now_us - 3_000_001, now_us - 1_999_999, now_us - 1_000_003]
    for taken_us in odd:
        hand.workshop.pipeline.batch.add(Reading(POT, taken_us, 80_000))
    whole = await hand.got(CURVE)
    assert [round(t * S_US) for t in whole["t"]] == odd
    assert (await hand.got(f"{CURVE}&since={whole['t'][1]!r}"))["t"] == whole["t"][1:]


@pytest.mark.asyncio
async def test_an_hour_of_ten_readings_a_second_is_given_in_full(hand: AtHand) -> None:
    now_us = hand.clock.pass_s(3600)
    batch = hand.workshop.pipeline.batch
    for tick in range(36_000):
        batch.add(Reading(POT, now_us - 3_600_000_000 + tick * 100_000, 80_000 + tick % 7))
    curve = await hand.got(f"{CURVE}&points=100000")
    assert len(curve["t"]) == len(curve["value"]) == 36_000
    assert curve["value"][:8] == [80 + n % 7 / 1000 for n in range(8)]
    assert all(math.isfinite(value) for value in curve["value"])


@pytest.mark.asyncio
@pytest.mark.parametrize(
    "query", ["since=-1", "since=nan", "since=inf", "since=1e300", "since=noon", "points=100001"]
)
async def test_what_cannot_be_asked_for_is_refused(hand: AtHand, query: str) -> None:
    problem(await hand.http.get(f"{CURVE}&{query}"), 422)


def test_the_screens_make_a_gap_where_the_service_makes_one() -> None:
    source = (dist_dir().parent / "src" / "models" / "curve.ts").read_text(encoding="utf-8")
    (gap,) = re.findall(r"^const GAP_US = ([\d_]+);$", source, re.MULTILINE)
    assert int(gap) == GAP_US
