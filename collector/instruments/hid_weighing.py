"""USB scales: the data report of HID usage page 0x8D.

Source: USB-IF, HID Point of Sale Usage Tables 1.02 (2001), section 4. The report is laid out as
scales in use have it (common practice): report id, status, unit, exponent of ten (signed),
weight (16 bit, low byte first, without a sign).

    under zero (5)              the weight is a magnitude: it is negated, and SUSPECT, because
                                a scale may as well report the overflow of its range so
    needs calibration (7),
    needs rezeroing (8)         SUSPECT: there is a number, the scale does not stand by it
    fault (1), over limit (6)   BAD: what the weight field holds is no weight
"""

from collections import Counter
from decimal import Decimal

from collector.instruments.decoding import Decoded, Rejection
from collector.instruments.masses import NO_MASS, mass_sample
from collector.readings import Quality, Sample

USAGE_PAGE = 0x8D
"""The usage page "Scales"."""

MAX_REPORT_BYTES = 64
"""The most that an interrupt transfer carries at full speed (USB 2.0, 5.7.3)."""

_DATA_REPORT = 3
_DATA_BYTES = 6
_UNDER_ZERO = 5

_STATUS = {
    1: Quality.BAD,
    2: Quality.GOOD,  # stable at the center of zero
    3: Quality.IN_MOTION,
    4: Quality.GOOD,
    _UNDER_ZERO: Quality.SUSPECT,
    6: Quality.BAD,
    7: Quality.SUSPECT,
    8: Quality.SUSPECT,
}

_UNITS = {
    1: ("mg", 1),
    2: ("g", 1),
    3: ("kg", 1),
    4: ("carat", 1),
    6: ("grain", 1),
    7: ("dwt", 1),
    8: ("t", 1),
    9: ("lb", 2000),  # avoirdupois ton: 2000 lb in NIST Handbook 44, Appendix C (from memory)
    10: ("ozt", 1),
    11: ("oz", 1),
    12: ("lb", 1),
}
_TAEL = 5  # 37.5 to 50 g by region: no single published mass

_EXPONENTS = range(-9, 10)
"""A nanogram to a thousand million of the unit: outside is noise, not a scale."""


def decode_hid_report(report: bytes) -> Decoded:
    """Return what one input report says, its report id included."""
    if len(report) < _DATA_BYTES:
        return Rejection.SHORT_REPORT
    if report[0] != _DATA_REPORT:
        return Rejection.OTHER_REPORT
    if any(report[_DATA_BYTES:]):  # more than padding: a wider weight, or another layout
        return Rejection.UNKNOWN_LAYOUT
    return _data(report[1], report[2], report[3:_DATA_BYTES])


class HidWeighingDecoder:
    """Decodes input reports; each call of `feed` takes one report, as HID delivers them."""

    def __init__(self) -> None:
        self.rejected: Counter[str] = Counter()

    def feed(self, data: bytes) -> list[Sample]:
        """Return the sample of one report, if it has any."""
        if not data:
            return []
        decoded = decode_hid_report(data)
        if isinstance(decoded, Sample):
            return [decoded]
        self.rejected[decoded.value] += 1
        return []

    def reset(self) -> None:
        """Forget nothing: HID delivers whole reports."""

    def quiet(self) -> None:
        """Learn nothing: HID delivers whole reports."""


def _data(status: int, unit: int, weight: bytes) -> Decoded:
    quality = _STATUS.get(status)
    if quality is None:
        return Rejection.UNKNOWN_STATUS
    if quality is Quality.BAD:
        return NO_MASS
    if unit == _TAEL:
        return Rejection.AMBIGUOUS_UNIT
    if unit not in _UNITS:
        return Rejection.UNKNOWN_UNIT
    sign = -1 if status == _UNDER_ZERO else 1
    return _weighing(sign, unit, weight, quality)


def _weighing(sign: int, unit: int, weight: bytes, quality: Quality) -> Decoded:
    exponent = int.from_bytes(weight[:1], signed=True)
    if exponent not in _EXPONENTS:
        return Rejection.OUT_OF_RANGE
    name, factor = _UNITS[unit]
    magnitude = int.from_bytes(weight[1:], "little") * factor
    return mass_sample(Decimal(sign * magnitude).scaleb(exponent), name, quality)
