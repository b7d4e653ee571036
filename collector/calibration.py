"""One instrument's calibration: known values beside shown ones, and the line between them.

A thermometer: one point gives an offset, two give offset and gain, more the line of least
squares. A scale has a gain alone: its zero is set anew at every tare, and an offset would come
off every tared mass. The empty pan is one of its points for the sake of the difference.

All bounds here are our own: beyond them a slip of the hand, a wrong reference or a broken
instrument is likelier than one that only wants correcting.
"""

from collections.abc import Sequence
from enum import StrEnum
from fractions import Fraction
from typing import NoReturn

import msgspec

from collector.correction import UNITY_PPB, Correction, Point
from collector.errors import DocumentError
from collector.readings import Quantity

MOST_POINTS = 5

GAIN_WITHIN_PPB = 50_000_000
"""A gain may be this far from one: 5 %."""

OLD_US = 365 * 86_400_000_000
"""A calibration that is older is due again: twelve months, common practice, no source."""


class Remark(StrEnum):
    """What a person should know of a calibration before she keeps it."""

    ONE_POINT = "one point"  # elsewhere nobody knows
    NOT_STRAIGHT = "not straight"  # the points do not lie on the line, as far as the display tells
    NOTHING_TO_CORRECT = "nothing to correct"  # right to within what the display can show


class Bounds(msgspec.Struct, frozen=True):
    """What is plausible of one kind of instrument; `of` and `unit` are how a person calls them.

    `apart` and `steps_apart`: how far two points must be from each other for a gain, in 0.001 of
    the unit and in steps of the display, whichever is more. A step more or less at one end must
    not make more of a gain than there is to correct.
    """

    of: str
    unit: str
    lowest: int
    highest: int
    apart: int
    steps_apart: int


BOUNDS = {
    Quantity.TEMPERATURE: Bounds("thermometer", "°C", -40_000, 200_000, 20_000, 50),
    Quantity.MASS: Bounds("scale", "g", 0, 100_000_000, 20_000, 200),
}
"""The quantities whose instruments can be calibrated."""

MOST_OFF_MDEGC = 5_000
"""A thermometer may be this far off at a point."""

MOST_ZERO_SHARE = 50
"""An empty scale may show one part in this many of the largest mass: 2 %."""


USUAL_RESOLUTION = 100
"""Of a display of which too little is known: 0.1 °C or 0.1 g."""


class Fit(msgspec.Struct, frozen=True):
    """What points come to: the line, and by how much it leaves each, in the points' order."""

    correction: Correction
    residuals: tuple[int, ...]
    remarks: tuple[Remark, ...]


def fit(points: Sequence[Point], quantity: Quantity, resolution: int | None) -> Fit:
    """Return the line through points; `resolution` is the smallest step of the display, 0.001.

    A scale's corrected values stay on its own division where that is known: they say no more
    than it can, and how it flickers can still be told from them.

    Raises DocumentError with the sentence why where the points make no sense.
    """
    bounds = BOUNDS.get(quantity)
    if bounds is None:
        _refuse("only thermometers and scales are calibrated here")
    _check_points(points, bounds)
    if quantity is Quantity.MASS:
        _check_scale(points, bounds)
    else:
        _check_thermometer(points)
    tells = resolution or USUAL_RESOLUTION
    if len(points) == 1:
        return _shifted(points[0], tells)
    _check_apart(points, bounds, tells)
    gain_ppb = _gain_ppb(points)
    if quantity is Quantity.MASS:
        return _fitted(points, Correction(0, gain_ppb, resolution or 1), tells)
    middle = sum(p.reference - Fraction(gain_ppb * p.shown, UNITY_PPB) for p in points)
    return _fitted(points, Correction(round(middle / len(points)), gain_ppb), tells)


def _shifted(point: Point, resolution: int) -> Fit:
    offset = point.reference - point.shown
    nothing = [Remark.NOTHING_TO_CORRECT] if 2 * abs(offset) <= resolution else []
    return Fit(Correction(offset, UNITY_PPB), (0,), (Remark.ONE_POINT, *nothing))


