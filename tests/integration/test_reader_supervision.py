"""What keeps a reader alive: supervision, backoff, and the sentences for failures."""

import errno
import time
from itertools import pairwise

import pytest
from reader_listening import HurriedClock, Listener

from collector.errors import LinkError
from collector.instruments.scale_lines import scale_line_decoder
from collector.readers.link import LinkFailed, LinkOpened
from collector.readers.port_failures import opening_failed, reading_failed
from collector.readers.supervised import SupervisedReader


class ScriptedPort:
    """A port whose reads are given beforehand; an exception among them is raised."""

    def __init__(self, reads: list[bytes | Exception]) -> None:
        self._reads = reads
        self.opened_at_s: list[float] = []
        self.closed = 0

    def open(self) -> None:
        self.opened_at_s.append(time.monotonic())

    def read(self) -> bytes:
        if not self._reads:
            time.sleep(0.01)
            return b""
        answer = self._reads.pop(0)
        if isinstance(answer, Exception):
            raise answer
        return answer

    def close(self) -> None:
        self.closed += 1


def read_until_opened(port: ScriptedPort, times: int) -> Listener:
    listener = Listener()
    reader = SupervisedReader("scale", port, scale_line_decoder("auto"), HurriedClock())
    reader.start(listener)
    listener.wait_for(LinkOpened, count=times)
    reader.stop()
    return listener


def test_a_failed_link_is_closed_reported_and_opened_again() -> None:
    port = ScriptedPort([b"", LinkError("It broke", "Mend it")])
    listener = read_until_opened(port, 2)
    failed = listener.of(LinkFailed)
    assert [(one.instrument, one.reason, one.remedy) for one in failed] == [
        ("scale", "It broke", "Mend it")
    ]
    assert port.closed == 2


def test_the_one_line_that_a_print_key_sends_after_silence_is_not_lost() -> None:
    port = ScriptedPort([b"", b"ST,GS,+00123.4,g\r\n", LinkError("Done", "None needed")])
    listener = read_until_opened(port, 2)
    assert listener.values() == [123_400]


def test_a_line_that_was_under_way_when_the_port_opened_is_lost() -> None:
    port = ScriptedPort([b"3.4 g\r\n", b"  1.0 g\r\n", LinkError("Done", "None needed")])
    listener = read_until_opened(port, 2)
    assert listener.values() == [1_000]


def test_half_a_line_before_an_unplug_is_not_joined_to_what_comes_after() -> None:
    broken = LinkError("Unplugged", "Plug it in")
    port = ScriptedPort([b"", b"  12", broken, b"3.4 g\r\n  5.0 g\r\n", broken])
    listener = read_until_opened(port, 3)
    assert listener.values() == [5_000]


def test_a_defect_is_reported_and_does_not_end_the_reader() -> None:
    port = ScriptedPort([ZeroDivisionError("oops")])
    listener = read_until_opened(port, 2)
    assert "ZeroDivisionError: oops" in listener.of(LinkFailed)[0].reason
    assert port.closed == 2


def test_waits_grow_while_the_port_fails() -> None:
    port = ScriptedPort([LinkError(f"Failure {n}", "Wait") for n in range(5)])
    read_until_opened(port, 6)
    waits = [after - before for before, after in pairwise(port.opened_at_s)]
    assert waits[0] >= 0.5 / HurriedClock.speed
    assert waits[3] >= 4.0 / HurriedClock.speed
    assert waits[4] >= 5.0 / HurriedClock.speed


@pytest.mark.parametrize(
    ("number", "reason", "remedy"),
    [
        (errno.ENOENT, "There is no /dev/scale", "Plug it in"),
        (errno.ENODEV, "Nothing is connected at /dev/scale", "Plug it in"),
        (errno.ENXIO, "Nothing is connected at /dev/scale", "Plug it in"),
        (errno.EACCES, "This program may not open /dev/scale", "dialout"),
        (errno.EPERM, "This program may not open /dev/scale", "dialout"),
        (errno.EBUSY, "/dev/scale is in use by another program", "one of its own"),
        (errno.EAGAIN, "/dev/scale is in use by another program", "one of its own"),
        (errno.EIO, "/dev/scale does not answer", "plug it in again"),
        (errno.ENOTTY, "/dev/scale is not a serial port", "port in the config"),
        (errno.EISDIR, "/dev/scale is a folder, not a port", "port in the config"),
        (errno.EINVAL, "/dev/scale does not do 9600 baud", "manual"),
        (errno.ENOMEM, "/dev/scale cannot be opened (odd words)", "plug it in again"),
        (None, "/dev/scale cannot be opened (odd words)", "plug it in again"),
    ],
)
def test_each_way_to_fail_has_its_sentence(number: int | None, reason: str, remedy: str) -> None:
    error = opening_failed("/dev/scale", number, system="odd words", baud=9600, holder=None)
    assert error.reason == reason
    assert remedy in error.remedy


@pytest.mark.parametrize(
    ("present", "holder", "reason"),
    [
        (False, None, "/dev/scale was unplugged or switched off"),
        (True, None, "/dev/scale stopped answering"),
        (True, "modem (process 7)", "/dev/scale is also read by modem (process 7)"),
    ],
)
def test_a_port_that_fails_while_read_says_why(
    *, present: bool, holder: str | None, reason: str
) -> None:
    assert reading_failed("/dev/scale", present=present, holder=holder).reason == reason
