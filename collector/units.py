"""Quantities as people and instruments write them, and the integers that the service keeps.

This is the only file that knows pint. Each unit is resolved once into an exact line
`canonical = (value * times + plus) / over`; after that a conversion is integer arithmetic,
rounded half to even. Factors are pint's, which are those of NIST SP 811 (2008) Appendix B and
NIST Handbook 44 Appendix C.
"""

import re
from collections.abc import Mapping
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cache, lru_cache

import msgspec
import pint

from collector import unit_names
from collector.readings import Quantity

ABSOLUTE_ZERO_MDEGC = -273_150

MAX_FIXED = 2**53 - 1
"""The largest integer that every JSON reader keeps exactly (RFC 8259, section 6)."""

_MAX_TEXT = 64  # the longest quantity that a person means; keeps a hostile document cheap
_MAX_DECADES = 18  # beyond 10^±18 of any unit nothing is a reading, and 10^n would grow

_NUMBER_AND_UNIT = re.compile(
    r"([+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?) ?(.*)"
)
_BY = re.compile(" ?/ ?")
_UNIT_NAME = re.compile(r"[A-Za-zµμ][A-Za-zµμ_]*")  # one name: pint would also read a product


class UnitError(ValueError):
    """A quantity cannot be understood; the message says what was read and what was expected."""


class Dimension(StrEnum):
    """What a quantity is a measure of; each has one canonical integer resolution."""

    MASS = "mass"  # 0.001 g
    TEMPERATURE = "temperature"  # 0.001 °C
    TEMPERATURE_DIFFERENCE = "temperature difference"  # 0.001 °C
    DURATION = "duration"  # 1 µs
    FRACTION = "fraction"  # parts per million
    VOLUME = "volume"  # 0.001 mL
    HUMIDITY = "humidity"  # 0.001 %RH
    PRESSURE = "pressure"  # 1 Pa
    DENSITY = "density"  # 0.001 g/mL
    TEMPERATURE_RATE = "rate of temperature"  # 0.001 °C a minute
    SIZE = "size of data"  # 1 byte


class _Measure(msgspec.Struct, frozen=True):
    """How a dimension is counted: `steps` to one of pint's `unit`, and how people write it.

    `least` is the smallest that a person can mean. Where `listed_only`, no unit of pint's own
    serves: among the pure numbers are constants such as pi.
    """

    unit: str
    steps: int
    names: Mapping[str, str]
    example: str
    least: int | None = 0
    listed_only: bool = False


_MEASURES = {
    Dimension.MASS: _Measure("gram", 1000, unit_names.MASSES, "220 g"),
    Dimension.TEMPERATURE: _Measure(
        "degree_Celsius", 1000, unit_names.TEMPERATURES, "80 degC", least=ABSOLUTE_ZERO_MDEGC
    ),
    Dimension.TEMPERATURE_DIFFERENCE: _Measure(
        "delta_degree_Celsius",
        1000,
        unit_names.TEMPERATURE_DIFFERENCES,
        "0.5 degC",
        least=None,
        listed_only=True,
    ),
    Dimension.DURATION: _Measure("microsecond", 1, unit_names.DURATIONS, "2 min"),
    Dimension.FRACTION: _Measure("ppm", 1, unit_names.FRACTIONS, "8 %", listed_only=True),
    Dimension.VOLUME: _Measure("milliliter", 1000, unit_names.VOLUMES, "250 mL"),
    Dimension.HUMIDITY: _Measure(
        "percent", 1000, unit_names.HUMIDITIES, "45 %RH", listed_only=True
    ),
    Dimension.PRESSURE: _Measure("pascal", 1, unit_names.PRESSURES, "1013 hPa"),
    Dimension.DENSITY: _Measure(
        "gram / milliliter", 1000, unit_names.DENSITIES, "0.87 g/mL", listed_only=True
    ),
    Dimension.TEMPERATURE_RATE: _Measure(
        "delta_degree_Celsius / minute",
        1000,
        unit_names.TEMPERATURE_RATES,
        "1 degC/min",
        listed_only=True,
    ),
    Dimension.SIZE: _Measure("byte", 1, unit_names.SIZES, "20 GB", listed_only=True),
}

