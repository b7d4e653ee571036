"""The simulated instruments at real ports: a pseudo-terminal, a 1-Wire folder, the clock's file."""

import errno
import os
import time
from pathlib import Path

import pytest

from simulators.bench_model import PITCHER_PROBE, BenchModel
from simulators.layout import DEVICES, SCALE, Layout
from simulators.physics.pot import Pot
from simulators.ports.clock_file import ClockFile
from simulators.ports.flow import FlowControl
from simulators.ports.one_wire_folder import OneWireFolder
from simulators.ports.pseudo_terminal import ROOM_BYTES, PseudoTerminalPort
from simulators.workbench import Workbench

START_US = 1_764_061_200_000_000  # 2025-11-25T09:00:00Z
LINE = b"ST,GS,+00123.4,g\r\n"


def read_all(descriptor: int, enough: int, within_s: float = 2.0) -> bytes:
    """Read until `enough` bytes are there."""
    os.set_blocking(descriptor, False)
    deadline = time.monotonic() + within_s
    data = b""
    while len(data) < enough:
        assert time.monotonic() < deadline, f"only {data!r} within {within_s} s"
        try:
            data += os.read(descriptor, 4096)
        except BlockingIOError:
            time.sleep(0.001)
    return data


def open_port(link: Path) -> int:
    return os.open(link, os.O_RDONLY | os.O_NOCTTY)


@pytest.fixture
def layout(tmp_path: Path) -> Layout:
    return Layout(tmp_path)


@pytest.fixture
def model() -> BenchModel:
    return BenchModel(Pot(4000.0, 88.0), seed=5)


def test_a_line_reaches_the_reader_byte_for_byte(tmp_path: Path) -> None:
    port = PseudoTerminalPort(tmp_path / "dev" / "scale")
    reader = open_port(port.link)
    assert port.write(LINE)
    assert read_all(reader, len(LINE)) == LINE
    os.close(reader)
    port.unplug()


def test_a_reader_may_come_and_go_without_hanging_up_the_port(tmp_path: Path) -> None:
    port = PseudoTerminalPort(tmp_path / "scale")
    for _ in range(3):
        reader = open_port(port.link)
        assert port.write(LINE)
        assert read_all(reader, len(LINE)) == LINE
        os.close(reader)
    port.unplug()


def test_unplugging_fails_the_reader_and_takes_the_link_away(tmp_path: Path) -> None:
    port = PseudoTerminalPort(tmp_path / "scale")
    reader = open_port(port.link)
    port.unplug()
    try:
        assert os.read(reader, 100) == b""  # a hang-up reads as an end of file, or as EIO
    except OSError as error:
        assert error.errno == errno.EIO  # noqa: PT017 - which of the two is up to the kernel
    assert not port.link.is_symlink()
    assert not port.write(LINE)
    assert port.backlog() == 0
    os.close(reader)


def test_plugging_in_again_gives_a_new_port_behind_the_same_link(tmp_path: Path) -> None:
    port = PseudoTerminalPort(tmp_path / "scale")
    before = open_port(port.link)
    port.unplug()
    port.plug()
    reader = open_port(port.link)
    assert port.write(LINE)
    assert read_all(reader, len(LINE)) == LINE
    os.close(reader)
    os.close(before)
    port.unplug()


def test_lines_that_nobody_reads_are_dropped_whole(tmp_path: Path) -> None:
    port = PseudoTerminalPort(tmp_path / "scale")
    written = 0
    deadline = time.monotonic() + 5.0
    while port.write(LINE):
        written += 1
        assert time.monotonic() < deadline
        time.sleep(0.0005)
    reader = open_port(port.link)
    data = read_all(reader, written * len(LINE))
    assert data == LINE * written
    assert len(data) <= ROOM_BYTES
    os.close(reader)
    port.unplug()


def test_a_stale_link_of_an_earlier_run_is_replaced(tmp_path: Path) -> None:
    link = tmp_path / "scale"
    link.symlink_to("/nowhere")
    port = PseudoTerminalPort(link)
    assert link.resolve().is_char_device()
    port.unplug()


def test_a_device_folder_goes_and_comes_back(tmp_path: Path) -> None:
    folder = OneWireFolder(tmp_path / "w1")
    text = tmp_path / "w1" / "28-000000000001" / "w1_slave"
    folder.write("28-000000000001", "one\n")
    assert text.read_text() == "one\n"
    folder.unplug("28-000000000001")
    assert not text.parent.exists()
    folder.unplug("28-000000000001")
    folder.write("28-000000000001", "one\n")
    assert text.read_text() == "one\n"


