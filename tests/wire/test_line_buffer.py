"""Cutting bytes into lines."""

import pytest

from collector.instruments.decoding import Rejection
from collector.instruments.line_buffer import MAX_LINE_BYTES, LineBuffer
from collector.instruments.scale_lines import scale_line_decoder
from collector.readings import Quantity, Sample


def silent_buffer() -> LineBuffer:
    buffer = LineBuffer()
    buffer.quiet()
    return buffer


@pytest.mark.parametrize("end", [b"\r", b"\n", b"\r\n"])
def test_a_line_ends_with_cr_lf_or_both(end: bytes) -> None:
    assert silent_buffer().cut(b"a" + end + b"b" + end) == [b"a", b"b"]


def test_a_split_line_waits_for_its_tail() -> None:
    buffer = silent_buffer()
    assert buffer.cut(b"ST,GS,+0012") == []
    assert buffer.cut(b"3.4,g\r") == [b"ST,GS,+00123.4,g"]
    assert buffer.cut(b"\n") == []


def test_the_first_line_after_opening_is_dropped_for_it_may_be_a_tail() -> None:
    assert LineBuffer().cut(b"3.4 g\r\n123.4 g\r\n") == [b"123.4 g"]


def test_after_silence_the_first_line_is_whole() -> None:
    assert silent_buffer().cut(b"123.4 g\r\n") == [b"123.4 g"]


def test_silence_in_the_middle_of_a_line_does_not_make_its_tail_whole() -> None:
    buffer = LineBuffer()
    assert buffer.cut(b"11") == []
    buffer.quiet()
    assert buffer.cut(b"23.4 g\r\n") == []


def test_reset_forgets_the_half_line_of_the_last_connection() -> None:
    buffer = silent_buffer()
    buffer.cut(b"99")
    buffer.reset()
    buffer.quiet()
    assert buffer.cut(b"1.0 g\n") == [b"1.0 g"]


@pytest.mark.parametrize("step", [1, 7, 10 * MAX_LINE_BYTES])
def test_an_overlong_line_is_counted_once_and_the_next_one_read(step: int) -> None:
    buffer = silent_buffer()
    stream = b"x" * (3 * MAX_LINE_BYTES) + b"\r\nok\r\n"
    lines = [
        line
        for place in range(0, len(stream), step)
        for line in buffer.cut(stream[place : place + step])
    ]
    assert lines == [b"ok"]
    assert buffer.overlong == 1


def test_a_line_of_just_the_allowed_length_passes() -> None:
    line = b"x" * MAX_LINE_BYTES
    assert silent_buffer().cut(line + b"\n") == [line]


def test_an_overlong_line_shows_among_the_rejections() -> None:
    decoder = scale_line_decoder("auto")
    decoder.quiet()
    noise = b"x" * (MAX_LINE_BYTES + 1)
    assert decoder.feed(noise + b"\n1.0 g\n") == [Sample(Quantity.MASS, 1_000)]
    assert decoder.rejected == {Rejection.OVERLONG: 1}