def _gain_ppb(points: Sequence[Point]) -> int:
    """Return the least-squares slope of reference on shown; through two points it is exact."""
    count = len(points)
    sum_x, sum_y = sum(p.shown for p in points), sum(p.reference for p in points)
    sum_xx = sum(p.shown**2 for p in points)
    sum_xy = sum(p.shown * p.reference for p in points)
    slope = Fraction(count * sum_xy - sum_x * sum_y, count * sum_xx - sum_x**2)
    gain_ppb = round(slope * UNITY_PPB)
    if abs(gain_ppb - UNITY_PPB) > GAIN_WITHIN_PPB:
        _refuse(
            f"every degree or gram that it shows would count as {float(slope):.3f}: more than 5 %"
            " off is a wrong reference or a broken instrument, so take the points again"
        )
    return gain_ppb


def _fitted(points: Sequence[Point], correction: Correction, tells: int) -> Fit:
    """Return what a line comes to; its residuals are about its own middle, without a tare."""
    off = [p.reference - Fraction(correction.gain_ppb * p.shown, UNITY_PPB) for p in points]
    middle = sum(off) / len(points)
    residuals = tuple(round(each - middle) for each in off)
    moves = (abs(correction.apply(p.shown) - p.shown) for p in points)
    remarks = []
    if max(map(abs, residuals)) > tells:
        remarks.append(Remark.NOT_STRAIGHT)
    if 2 * max(moves) <= tells:
        remarks.append(Remark.NOTHING_TO_CORRECT)
    return Fit(correction, residuals, tuple(remarks))


def _check_points(points: Sequence[Point], bounds: Bounds) -> None:
    if not 1 <= len(points) <= MOST_POINTS:
        _refuse(f"expected one to {MOST_POINTS} points, not {len(points)}")
    for number, point in enumerate(points, start=1):
        if not bounds.lowest <= point.reference <= bounds.highest:
            _refuse(
                f"{_plain(point.reference)} {bounds.unit} is no reference for a {bounds.of}:"
                f" expected {_plain(bounds.lowest)} to {_plain(bounds.highest)} {bounds.unit}",
                number,
            )


def _check_thermometer(points: Sequence[Point]) -> None:
    for number, point in enumerate(points, start=1):
        off = point.shown - point.reference
        if abs(off) > MOST_OFF_MDEGC:
            _refuse(
                f"it shows {_plain(point.shown)} °C at {_plain(point.reference)} °C. More than"
                f" {_plain(MOST_OFF_MDEGC)} °C off is a wrong reference or a broken probe:"
                " check which, and take the point again",
                number,
            )


def _check_scale(points: Sequence[Point], bounds: Bounds) -> None:
    largest = max(points, key=lambda point: point.reference)
    smallest = min(points, key=lambda point: point.reference)
    if len(points) == 1:
        _refuse("a scale needs two points: empty, and a mass that is known")
    zero = smallest.shown if smallest.reference == 0 else 0
    if abs(zero) * MOST_ZERO_SHARE > largest.reference:
        _refuse(
            f"empty it shows {_plain(zero)} {bounds.unit}, more than 2 % of"
            f" {_plain(largest.reference)} {bounds.unit}: tare it and begin again"
        )


def _check_apart(points: Sequence[Point], bounds: Bounds, resolution: int) -> None:
    """Refuse points of which no two are far enough apart to tell a gain.

    What was shown may be a little closer: that is what a gain is for.
    """
    least = max(bounds.apart, bounds.steps_apart * resolution)
    known = [point.reference for point in points]
    shown = [point.shown for point in points]
    for name, values, needed in (("known", known, least), ("shown", shown, least * 9 // 10)):
        apart = max(values) - min(values)
        if apart < needed:
            _refuse(
                f"the {name} values are {_plain(apart)} {bounds.unit} apart, too close for a gain:"
                f" this instrument needs {_plain(least)} {bounds.unit}"
            )


def _plain(value: int) -> str:
    return f"{value / 1000:.3f}".rstrip("0").rstrip(".")


def _refuse(problem: str, point: int | None = None) -> NoReturn:
    raise DocumentError("these points" if point is None else f"point {point}", [], problem)
