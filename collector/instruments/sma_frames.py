"""The open scale protocol SMA SCP-0499 (1999, Mod 1 of 2005), standard response message.

    <LF> s r n m f <weight: 10> <unit: 3> <CR>

    s  status   Z center of zero, O over capacity, U under capacity,
                E zero error, I initial-zero error, T tare error, blank none of them
    r  range    a digit
    n  kind     G gross, N net, T tare, g and n the same in high resolution
    m  motion   M in motion, blank settled
    f  reserved

An error (E, I, T) comes with dashes for the weight, and overload with a number that is none:
both are samples of quality BAD, and so are dashes without an error (the scale waited in vain to
settle). Under capacity is SUSPECT: the number is there, the scale
flags it.
"""

import re
from decimal import Decimal

from collector.instruments.decoding import Decoded, Rejection
from collector.instruments.masses import NO_MASS, mass_sample
from collector.readings import Quality

_FRAME = re.compile(
    r"(?P<status>[ZOUEIT ])(?P<range>\d)(?P<kind>[GTNgn])(?P<motion>[M ])."
    r"(?P<weight>.{10})(?P<unit>.{1,3})"  # some scales leave out the blanks behind the unit
)
_WEIGHT = re.compile(r" *(?P<sign>[+-]?) *(?P<digits>\d+(?:\.\d*)?|\.\d+) *")
_DASHES = re.compile(r" *-+ *")

_STATUS = {
    " ": Quality.GOOD,
    "Z": Quality.GOOD,
    "U": Quality.SUSPECT,
    "O": Quality.BAD,
    "E": Quality.BAD,
    "I": Quality.BAD,
    "T": Quality.BAD,
}
_MOTION = {" ": Quality.GOOD, "M": Quality.IN_MOTION}

_REFUSED_COMMAND = "?"


def decode_sma(line: str) -> Decoded | None:
    """Return what a frame without its LF and CR says, or None if it is no frame."""
    if line == _REFUSED_COMMAND:
        return Rejection.REFUSED_COMMAND
    frame = _FRAME.fullmatch(line)
    if frame is None:
        return None
    if frame["kind"] == "T":
        return Rejection.TARE
    quality = max(_STATUS[frame["status"]], _MOTION[frame["motion"]])
    if quality is Quality.BAD or _DASHES.fullmatch(frame["weight"]):
        return NO_MASS
    return _weighing(frame, quality)


def decode_sma_only(line: str) -> Decoded:
    """Return what a frame says, where nothing but frames is expected."""
    return decode_sma(line) or Rejection.NOT_A_WEIGHING


def _weighing(frame: re.Match[str], quality: Quality) -> Decoded:
    weight = _WEIGHT.fullmatch(frame["weight"])
    if weight is None:
        return Rejection.NOT_A_WEIGHING
    return mass_sample(Decimal(weight["sign"] + weight["digits"]), frame["unit"], quality)
