"""Calibrations over HTTP: kept, applied to what comes, still there after a restart."""

from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import pytest
import pytest_asyncio
from workshop_at_hand import (
    BENCH,
    JUG,
    POT,
    S_US,
    SCALE,
    AtHand,
    HandClock,
    at_hand,
    config,
    problem,
)

from collector.alarm_events import AlarmRaised
from collector.events import AnyEvent
from collector.instrument_config import InstrumentConfig, Mqtt
from collector.lot_record import record_of
from collector.mqtt_config import MqttConfig
from collector.readers.link import Sampled
from collector.readings import Quantity, Role, Sample
from collector.replay import derived_of, replay
from collector.store.verify import verify
from collector.workshop import Workshop

EVER_US = 2**62
ICE = {"reference": 0.0, "shown": 0.4, "of": "ice water"}
BOILING = {"reference": 99.6, "shown": 99.0, "of": "boiling water"}
PAN = [
    {"reference": 0.0, "shown": 0.0, "of": "empty"},
    {"reference": 200.0, "shown": 199.5, "of": "a known mass"},
]
A_YEAR_S = 366 * 86_400


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        yield hand
    assert verify(tmp_path) == []


async def calibrate(hand: AtHand, name: str, points: list[Any], note: str = "Ana") -> Any:  # noqa: ANN401
    hand.clock.pass_s(1)
    body = {"points": points, "note": note}
    answer = await hand.http.post(f"/api/instruments/{name}/calibrations", json=body)
    assert answer.status_code == 201, answer.text
    return answer.json()


async def stored(workshop: Workshop, name: str) -> list[int]:
    await workshop.pipeline.write_now()
    values: list[int] = workshop.history.readings(name, 0, EVER_US).values.tolist()
    return values


# ------------------------------------------------------------------ in force


@pytest.mark.asyncio
async def test_readings_are_corrected_from_then_on(hand: AtHand) -> None:
    await hand.said(JUG, Role.PITCHER, 60_000)
    kept = await calibrate(hand, JUG, [ICE])
    assert (kept["offset"], kept["gain"], kept["due"]) == (-0.4, 1.0, False)
    hand.clock.pass_s(1)
    await hand.said(JUG, Role.PITCHER, 60_000)
    assert await stored(hand.workshop, JUG) == [60_000, 59_600]
    shown = await hand.got(f"/api/instruments/{JUG}")
    assert shown["last"]["value"] == 59.6
    assert shown["calibration"]["points"] == [ICE]
    assert shown["calibration"]["note"] == "Ana"


@pytest.mark.asyncio
async def test_it_still_holds_after_a_restart(tmp_path: Path) -> None:
    clock = HandClock()
    async with at_hand(config(tmp_path), clock) as before:
        await calibrate(before, SCALE, PAN)
    clock.pass_s(60)
    async with at_hand(config(tmp_path), clock) as after:
        await after.said(SCALE, Role.SCALE, 399_000)
        assert await stored(after.workshop, SCALE) == [400_000]
        (entry,) = await after.got(f"/api/instruments/{SCALE}/calibrations")
        assert entry["line"]["offset"] == 0.0
        assert entry["line"]["gain"] == pytest.approx(200 / 199.5)


@pytest.mark.asyncio
async def test_a_typed_value_is_corrected_too_and_its_answer_says_so(hand: AtHand) -> None:
    await calibrate(hand, JUG, [ICE])
    body = {"value": 80.4, "unit": "degC"}
    typed = (await hand.http.post(f"/api/instruments/{JUG}/readings", json=body)).json()
    assert (typed["value"], typed["unit"]) == (80.0, "degC")
    assert await stored(hand.workshop, JUG) == [80_000]


@pytest.mark.asyncio
async def test_a_withdrawn_calibration_is_over_and_stays_in_the_history(hand: AtHand) -> None:
    await calibrate(hand, JUG, [ICE, BOILING])
    hand.clock.pass_s(1)
    path = f"/api/instruments/{JUG}/calibrations/withdraw"
    answer = await hand.http.post(path, json={"note": "other probe"})
    assert answer.status_code == 200
    assert [entry["withdrawn"] for entry in answer.json()] == [True, False]
    assert answer.json()[0]["note"] == "other probe"
    hand.clock.pass_s(1)
    await hand.said(JUG, Role.PITCHER, 60_000)
    assert await stored(hand.workshop, JUG) == [60_000]
    assert (await hand.got(f"/api/instruments/{JUG}"))["calibration"] is None
    problem(await hand.http.post(path, json={}), 409)


