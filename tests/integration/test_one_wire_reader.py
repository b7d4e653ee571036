"""1-Wire thermometers in a folder laid like the kernel's.

The bytes are those of public threads and of Linux Documentation/w1/slaves/w1_therm.rst.
"""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from reader_listening import HurriedClock, Listener

from collector.instruments.decoding import Rejection
from collector.readers.link import LinkFailed, LinkOpened, Sampled
from collector.readers.one_wire_bus import OneWireBus
from collector.readers.one_wire_probe import OneWireProbe, ProbeAddress
from collector.readings import Quality, Quantity, Sample

PITCHER = ProbeAddress("east-pitcher", "28-000005e2fdc3", 1_000_000)
POT = ProbeAddress("east-pot", "28-000005e2fdc4", 1_000_000)

AT_24_812 = "8d 01 4b 46 7f ff 03 10 03 : crc=03 YES\n8d 01 4b 46 7f ff 03 10 03 t=24812\n"
AT_23_125 = "72 01 4b 46 7f ff 0e 10 57 : crc=57 YES\n72 01 4b 46 7f ff 0e 10 57 t=23125\n"
BAD_CRC = "8d 01 4b 46 7f ff 03 10 04 : crc=03 NO\n8d 01 4b 46 7f ff 03 10 03 t=24812\n"
POWER_ON = "50 05 4b 46 7f ff 0c 10 1c : crc=1c YES\n50 05 4b 46 7f ff 0c 10 1c t=85000\n"

BAD = Sample(Quantity.TEMPERATURE, 0, Quality.BAD)


def lay(root: Path, address: ProbeAddress, text: str) -> Path:
    """Lay the file of a probe, at once as the kernel does."""
    folder = root / address.device
    folder.mkdir(parents=True, exist_ok=True)
    fresh = folder / "fresh"
    fresh.write_text(text)
    return fresh.rename(folder / "w1_slave")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = tmp_path / "w1"
    lay(root, PITCHER, AT_24_812)
    lay(root, POT, AT_23_125)
    return root


@pytest.fixture
def bus(root: Path) -> Iterator[OneWireBus]:
    bus = OneWireBus(root, [PITCHER, POT], HurriedClock())
    yield bus
    bus.stop()


def test_all_probes_of_a_bus_are_read_in_their_period(root: Path) -> None:
    clock, listener = HurriedClock(), Listener()
    bus = OneWireBus(root, [PITCHER, POT], clock)
    bus.start(listener)
    twentieth = listener.wait_for(Sampled, "east-pot", 20)
    listener.wait_for(Sampled, "east-pitcher", 4)
    assert set(listener.values("east-pitcher")) == {24_812}
    assert set(listener.values("east-pot")) == {23_125}
    assert bus.names == ("east-pitcher", "east-pot")
    assert len(listener.of(LinkOpened)) == 2
    assert twentieth.taken_us - clock.began_us >= 19 * POT.every_us
    bus.stop()


def test_a_probe_that_vanishes_is_missed_alone_and_comes_back(root: Path, bus: OneWireBus) -> None:
    listener = Listener()
    bus.start(listener)
    listener.wait_for(Sampled, "east-pitcher")
    shutil.rmtree(root / PITCHER.device)
    failed = listener.wait_for(LinkFailed)
    assert failed.instrument == "east-pitcher"
    assert failed.reason == f"There is no thermometer {PITCHER.device} on its bus"
    assert f"connected now in {root}: {POT.device}" in failed.remedy
    others = len(listener.of(Sampled, "east-pot"))
    listener.wait_for(Sampled, "east-pot", others + 3)
    lay(root, PITCHER, AT_23_125)
    listener.wait_for(LinkOpened, "east-pitcher", 2)
    listener.wait_until(lambda: listener.values("east-pitcher")[-1] == 23_125)
    assert listener.of(LinkFailed) == [failed]


def test_a_missing_bus_says_how_to_switch_it_on(tmp_path: Path) -> None:
    listener = Listener()
    bus = OneWireBus(tmp_path / "absent", [PITCHER], HurriedClock())
    bus.start(listener)
    failed = listener.wait_for(LinkFailed)
    bus.stop()
    assert failed.reason == f"There is no 1-Wire bus at {tmp_path / 'absent'}"
    assert "w1-gpio" in failed.remedy


def test_ghosts_on_the_bus_point_to_the_pull_up(root: Path) -> None:
    shutil.rmtree(root / PITCHER.device)
    (root / "00-400000000000").mkdir()
    listener = Listener()
    bus = OneWireBus(root, [PITCHER], HurriedClock())
    bus.start(listener)
    assert "pull-up" in listener.wait_for(LinkFailed).remedy
    bus.stop()


def test_a_probe_folder_without_its_file_does_not_answer(root: Path) -> None:
    (root / PITCHER.device / "w1_slave").unlink()
    listener = Listener()
    bus = OneWireBus(root, [PITCHER], HurriedClock())
    bus.start(listener)
    assert "does not answer" in listener.wait_for(LinkFailed).reason
    bus.stop()


@pytest.mark.parametrize("text", [BAD_CRC, POWER_ON, ""])
def test_the_third_failed_read_in_a_row_is_a_bad_sample(root: Path, text: str) -> None:
    probe = OneWireProbe(PITCHER, root)
    assert probe.measure() == Sample(Quantity.TEMPERATURE, 24_812)
    lay(root, PITCHER, text)
    assert [probe.measure() for _ in range(4)] == [None, None, BAD, BAD]
    lay(root, PITCHER, AT_24_812)
    assert probe.measure() == Sample(Quantity.TEMPERATURE, 24_812)
    lay(root, PITCHER, text)
    assert probe.measure() is None


def test_failed_reads_are_counted_by_reason_for_each_probe(root: Path, bus: OneWireBus) -> None:
    lay(root, POT, POWER_ON)
    listener = Listener()
    bus.start(listener)
    listener.wait_until(lambda: BAD in [one.sample for one in listener.of(Sampled, "east-pot")])
    assert bus.rejected("east-pot")[Rejection.POWER_ON] >= 3
    assert bus.rejected("east-pitcher") == {}
    with pytest.raises(KeyError):
        bus.rejected("west-pot")


def test_reads_are_planned_by_period_and_never_in_a_burst(root: Path) -> None:
    probe = OneWireProbe(PITCHER, root)
    assert probe.due_in_us(100) <= 0
    probe.plan(100)
    assert probe.due_in_us(100) == 1_000_000
    probe.plan(1_000_150)  # a little late: the rhythm stays
    assert probe.due_in_us(1_000_150) == 999_950
    probe.plan(9_000_000)  # after a stall: no catching up
    assert probe.due_in_us(9_000_000) == 1_000_000


def test_a_clock_set_back_by_weeks_does_not_silence_a_probe(root: Path) -> None:
    probe = OneWireProbe(PITCHER, root)
    two_weeks_us = 14 * 86_400 * 1_000_000
    probe.plan(two_weeks_us)
    assert probe.due_in_us(0) == 1_000_000
    probe.plan(0)
    assert probe.due_in_us(0) == 1_000_000