_DIMENSION_OF = {
    Quantity.MASS: Dimension.MASS,
    Quantity.TEMPERATURE: Dimension.TEMPERATURE,
    Quantity.HUMIDITY: Dimension.HUMIDITY,
    Quantity.PRESSURE: Dimension.PRESSURE,
}

UNIT_OF = {
    Quantity.MASS: "g",
    Quantity.TEMPERATURE: "degC",
    Quantity.HUMIDITY: "%RH",
    Quantity.PRESSURE: "Pa",
}
"""The unit in which `from_fixed` gives each quantity."""

_REMARKS = {
    (Dimension.MASS, Dimension.VOLUME): (
        ', not a mass: weigh what fills the vessel and write that, such as "220 g"; what a vessel'
        ' holds by volume is written volume = "8 fl oz"'
    ),
    (Dimension.VOLUME, Dimension.MASS): (
        ', not a volume: the fluid ounce is written "fl oz" or "us fl oz" (29.57 mL)'
        ' or "uk fl oz" (28.41 mL)'
    ),
}
"""What to say of one dimension's unit where another's is expected."""

_AMBIGUOUS = {
    "gr": 'means grain to some and gram to others: write "g" or "grain"',
    "m": 'means meter: a minute is written "min"',
}


class _Line(msgspec.Struct, frozen=True):
    """`canonical = (value * times + plus) / over`, all integers, `times` and `over` positive."""

    times: int
    plus: int
    over: int


def parse(text: str, dimension: Dimension) -> int:
    """Return a quantity written as text, such as "220 g", in the dimension's resolution.

    Raises UnitError where the text has no number or unit, the unit measures something else,
    or the value is negative (temperatures: below absolute zero) or too large.
    """
    number, unit = _cut(text, dimension)
    fixed = _fixed(Decimal(number), unit, dimension)
    least = _MEASURES[dimension].least
    if least is not None and fixed < least:
        bound = "negative" if least == 0 else "below absolute zero"
        raise UnitError(f'"{text}" is {bound}; {_expected(dimension)}')
    return fixed


def to_fixed(value: Decimal, unit: str, quantity: Quantity) -> int:
    """Return an instrument's number in the resolution of `quantity`, rounded half to even.

    A mass may be negative: a pan under its tare. Raises UnitError for an unknown unit, a unit
    of something else, no number, or a temperature below absolute zero.
    """
    fixed = _fixed(value, unit, _DIMENSION_OF[quantity])
    if quantity is Quantity.TEMPERATURE and fixed < ABSOLUTE_ZERO_MDEGC:
        raise UnitError(f"{value} {unit} is below absolute zero")
    return fixed


def from_fixed(value: int, quantity: Quantity) -> float:
    """Return a fixed-point value as a number of °C, g, %RH or Pa, for screens and messages."""
    return value / _MEASURES[_DIMENSION_OF[quantity]].steps


def example_of(dimension: Dimension) -> str:
    """Return how a quantity of the dimension may be written, such as "220 g"."""
    return _MEASURES[dimension].example


def shown_in(value: int, quantity: Quantity, unit: str) -> float:
    """Return a fixed-point value in the unit that a workshop reads, such as degF or oz.

    Raises UnitError where the unit does not measure that quantity.
    """
    line = _line(unit, _DIMENSION_OF[quantity])
    return (value * line.over - line.plus) / line.times


def _cut(text: str, dimension: Dimension) -> tuple[str, str]:
    """Cut "220 g" into number and unit."""
    plain = unit_names.with_plain_signs(text[: _MAX_TEXT + 1])
    found = _NUMBER_AND_UNIT.fullmatch(plain)
    if not found or len(text) > _MAX_TEXT:
        raise UnitError(f'"{text[:_MAX_TEXT]}" is not a quantity; {_expected(dimension)}')
    number, unit = found.groups()
    if not unit:
        raise UnitError(f'"{text}" has no unit; {_expected(dimension)}')
    if unit.startswith(","):
        raise UnitError(f'"{text}" has a comma: write the decimal point as "."')
    return number, unit


