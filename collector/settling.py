"""When what was poured counts as all of it. Durations are common practice, no source."""

from collector.additions import Addition
from collector.conclusions import WeighingKind
from collector.expectations import Expectation
from collector.runs import COARSE_MG
from collector.weighings import BAND_MG, Plateau

MET_US = 1_600_000
"""How long a mass on its target must rest: the median of a restless scale takes that long."""

REST_US = 2_400_000
"""How long a mass that is off its target must rest before it is taken for final: a person who
tops up does so sooner, one who does not wants to be told while she can."""

DRAWING_US = 8_000_000
"""The same where wax is far from its target: it is drawn ladle by ladle."""

NEARLY, NEARLY_US = (0.945, 1.0), 5_000_000
"""Who stops at such a share of the wax is about to weigh in the rest, and takes so long."""

TARED_US = 12_000_000
"""The same after a tare in between: who tares half of the wax goes on."""

OVER_US = 2_000_000
"""The same for wax or fragrance that is more than it should be: nobody waits to add more."""

SCENTED_US = 2_700_000
"""The same for fragrance, which ends in drops."""

COARSE_US = 2_500_000
"""So much longer on a coarse scale, which shows neither the last drops of what was poured nor the
first ones of the rest."""

DRAWN_SHARE = 0.8
"""From this share of its target on, wax counts as drawn."""

LEAST_SHARE = {WeighingKind.WAX: 0.3, WeighingKind.FRAGRANCE: 0.2, WeighingKind.FILL: 0.3}
"""The least share of its target that makes an addition a weighing, not a drip or a hand."""

FRESH_US = 15_000_000
"""For so long after a weighing even a small change is the end of what was poured."""

TRIFLE_MG = 150
"""A change by less is the scale's own tremble: a division and a half of a fine one."""


def counts(addition: Addition, expected: Expectation) -> bool:
    """Tell whether there is enough of it to be a weighing."""
    return expected.share(_each(addition)) >= LEAST_SHARE[addition.key.kind]


def drawn(addition: Addition, expected: Expectation) -> bool:
    """Tell whether it is so much that it may well be all of it."""
    wax = addition.key.kind is WeighingKind.WAX
    return not wax or expected.share(addition.net_mg) >= DRAWN_SHARE


def is_final(
    addition: Addition,
    plateau: Plateau,
    expected: Expectation,
    division_mg: int,
    *,
    first: bool,
) -> bool:
    """Tell whether a resting scale shows what an addition came to.

    `first` says that nothing was told of its mass yet.
    """
    if first and expected.met_by(_each(addition)):
        return plateau.rested_us() >= MET_US
    needed_us = _rest_us(addition, expected, division_mg, first=first)
    return counts(addition, expected) and plateau.rested_us() >= needed_us


def _rest_us(addition: Addition, expected: Expectation, division_mg: int, *, first: bool) -> int:
    """Return how long a mass that is off its target must rest."""
    kind = addition.key.kind
    if kind is WeighingKind.WAX and first and not _seems_done(addition, expected):
        return TARED_US if addition.tared else DRAWING_US
    if kind is WeighingKind.FILL or not first:
        return REST_US
    if _each(addition) > expected.target_mg:
        return OVER_US
    if addition.trimmed:
        return REST_US
    nearly = NEARLY[0] <= expected.share(addition.net_mg) < NEARLY[1]
    if kind is WeighingKind.WAX and nearly:
        return TARED_US if addition.tared else NEARLY_US
    needed_us = SCENTED_US if kind is WeighingKind.FRAGRANCE else REST_US
    return needed_us + (COARSE_US if division_mg >= COARSE_MG else 0)


def _seems_done(addition: Addition, expected: Expectation) -> bool:
    """Tell whether nobody would wait for another ladle."""
    return drawn(addition, expected) and (addition.goes <= 1 or addition.trimmed)


def trifle_mg(rested: Plateau | None, plateau: Plateau, division_mg: int, band_mg: int) -> int:
    """Return what a mass may change by before it is another one.

    The last drops are slow; what changes later is the scale, which drifts.
    """
    if rested is None:
        return max(BAND_MG, band_mg)
    fresh = plateau.to_us - rested.to_us <= FRESH_US
    return max(TRIFLE_MG, division_mg // 2) if fresh else band_mg


def _each(addition: Addition) -> int:
    return addition.net_mg // max(1, addition.lost)
