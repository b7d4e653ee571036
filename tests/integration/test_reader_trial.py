"""Trying an instrument, and making the readers of a workshop."""

import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from reader_listening import HurriedClock, PtyScale

from collector.clock import SystemClock
from collector.config import HidScale, InstrumentConfig, Manual, OneWire, SerialScale
from collector.instrument_config import Link
from collector.readers.assembly import readers_for
from collector.readers.trial import try_instrument
from collector.readings import Role

AT_24_812 = "8d 01 4b 46 7f ff 03 10 03 : crc=03 YES\n8d 01 4b 46 7f ff 03 10 03 t=24812\n"
POWER_ON = "50 05 4b 46 7f ff 0c 10 1c : crc=1c YES\n50 05 4b 46 7f ff 0c 10 1c t=85000\n"
DEVICE = "28-000005e2fdc3"


def instrument(link: Link, name: str = "east-scale") -> InstrumentConfig:
    role = Role.PITCHER if isinstance(link, OneWire) else Role.SCALE
    return InstrumentConfig(name, "east", role, link)


@pytest.fixture
def scale(tmp_path: Path) -> Iterator[PtyScale]:
    scale = PtyScale(tmp_path / "scale")
    scale.plug()
    yield scale
    scale.unplug()


@pytest.fixture
def probe(tmp_path: Path) -> InstrumentConfig:
    folder = tmp_path / "w1" / DEVICE
    folder.mkdir(parents=True)
    (folder / "w1_slave").write_text(AT_24_812)
    return instrument(OneWire(DEVICE, tmp_path / "w1", 100_000), "east-pitcher")


def try_scale(scale: PtyScale, line: bytes, wait_s: float = 5.0) -> tuple[bool, str]:
    """Try the scale while it repeats a line ten times a second, `b""` for a silent one."""
    done = threading.Event()

    def speak() -> None:
        while not done.wait(0.1):
            scale.send(line)

    speaker = threading.Thread(target=speak)
    speaker.start()
    try:
        link = SerialScale(str(scale.link), 9600, "auto")
        result = try_instrument(instrument(link), SystemClock(), wait_s)
    finally:
        done.set()
        speaker.join()
    assert result.name == "east-scale"
    return result.ok, result.sentence


def test_a_scale_that_speaks_is_told_with_its_reading_and_rate(scale: PtyScale) -> None:
    ok, sentence = try_scale(scale, b"  123.4 g\r\n")
    assert ok
    assert sentence.startswith("east-scale: 123.4 g, ")
    assert sentence.endswith(" readings in 1 s")


def test_a_silent_scale_is_told_what_to_do(scale: PtyScale) -> None:
    ok, sentence = try_scale(scale, b"", wait_s=0.5)
    assert not ok
    assert "silent" in sentence
    assert "send continuously" in sentence


def test_a_scale_at_the_wrong_baud_is_told_by_its_rubbish(scale: PtyScale) -> None:
    ok, sentence = try_scale(scale, b"\x8f\xf3~\n", wait_s=0.5)
    assert not ok
    assert "not a weighing (" in sentence
    assert "baud" in sentence


def test_an_overloaded_scale_has_no_usable_number(scale: PtyScale) -> None:
    ok, sentence = try_scale(scale, b"OL,GS,+99999.9,g\r\n")
    assert not ok
    assert "no usable number" in sentence


def test_a_missing_port_fails_at_once_with_its_remedy(tmp_path: Path) -> None:
    link = SerialScale(str(tmp_path / "absent"), 9600, "auto")
    began_s = time.monotonic()
    result = try_instrument(instrument(link), SystemClock(), wait_s=30)
    assert time.monotonic() - began_s < 5
    assert not result.ok
    expected = f"east-scale: There is no {tmp_path / 'absent'}. Plug it in"
    assert result.sentence.startswith(expected)


def test_a_thermometer_is_tried_like_a_scale(probe: InstrumentConfig) -> None:
    result = try_instrument(probe, SystemClock(), wait_s=5)
    assert result.ok
    assert result.sentence.startswith("east-pitcher: 24.812 °C, ")


def test_a_thermometer_that_only_wakes_up_is_no_success(
    probe: InstrumentConfig, tmp_path: Path
) -> None:
    (tmp_path / "w1" / DEVICE / "w1_slave").write_text(POWER_ON)
    result = try_instrument(probe, SystemClock(), wait_s=5)
    assert not result.ok
    assert "no usable number" in result.sentence


def test_an_instrument_without_a_lead_needs_no_trial() -> None:
    result = try_instrument(instrument(Manual()), SystemClock(), wait_s=30)
    assert result.ok
    assert result.sentence == "east-scale: typed in by hand"


def test_a_workshop_has_one_reader_for_each_port_and_each_bus(tmp_path: Path) -> None:
    here, there = tmp_path / "w1", tmp_path / "other"
    instruments = [
        instrument(OneWire("28-000000000001", here), "pitcher"),
        instrument(SerialScale("/dev/ttyUSB0"), "serial"),
        instrument(OneWire("28-000000000002", there), "room"),
        instrument(Manual(), "typed"),
        instrument(HidScale(), "hid"),
        instrument(OneWire("28-000000000003", here), "pot"),
    ]
    readers = readers_for(instruments, HurriedClock())
    names = [reader.names for reader in readers]
    assert names == [("serial",), ("hid",), ("pitcher", "pot"), ("room",)]


def test_an_unusable_format_is_refused_before_anything_starts() -> None:
    link = SerialScale("/dev/ttyUSB0", 9600, "(?P<value>[0-9]")
    with pytest.raises(ValueError, match="not a regular expression"):
        readers_for([instrument(link)], HurriedClock())