@pytest.mark.asyncio
async def test_a_calibration_of_last_year_is_due_again(hand: AtHand) -> None:
    await calibrate(hand, JUG, [ICE])
    hand.clock.pass_s(A_YEAR_S)
    (jug,) = [one for one in await hand.got("/api/instruments") if one["name"] == JUG]
    assert (jug["calibration"]["age_days"], jug["calibration"]["due"]) == (366, True)


# ------------------------------------------------------------------ lots


@pytest.mark.asyncio
async def test_an_open_lot_is_not_given_another_meaning_in_the_middle(hand: AtHand) -> None:
    lot = await hand.open_lot()
    body = {"points": [ICE]}
    refused = problem(await hand.http.post(f"/api/instruments/{JUG}/calibrations", json=body), 409)
    assert lot in refused["detail"]
    assert refused["lot"] == lot
    assert lot in (await hand.got(f"/api/instruments/{JUG}"))["not_now"]
    assert await hand.got(f"/api/instruments/{JUG}/calibrations") == []
    assert (await hand.http.post(f"/api/lots/{lot}/close")).status_code == 200
    assert (await hand.got(f"/api/instruments/{JUG}"))["not_now"] is None
    await calibrate(hand, JUG, [ICE])


@pytest.mark.asyncio
async def test_a_lot_is_judged_again_to_the_same_words_after_later_calibrations(
    hand: AtHand,
) -> None:
    await calibrate(hand, POT, [ICE])
    lot = await hand.open_lot()
    for heat in range(88_000, 96_000, 500):
        hand.clock.pass_s(1)
        await hand.said(POT, Role.POT, heat)
    hand.clock.pass_s(10)
    assert (await hand.http.post(f"/api/lots/{lot}/close")).status_code == 200
    await calibrate(hand, POT, [{**ICE, "shown": 3.0}])
    events: list[AnyEvent] = [one.event for one in hand.workshop.history.events(lot)]
    opened = record_of(events).opened
    names = [channel.name for channel in opened.channels]
    readings = hand.workshop.history.bench_readings(names, opened.at_us, EVER_US)
    _bench, derived = replay(events, readings)
    assert derived == derived_of(events)
    assert any(
        event.rule == "over-temperature" for event in derived if isinstance(event, AlarmRaised)
    )


# ------------------------------------------------------------------ before keeping


@pytest.mark.asyncio
async def test_a_preview_shows_the_line_and_keeps_nothing(hand: AtHand) -> None:
    path = f"/api/instruments/{JUG}/calibrations/preview"
    answer = await hand.http.post(path, json={"points": [ICE, BOILING]})
    assert answer.status_code == 200, answer.text
    shown = answer.json()
    assert [point["corrected"] for point in shown["points"]] == [0.0, 99.6]
    assert [point["residual"] for point in shown["points"]] == [0.0, 0.0]
    at_60 = next(example for example in shown["examples"] if example["shown"] == 60.0)
    assert at_60["now"] == 60.0
    assert at_60["then"] == pytest.approx(59.6 * 99.6 / 98.6, abs=0.001)
    assert shown["remarks"] == []
    assert await hand.got(f"/api/instruments/{JUG}/calibrations") == []


@pytest.mark.asyncio
async def test_the_finest_step_of_a_scale_is_told_from_what_it_showed(hand: AtHand) -> None:
    for grams in (0, 3, 118, 200, 199):
        hand.clock.pass_s(1)
        await hand.said(SCALE, Role.SCALE, grams * 1000)
    await stored(hand.workshop, SCALE)
    assert (await hand.got(f"/api/instruments/{SCALE}"))["resolution"] == 1.0
    kept = await calibrate(hand, SCALE, [PAN[0], {**PAN[1], "shown": 199.0}])
    assert kept["step"] == 1.0
    hand.clock.pass_s(1)
    await hand.said(SCALE, Role.SCALE, 398_000)
    assert (await stored(hand.workshop, SCALE))[-1] == 400_000
    assert (await hand.got(f"/api/instruments/{SCALE}"))["resolution"] == 1.0


