"""The ways in which the same bytes can arrive: a decoder must not care."""

from collections.abc import Callable

from collector.instruments.decoding import Decoder
from collector.readings import Sample

Delivery = Callable[[bytes], list[bytes]]

JUNK = b"\xff\x00~#?!garbage"


def _whole(data: bytes) -> list[bytes]:
    return [data]


def _byte_by_byte(data: bytes) -> list[bytes]:
    return [data[place : place + 1] for place in range(len(data))]


def _with_junk_behind(data: bytes) -> list[bytes]:
    return [data + JUNK]


def _with_a_line_of_junk_behind(data: bytes) -> list[bytes]:
    return [data, JUNK + b"\r\n"]


STREAMED: dict[str, Delivery] = {
    "whole": _whole,
    "byte by byte": _byte_by_byte,
    "with trailing junk": _with_junk_behind,
    "with a trailing line of junk": _with_a_line_of_junk_behind,
}


def heard(decoder: Decoder, pieces: list[bytes]) -> list[Sample]:
    """Feed the pieces to a decoder whose line was silent before, and return its samples."""
    decoder.reset()
    decoder.quiet()
    return [sample for piece in pieces for sample in decoder.feed(piece)]
