"""The two plain forms of line that serial scales send: bare, and led by a status.

Both are common practice without a published source; `sma_frames` is the open standard.

    bare          `  123.4 g`, `-  0.5 g`, `123,4 g`, `123.4 g ?` (the mark: not settled)
    status-led    `ST,GS,+00123.4,g`, `US,NT,-  12.3 g`, `ST,+00123.45  g`, `OL,GS,+99999.9,g`

A negative number is as good as a positive one where the line carries its minus: a tared scale
shows it when the pitcher is lifted off.
"""

import re

from collector.instruments.decoding import Decoded, Rejection
from collector.instruments.masses import NO_MASS, NUMBER, decimal_of, mass_sample
from collector.readings import Quality

_UNIT = r"[A-Za-z]{1,10}(?: [A-Za-z]{1,10})?"

_BARE = re.compile(rf"\s*(?P<number>{NUMBER})\s*(?P<unit>{_UNIT})\s*(?P<unsettled>\?)?\s*")

_LED = re.compile(r"\s*(?P<status>[A-Z]{2})\s*(?:,(?P<rest>.*))?")
_FIELDS = re.compile(
    rf"(?:\s*(?P<kind>[A-Z]{{1,2}})\s*,)?\s*(?P<number>{NUMBER})\s*,?\s*(?P<unit>{_UNIT})\s*"
)

_STATUS = {"ST": Quality.GOOD, "US": Quality.IN_MOTION, "OL": Quality.BAD}

_LOAD = {None, "GS", "NT", "G", "N"}  # gross and net are both what stands on the pan now
_TARE = {"TR", "T"}


def decode_bare(line: str) -> Decoded | None:
    """Return what a bare line says, or None if it is none."""
    found = _BARE.fullmatch(line)
    if found is None:
        return None
    quality = Quality.IN_MOTION if found["unsettled"] else Quality.GOOD
    return _weighing(found, quality)


def decode_status_led(line: str) -> Decoded | None:
    """Return what a line with a leading status says, or None if it has no known one."""
    led = _LED.fullmatch(line)
    quality = _STATUS.get(led["status"]) if led else None
    if led is None or quality is None:
        return None
    if quality is Quality.BAD:
        return NO_MASS
    return _fields(led["rest"] or "", quality)


def _fields(rest: str, quality: Quality) -> Decoded:
    found = _FIELDS.fullmatch(rest)
    if found is None:
        return Rejection.NOT_A_WEIGHING
    if found["kind"] in _TARE:
        return Rejection.TARE
    if found["kind"] not in _LOAD:
        return Rejection.NOT_A_WEIGHING
    return _weighing(found, quality)


def _weighing(found: re.Match[str], quality: Quality) -> Decoded:
    number = decimal_of(found["number"])
    if isinstance(number, Rejection):
        return number
    return mass_sample(number, found["unit"], quality)