def _fixed(value: Decimal, unit: str, dimension: Dimension) -> int:
    line = _line(unit, dimension)
    if not value.is_finite() or (value and abs(value.adjusted()) > _MAX_DECADES):
        raise UnitError(f"{value} {unit} is out of range; {_expected(dimension)}")
    if not value:
        value = Decimal(0)  # "0e999" is zero too, but would be a long one as a ratio
    top, bottom = value.as_integer_ratio()
    fixed = _rounded(top * line.times + bottom * line.plus, bottom * line.over)
    if abs(fixed) > MAX_FIXED:
        raise UnitError(f"{value} {unit} is out of range; {_expected(dimension)}")
    return fixed


def _rounded(top: int, bottom: int) -> int:
    """Divide and round half to even; `round(Fraction)` would do, ten times slower."""
    whole, rest = divmod(top, bottom)
    beyond_half = 2 * rest - bottom
    return whole + (beyond_half > 0 or (beyond_half == 0 and whole % 2 == 1))


def _expected(dimension: Dimension) -> str:
    return f'expected a {dimension.value}, such as "{example_of(dimension)}"'


@lru_cache(maxsize=512)  # more spellings than instruments and recipes use
def _line(unit: str, dimension: Dimension) -> _Line:
    """Resolve how `unit` becomes the dimension's integers; raises UnitError."""
    line = _line_by_pint(unit, _MEASURES[dimension])
    if line is None:
        raise UnitError(f'"{unit}" {_why_not(unit, dimension)}')
    return line


def _line_by_pint(unit: str, measure: _Measure) -> _Line | None:
    """Ask pint for the exact line through 0 and 1; None where the unit does not measure that."""
    name = _pint_name(unit, measure)
    if name is None:
        return None
    zero, one = (_converted(count, name, measure.unit) for count in (0, 1))
    if zero is None or one is None:
        return None
    slope, offset = (one - zero) * measure.steps, zero * measure.steps
    over = slope.denominator * offset.denominator
    return _Line(int(slope * over), int(offset * over), over)


def _pint_name(unit: str, measure: _Measure) -> str | None:
    """Return pint's name of a unit; for one that is not listed, its own spelling."""
    plain = unit_names.with_plain_signs(unit.replace(".", " ").replace("_", " "))
    listed = measure.names.get(_BY.sub("/", plain.casefold()))
    own = plain.replace(" ", "_")
    if listed or measure.listed_only or own in _AMBIGUOUS:
        return listed
    return own if _UNIT_NAME.fullmatch(own) else None


def _converted(count: int, unit: str, into: str) -> Fraction | None:
    registry = _registry()
    try:
        # A look-up: pint's parser would take "nan" for a number. A quotient is one of ours.
        known = unit if "/" in unit else registry.get_name(unit)
        return Fraction(registry.Quantity(Fraction(count), known).to(into).magnitude)
    except pint.PintError:  # unknown, of something else, or a prefix before an offset unit
        return None


@cache
def _registry() -> pint.UnitRegistry[Fraction]:
    """Make pint's registry at the first unit: it costs a tenth of a second."""
    return pint.UnitRegistry(non_int_type=Fraction)


def _why_not(unit: str, dimension: Dimension) -> str:
    """Say what is wrong with a unit, which does not measure the dimension."""
    if unit in _AMBIGUOUS:
        return _AMBIGUOUS[unit]
    for other, measure in _MEASURES.items():
        if _line_by_pint(unit, measure):
            remark = _REMARKS.get((dimension, other), f"; {_expected(dimension)}")
            return f"measures a {other.value}{remark}"
    return f"is not a known unit; {_expected(dimension)}"
