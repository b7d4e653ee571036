"""How much comes in one go: to the mark, about so much, a part, too much, a second time.

Shares and spreads are common practice, no source.
"""

import math

import msgspec

from collector.additions import Addition
from collector.case import Case
from collector.chances import Bell, Mixture, Stretch
from collector.expectations import Expectation

TWICE, DROP, DROP_S = 3.6, 1.0, 20.0
"""What it costs to say that fragrance is added a second time, or a drop of it soon after."""

OVER_MORE, OVER_S = 0.05, 4.0
"""Who is past the mark may not watch it; after some seconds she has seen it."""


class Hand(msgspec.Struct, frozen=True):
    """How closely something is poured to its mark: a share of it, and 0.001 g.

    Who does not watch the mark closely is off by `broad` times more. Where it takes more than
    one go, most take at least the share `first` of what is missing. A share `far` of cases goes far
    past the mark: weighed against another recipe, say.
    """

    share: float
    least_mg: float
    broad: float
    first: float
    far: float


WAX_HAND = Hand(0.002, 1_000, 4.0, 0.0, 0.03)
FRAGRANCE_HAND = Hand(0.005, 250, 6.0, 0.6, 0.06)
FILL_HAND = Hand(0.003, 800, 6.0, 0.4, 0.03)
SUDDEN_SHARE, SUDDEN_PART = 0.05, 0.15
"""What is poured out of sight comes as near to its target as this, by and large; and as seldom in
parts."""

MET_SHARE, MET_SOON, MET_MORE, MET_S = 0.006, 0.1, 0.01, 0.8
"""So near to its mark few pour on: so many after a second, the fewer the later."""


def at_its_mark(expected: Expectation, mass_mg: int, hand: Hand, case: Case) -> bool:
    """Tell whether a mass is as near to its target as a hand comes that watches it."""
    near_mg = max(_sharp(expected, hand, case), MET_SHARE * expected.target_mg)
    return abs(expected.target_mg - mass_mg) < near_mg


def _sharp(expected: Expectation, hand: Hand, case: Case) -> float:
    return max(hand.share * expected.target_mg, hand.least_mg, 0.5 * case.division_mg)


def goes(
    expected: Expectation, had_mg: int, hand: Hand, case: Case, rested_s: float = math.inf
) -> Mixture:
    """How much comes in one go: the rest to the mark, about so much, a part of it, or too much.

    `rested_s` is how long the hand has stopped at what was there before: the longer, the less was
    it only between two ladles.
    """
    target, rest_mg = expected.target_mg, expected.target_mg - had_mg
    sharp = _sharp(expected, hand, case)
    broad = hand.broad * sharp
    if rest_mg < -max(sharp, MET_SHARE * target):  # past the mark: she does not watch it
        on = max(OVER_MORE, math.exp(-max(0.0, rested_s - 1.5) / OVER_S))
        return (Bell(0.1 * on, 0.0, broad), Stretch(0.25 * on, 0.0, 0.12 * target))
    if rest_mg < max(sharp, MET_SHARE * target):
        more = max(MET_MORE, MET_SOON * math.exp(-max(0.0, rested_s - 1.0) / MET_S))
        return (Bell(more, 0.0, broad), Stretch(more, 0.0, 0.12 * target))
    return (
        Bell(0.38, rest_mg, sharp),
        Bell(0.12, rest_mg, broad),
        Stretch(0.25, hand.first * rest_mg, rest_mg + sharp),
        Stretch(0.1, 0.0, rest_mg + sharp),
        Stretch(0.12, rest_mg, rest_mg + 0.1 * target),
        Stretch(hand.far, rest_mg, rest_mg + 0.5 * target),
    )


def again(expected: Expectation, had: Addition, at_us: int, case: Case) -> Mixture:
    """More fragrance: the rest of it, a drop to the mark, or all of it a second time."""
    target, sigma = expected.target_mg, max(250.0, 0.6 * case.division_mg)
    soon = (at_us - had.gone_us) / 1e6 < DROP_S
    over = had.net_mg > target + expected.tolerance_mg  # a second helping goes on
    rest_mg = (2 * target if over else target) - had.net_mg
    second = math.exp(-TWICE)
    twice = (
        Bell(0.5 * second, target, target * 0.03 + sigma),
        Stretch(0.5 * second, 0, target * 1.05),
    )
    if rest_mg > expected.tolerance_mg:
        share = 0.8 if soon else 0.3
        rest = Bell(share * 0.6, rest_mg, target * 0.02 + sigma)
        return (rest, Stretch(share * 0.4, 0, rest_mg * 1.3), *twice)
    drop = Stretch(math.exp(-DROP) if soon else math.exp(-4.0), 0, target * 0.06 + 2 * sigma)
    return (drop, *twice)


def sudden(mixture: Mixture, target_mg: int, had_mg: int) -> Mixture:
    """What comes at once was poured out of sight, so it is about all of it, and seldom a part."""
    bells = tuple(part for part in mixture if isinstance(part, Bell))
    parts = tuple(
        msgspec.structs.replace(part, share=part.share * SUDDEN_PART)
        for part in mixture
        if isinstance(part, Stretch)
    )
    rest_mg = target_mg - had_mg
    if rest_mg < target_mg * 0.5:
        return (*bells, *parts)
    near = Bell(0.3, rest_mg, SUDDEN_SHARE * target_mg)
    return (*bells, *parts, near, Bell(0.15, rest_mg, 3 * SUDDEN_SHARE * target_mg))
