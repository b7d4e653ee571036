"""Serial scales over a real pseudo-terminal behind a symlink."""

import re
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from reader_listening import HurriedClock, Listener, PtyScale, open_files

from collector.errors import LinkError
from collector.instruments.decoding import Rejection
from collector.instruments.scale_lines import scale_line_decoder
from collector.readers.link import LinkFailed, LinkOpened, Sampled
from collector.readers.serial_port import SerialPort
from collector.readers.supervised import SupervisedReader
from collector.readings import Quality, Quantity, Sample

HOLD_THE_PORT = """
import fcntl, os, sys
port = os.open(sys.argv[1], os.O_RDWR | os.O_NOCTTY)
fcntl.flock(port, fcntl.LOCK_EX)
print("held", flush=True)
sys.stdin.read()
"""


@pytest.fixture
def scale(tmp_path: Path) -> Iterator[PtyScale]:
    scale = PtyScale(tmp_path / "scale")
    scale.plug()
    yield scale
    scale.unplug()


@pytest.fixture
def clock() -> HurriedClock:
    return HurriedClock()


@pytest.fixture
def reader(scale: PtyScale, clock: HurriedClock) -> Iterator[SupervisedReader]:
    reader = reader_of(scale, clock)
    yield reader
    reader.stop()


def reader_of(scale: PtyScale, clock: HurriedClock, name: str = "east-scale") -> SupervisedReader:
    port = SerialPort(str(scale.link), 9600)
    return SupervisedReader(name, port, scale_line_decoder("auto"), clock)


def test_readings_arrive_with_the_time_of_the_clock(
    scale: PtyScale, reader: SupervisedReader, clock: HurriedClock
) -> None:
    listener = Listener()
    reader.start(listener)
    opened = listener.wait_for(LinkOpened)
    scale.say_until(b"  123.4 g\r\n", listener, count=3)
    sampled = listener.of(Sampled)[0]
    assert sampled.instrument == "east-scale"
    assert sampled.sample == Sample(Quantity.MASS, 123_400)
    assert clock.began_us <= opened.at_us <= sampled.taken_us <= clock.now_us()
    assert listener.of(LinkFailed) == []


def test_a_line_in_two_pieces_is_one_reading(scale: PtyScale, reader: SupervisedReader) -> None:
    listener = Listener()
    reader.start(listener)
    scale.say_until(b"  1.0 g\r\n", listener, count=1)
    scale.send(b"US,GS,+0012")
    time.sleep(0.3)  # longer than one read waits: the port hands over a partial line
    scale.send(b"3.4,g\r\n")
    expected = Sample(Quantity.MASS, 123_400, Quality.IN_MOTION)
    listener.wait_until(lambda: listener.of(Sampled)[-1].sample == expected)


def test_a_scale_unplugged_and_plugged_in_again_goes_on_by_itself(
    scale: PtyScale, reader: SupervisedReader
) -> None:
    listener = Listener()
    reader.start(listener)
    scale.say_until(b"  1.0 g\r\n", listener, count=1)
    scale.unplug()
    lost = listener.wait_for(LinkFailed)
    assert "unplugged" in lost.reason
    assert "Plug it in" in lost.remedy
    listener.wait_until(lambda: "There is no" in listener.of(LinkFailed)[-1].reason)
    heard = len(listener.of(Sampled))
    scale.plug()
    listener.wait_for(LinkOpened, count=2)
    scale.say_until(b"  2.0 g\r\n", listener, count=heard + 1)
    assert listener.values()[-1] == 2_000


def test_each_reason_is_told_once_however_often_the_port_is_tried(tmp_path: Path) -> None:
    clock = HurriedClock()
    scale = PtyScale(tmp_path / "absent")
    reader, listener = reader_of(scale, clock), Listener()
    reader.start(listener)
    failed = listener.wait_for(LinkFailed)
    assert failed.reason == f"There is no {scale.link}"
    assert "correct the port in the config" in failed.remedy
    time.sleep(0.3)  # several attempts at this clock's speed
    scale.plug()
    listener.wait_for(LinkOpened)
    reader.stop()
    scale.unplug()
    assert listener.of(LinkFailed) == [failed]


def test_a_second_reader_of_a_port_is_told_who_has_it(
    scale: PtyScale, reader: SupervisedReader, clock: HurriedClock
) -> None:
    first, second = Listener(), Listener()
    reader.start(first)
    first.wait_for(LinkOpened)
    other = reader_of(scale, clock, "west-scale")
    other.start(second)
    failed = second.wait_for(LinkFailed)
    assert failed.reason == f"{scale.link} is in use by this service itself"
    assert "one of its own" in failed.remedy
    reader.stop()
    second.wait_for(LinkOpened)
    other.stop()


def test_another_program_on_the_port_is_named_until_it_ends(
    scale: PtyScale, reader: SupervisedReader
) -> None:
    listener = Listener()
    command = [sys.executable, "-c", HOLD_THE_PORT, str(scale.link)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == b"held\n"
        reader.start(listener)
        failed = listener.wait_for(LinkFailed)
        holder.communicate()
    assert re.search(rf" is in use by \S+ \(process {holder.pid}\)$", failed.reason)
    listener.wait_for(LinkOpened)


def test_a_file_is_not_a_serial_port(tmp_path: Path) -> None:
    file = tmp_path / "notes.txt"
    file.touch()
    with pytest.raises(LinkError, match=r"notes\.txt is not a serial port"):
        SerialPort(str(file), 9600).open()


def test_a_folder_is_not_a_port(tmp_path: Path) -> None:
    with pytest.raises(LinkError, match="is a folder, not a port"):
        SerialPort(str(tmp_path), 9600).open()


def test_a_rate_that_the_port_refuses_is_named(scale: PtyScale) -> None:
    with pytest.raises(LinkError, match="does not do -5 baud"):
        SerialPort(str(scale.link), -5).open()


def test_a_closed_port_is_no_crash(scale: PtyScale) -> None:
    port = SerialPort(str(scale.link), 9600)
    port.close()
    with pytest.raises(LinkError, match="is not open"):
        port.read()
    port.open()
    scale.unplug()
    port.close()
    port.close()


def test_stopping_is_prompt_closes_the_port_and_may_be_repeated(
    scale: PtyScale, reader: SupervisedReader
) -> None:
    listener = Listener()
    before = open_files()
    reader.start(listener)
    listener.wait_for(LinkOpened)
    assert len(open_files()) > len(before)
    began_s = time.monotonic()
    reader.stop()
    reader.stop()
    assert time.monotonic() - began_s < 2
    assert open_files() == before
    heard = len(listener.reports)
    scale.send(b"  1.0 g\r\n  1.0 g\r\n")
    time.sleep(0.3)
    assert len(listener.reports) == heard


def test_a_reader_never_started_can_be_stopped(reader: SupervisedReader) -> None:
    reader.stop()
    reader.stop()


def test_what_is_no_reading_is_counted_for_its_instrument(
    scale: PtyScale, reader: SupervisedReader
) -> None:
    listener = Listener()
    reader.start(listener)
    scale.say_until(b"  1.0 g\r\nhello\r\n", listener, count=3)
    counts = reader.rejected("east-scale")
    assert counts[Rejection.NOT_A_WEIGHING] >= 1
    with pytest.raises(KeyError):
        reader.rejected("west-scale")