@pytest.mark.asyncio
@pytest.mark.parametrize(
    ("points", "status", "reason"),
    [
        ([], 422, "one to 5 points"),
        ([{"reference": 0.0, "shown": 9.0}], 422, "point 1: it shows 9 °C at 0 °C"),
        ([ICE, {"reference": 10.0, "shown": 10.0}], 422, "too close for a gain"),
        ([{"reference": 0.0}], 422, "shown"),
    ],
)
async def test_nonsense_is_refused_with_the_reason(
    hand: AtHand, points: list[Any], status: int, reason: str
) -> None:
    for tail in ("", "/preview"):
        path = f"/api/instruments/{JUG}/calibrations{tail}"
        answer = await hand.http.post(path, json={"points": points})
        assert reason in str(problem(answer, status))


@pytest.mark.asyncio
async def test_nobody_calibrates_what_is_not_there(hand: AtHand) -> None:
    for path in ("", "/preview", "/withdraw"):
        body = {} if path == "/withdraw" else {"points": [ICE]}
        url = f"/api/instruments/kiln/calibrations{path}"
        assert JUG in problem(await hand.http.post(url, json=body), 404)["detail"]
    problem(await hand.http.get("/api/instruments/kiln"), 404)


@pytest.mark.asyncio
async def test_boiling_water_is_told_by_altitude_or_by_pressure(hand: AtHand) -> None:
    """ISO 2533:1975: 794.95 hPa at 2000 m. IAPWS: 99.974 °C at 1013.25 hPa."""
    high = await hand.got("/api/boiling-water?altitude=2000")
    assert high["pressure_hpa"] == 794.95
    assert (await hand.got("/api/boiling-water?pressure=1013.25"))["temperature"] == 99.974
    for query in ("", "?altitude=1&pressure=1000", "?altitude=9000", "?pressure=1e300"):
        problem(await hand.http.get(f"/api/boiling-water{query}"), 422)


# ------------------------------------------------------------------ elsewhere


@pytest.mark.asyncio
async def test_what_comes_from_another_machine_is_corrected_at_the_hub(tmp_path: Path) -> None:
    """A reading that was under way is corrected by what held when it was taken."""
    remote = InstrumentConfig("far-jug", BENCH, Role.PITCHER, Mqtt("far-jug"), 10 * S_US)
    settings = config(tmp_path, instruments=(remote,), benches=(BENCH,))
    async with at_hand(settings) as hand:
        before_us = hand.clock.now_us()
        hand.clock.pass_s(600)
        await calibrate(hand, "far-jug", [ICE])
        hand.clock.pass_s(600)
        sample = Sample(Quantity.TEMPERATURE, 60_000)
        times = (before_us, hand.clock.now_us())
        await hand.workshop.pipeline.receive([Sampled("far-jug", at, sample) for at in times])
        assert await stored(hand.workshop, "far-jug") == [60_000, 59_600]


@pytest.mark.asyncio
async def test_a_bench_that_forwards_is_calibrated_at_its_hub_and_not_twice(
    tmp_path: Path,
) -> None:
    mqtt = MqttConfig(host="127.0.0.1", port=1, forward=True)
    async with at_hand(config(tmp_path, mqtt=mqtt)) as hand:
        path = f"/api/instruments/{JUG}/calibrations"
        refused = problem(await hand.http.post(path, json={"points": [ICE]}), 409)
        assert "corrected twice" in refused["detail"]
        assert "corrected twice" in (await hand.got(f"/api/instruments/{JUG}"))["not_now"]


# ------------------------------------------------------------------ health


@pytest.mark.asyncio
async def test_an_instrument_in_full_says_how_it_is_reached_and_what_it_gave(
    hand: AtHand,
) -> None:
    for _ in range(3):
        hand.clock.pass_s(1)
        await hand.said(JUG, Role.PITCHER, 60_000)
    await hand.workshop.pipeline.write_now()
    jug = await hand.got(f"/api/instruments/{JUG}")
    assert (jug["readings"], jug["rejected"], jug["not_kept"]) == (3, {}, {})
    assert (jug["connection"], jug["silent_after"]) == ([], None)
    scale = await hand.got("/api/instruments/attic-scale")
    assert {"what": "baud", "value": "9600"} in scale["connection"]
    assert scale["state"] == "lost"