def test_a_new_text_replaces_the_file_so_that_an_open_one_stays_whole(tmp_path: Path) -> None:
    folder = OneWireFolder(tmp_path)
    folder.write("28-000000000001", "first\n")
    with (tmp_path / "28-000000000001" / "w1_slave").open() as held:
        folder.write("28-000000000001", "second\n")
        assert held.read() == "first\n"
    assert [path.name for path in (tmp_path / "28-000000000001").iterdir()] == ["w1_slave"]


def test_the_clock_is_a_little_endian_64_bit_integer(tmp_path: Path) -> None:
    path = tmp_path / "clock"
    clock = ClockFile(path, 0x0006_4467_8130_2400)
    assert path.read_bytes() == bytes.fromhex("00 24 30 81 67 44 06 00")
    clock.write(START_US + 1)
    assert int.from_bytes(path.read_bytes(), "little") == START_US + 1
    clock.close()
    assert path.stat().st_size == 8


def test_the_flow_holds_for_a_slow_reader_and_goes_on_once_it_has_caught_up() -> None:
    backlog = [500, 400, 300, 20]
    flow = FlowControl(lambda: backlog.pop(0) > 24, hold_s=1.0)
    flow.wait()
    assert backlog == []
    assert not flow.given_up


def test_a_port_that_nobody_reads_costs_one_hold_only() -> None:
    flow = FlowControl(lambda: True, hold_s=0.05)
    began = time.monotonic()
    flow.wait()
    held_s = time.monotonic() - began
    for _ in range(100):
        flow.wait()
    assert 0.05 <= held_s < 2.0
    assert flow.given_up
    assert time.monotonic() - began < held_s + 1.0


def test_a_workbench_speaks_at_all_its_ports(
    layout: Layout, model: BenchModel, tmp_path: Path
) -> None:
    with Workbench(layout, model, tmp_path / "clock", START_US) as bench:
        reader = open_port(layout.scale_port)
        model.vessel_g = 212.0
        bench.run(2.0, speed=40.0)
        lines = read_all(reader, 11 * len(LINE)).decode().split("\r\n")
        assert lines[-2].startswith("ST,GS,+0021")
        os.close(reader)
        for device in DEVICES.values():
            text = (layout.one_wire_root / device / "w1_slave").read_text()
            assert text.splitlines()[0].endswith("YES")
        now_us = int.from_bytes((tmp_path / "clock").read_bytes(), "little")
        assert now_us - START_US == pytest.approx(2_000_000, abs=100_000)
    assert not layout.scale_port.is_symlink()


def test_five_scale_lines_go_out_per_second_at_any_step(layout: Layout, model: BenchModel) -> None:
    with Workbench(layout, model, layout.folder / "clock", START_US) as bench:
        reader = open_port(layout.scale_port)
        read_all(reader, len(LINE))
        for step_s in (0.05, 0.2, 0.04):
            for _ in range(round(2.0 / step_s)):
                bench.step(step_s)
            assert len(read_all(reader, 10 * len(LINE))) == 10 * len(LINE)
        os.close(reader)


def test_what_hands_unplug_disappears_and_comes_back(layout: Layout, model: BenchModel) -> None:
    probe = layout.one_wire_root / DEVICES[PITCHER_PROBE]
    with Workbench(layout, model, layout.folder / "clock", START_US) as bench:
        model.unplugged |= {PITCHER_PROBE, SCALE}
        bench.run(1.2, speed=40.0)
        assert not probe.exists()
        assert not layout.scale_port.exists()
        model.unplugged.clear()
        bench.run(1.2, speed=40.0)
        assert probe.exists()
        assert layout.scale_port.exists()


def test_the_day_waits_for_a_reader_that_is_behind(layout: Layout, model: BenchModel) -> None:
    with Workbench(layout, model, layout.folder / "clock", START_US) as bench:
        reader = open_port(layout.scale_port)
        began = time.monotonic()
        for _ in range(60):  # 3 s of the day, as fast as they go: 270 bytes
            bench.step(0.05)
        assert time.monotonic() - began >= 0.5  # one hold, then the reader was given up
        os.close(reader)
