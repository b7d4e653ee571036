"""What serial scales send: three dialects of one display."""

from collections.abc import Callable
from enum import StrEnum

from simulators.physics.pan import Display


class Dialect(StrEnum):
    """How a serial scale puts a mass into bytes."""

    BARE = "bare"
    STATUS = "status"
    SMA = "sma"


def bare_line(display: Display) -> bytes:
    r"""Return a line of mass and unit, such as `  123.4 g\r\n`; it cannot say "in motion"."""
    if display.overload:
        return b"     OL\r\n"
    return f"{_digits(display):>7} g\r\n".encode("ascii")


def status_line(display: Display) -> bytes:
    r"""Return a line led by its status, such as `ST,GS,+00123.4,g\r\n`."""
    kind = "NT" if display.tared else "GS"
    if display.overload:
        return f"OL,{kind},+99999.9,g\r\n".encode("ascii")
    status = "ST" if display.stable else "US"
    sign = "-" if display.grams < 0 else "+"
    digits = _digits(display).lstrip("-")
    return f"{status},{kind},{sign}{digits:0>7},g\r\n".encode("ascii")


def sma_frame(display: Display) -> bytes:
    r"""Return a frame of SMA SCP-0499: `<LF><s><r><n><m><f><10 weight><3 unit><CR>`."""
    status = "O" if display.overload else "Z" if _at_zero(display) else " "
    kind = "N" if display.tared else "G"
    motion = " " if display.stable else "M"
    return f"\n{status}1{kind}{motion} {_digits(display):>10}g  \r".encode("ascii")


ENCODERS: dict[Dialect, Callable[[Display], bytes]] = {
    Dialect.BARE: bare_line,
    Dialect.STATUS: status_line,
    Dialect.SMA: sma_frame,
}


def _digits(display: Display) -> str:
    """Return the mass with as many decimals as the scale resolves."""
    return f"{display.grams:.{1 if display.resolution_g < 1 else 0}f}"


def _at_zero(display: Display) -> bool:
    return abs(display.grams) < display.resolution_g / 2
