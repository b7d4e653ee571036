"""From the bytes of a scale to the store, through its calibration: a pseudo-terminal, SQLite.

The scale shows 0.25 % too little. A mass of 400 g shows as 399.0 g and is kept as 400.0 g.
"""

import asyncio
import time
from pathlib import Path

import pytest
from workshop_at_hand import BENCH, SCALE, HandClock, at_hand, config

from collector.correction import Correction
from collector.instrument_config import InstrumentConfig, SerialScale
from collector.readings import Role
from collector.service_events import InstrumentCalibrated, InstrumentFound
from collector.workshop import Workshop
from simulators.ports.pseudo_terminal import PseudoTerminalPort

PATIENCE_S = 10.0
EVER_US = 2**62
POINTS = [{"reference": 0.0, "shown": 0.0}, {"reference": 200.0, "shown": 199.5}]


async def stored(workshop: Workshop, count: int) -> list[int]:
    """Wait for so many readings on disk, and return their values."""
    deadline = time.monotonic() + PATIENCE_S
    while time.monotonic() < deadline:
        values: list[int] = workshop.history.readings(SCALE, 0, EVER_US).values.tolist()
        if len(values) >= count:
            return values
        await asyncio.sleep(0.05)
    raise AssertionError(f"{count} readings were not stored in time")


async def opened(workshop: Workshop) -> None:
    """Wait until the reader has the port: what was sent before is thrown away."""
    deadline = time.monotonic() + PATIENCE_S
    while not workshop.history.events_of([InstrumentFound]):
        assert time.monotonic() < deadline, "the port was not opened"
        await asyncio.sleep(0.05)


def line(grams: float) -> bytes:
    return f"ST,GS,+{grams:07.1f},g\r\n".encode("ascii")


@pytest.mark.asyncio
async def test_bytes_of_a_scale_are_stored_corrected_and_what_was_shown_is_recovered(
    tmp_path: Path,
) -> None:
    port = PseudoTerminalPort(tmp_path / "dev" / "scale")
    scale = InstrumentConfig(SCALE, BENCH, Role.SCALE, SerialScale(str(port.link)), 10_000_000)
    settings = config(tmp_path / "data", instruments=(scale,), benches=(BENCH,))
    clock, shown = HandClock(), [0.0, 118.3, 118.4, 399.0]
    try:
        async with at_hand(settings, clock) as hand:
            await opened(hand.workshop)
            assert port.write(line(7.7))  # the first may be the rest of a line, and is none
            for count, grams in enumerate(shown, start=1):
                clock.pass_s(1)
                assert port.write(line(grams))
                await stored(hand.workshop, count)
            path = f"/api/instruments/{SCALE}/calibrations"
            answer = await hand.http.post(path, json={"points": POINTS})
            assert answer.status_code == 201, answer.text
            assert answer.json()["step"] == 0.1
            for count, grams in enumerate(shown, start=5):
                clock.pass_s(1)
                assert port.write(line(grams))
                values = await stored(hand.workshop, count)
            (told,) = hand.workshop.history.events_of([InstrumentCalibrated])
    finally:
        port.unplug()
    assert values == [
        *(0, 118_300, 118_400, 399_000),
        *(0, 118_600, 118_700, 400_000),
    ]
    assert isinstance(told.event, InstrumentCalibrated)
    assert told.event.correction == Correction(0, 1_002_506_266, 100)
    recovered = [told.event.correction.shown_of(value) for value in values[4:]]
    assert recovered == [round(grams * 1000) for grams in shown]
