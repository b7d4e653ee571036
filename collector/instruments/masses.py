"""Numbers and units on the wire, made into samples of mass."""

import re
from decimal import Decimal
from functools import lru_cache

from collector import units
from collector.instruments.decoding import Decoded, Rejection
from collector.readings import Quality, Quantity, Sample

NUMBER = r"[+-]?\s*(?:\d{1,10}(?:[.,]\d{0,9})?|[.,]\d{1,9})"
"""A number as scales write it: blanks may stand between sign and digits.

Ten digits before the point are the whole weight field of SMA SCP-0499; no scale has more."""

NO_MASS = Sample(Quantity.MASS, 0, Quality.BAD)
"""The scale speaks, but has no usable number: overload or fault."""

MAX_MASS_MG = 10**12
"""1000 t. Beyond any scale at a bench, and far inside a signed 64-bit integer."""

_BLANKS = re.compile(r"\s+")
_AMBIGUOUS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")


def decimal_of(text: str) -> Decimal | Rejection:
    """Return the number that `text`, a match of `NUMBER`, stands for.

    A comma is a decimal comma. Only where it may as well separate thousands (`1,234`, but not
    `0,123` nor `1234,5`) the number is refused: a factor of 1000 must never be a guess.
    """
    digits = _BLANKS.sub("", text)
    if _AMBIGUOUS.fullmatch(digits):
        return Rejection.AMBIGUOUS_COMMA
    return Decimal(digits.replace(",", "."))


def mass_sample(number: Decimal, unit: str, quality: Quality = Quality.GOOD) -> Decoded:
    """Return the sample of so many units of mass, or why there is none."""
    if not _is_mass_unit(unit.strip()):
        return Rejection.UNKNOWN_UNIT
    try:
        mass_mg = units.to_fixed(number, unit.strip(), Quantity.MASS)
    except units.UnitError:
        return Rejection.OUT_OF_RANGE
    if abs(mass_mg) > MAX_MASS_MG:
        return Rejection.OUT_OF_RANGE
    return Sample(Quantity.MASS, mass_mg, quality)


@lru_cache(maxsize=64)  # a scale has a few; noise must not make each line search for its unit
def _is_mass_unit(unit: str) -> bool:
    try:
        units.to_fixed(Decimal(1), unit, Quantity.MASS)
    except units.UnitError:
        return False
    return True
