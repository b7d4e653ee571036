"""What a rise on the scale most likely is, given what the procedure expects next."""

from enum import IntEnum

import msgspec

from collector.events import WeighingKind
from collector.pan import ZERO_MG, Load, Pan, same_mass
from collector.recipes import PPM

NEXT_DRAW_PPM = 1_350_000
"""No vessel holds this share of its fill: the next pitcher is being drawn."""

MANY_FRAGRANCES_PPM = 1_600_000
"""More than one and a half fragrance targets in one go is no fragrance."""

WAX_AT_ONCE_PPM = (500_000, 1_300_000)
"""Wax that arrives at once comes to this share of its target, or it is another thing."""

FRAGRANCE_AT_ONCE_PPM = (300_000, 1_700_000)
"""The same for fragrance that is weighed apart."""

AGAIN_PPM = (750_000, 1_250_000)
"""A second helping of fragrance is about as much as the first should have been."""

FILL_AT_ONCE_PPM = (850_000, 1_150_000)
"""A rise by a fill at once is a fill where no container can explain it."""


class Stage(IntEnum):
    """What the procedure expects to be poured next."""

    WAX = 0
    FRAGRANCE = 1
    BLEND = 2  # fragrance is in; stir and wait
    POUR = 3


class Expectation(msgspec.Struct, frozen=True):
    """What a weighing should come to; 0.001 g."""

    target_mg: int
    tolerance_mg: int

    def met_by(self, mass_mg: int) -> bool:
        """Tell whether a mass is within the tolerance."""
        return abs(mass_mg - self.target_mg) <= self.tolerance_mg

    def near(self, mass_mg: int, low_ppm: int, high_ppm: int) -> bool:
        """Tell whether a mass is between two shares of the target."""
        return low_ppm * self.target_mg <= mass_mg * PPM <= high_ppm * self.target_mg

    def miss(self, mass_mg: int) -> float:
        """Return how far a mass is from the target, as a share of it."""
        return abs(mass_mg - self.target_mg) / max(1, self.target_mg)


class Outlook(msgspec.Struct, frozen=True):
    """Where the lot stands: what each weighing should come to, and what is in the pitcher.

    `cooled` says that the wax is nearer to its pour window than to the fragrance's; None where
    no probe or no recipe tells.
    """

    stage: Stage
    wax: Expectation
    fragrance: Expectation
    fill: Expectation
    wax_mg: int | None
    fragrance_mg: int | None
    more_pitchers: bool
    stirred: bool
    cooled: bool | None = None


def poured_kind(
    outlook: Outlook, pan: Pan, before_mg: int, change_mg: int, *, settled: bool
) -> WeighingKind | None:
    """Return what a gradual rise by `change_mg` is; None while it cannot be told yet.

    Once the scale has settled there always is an answer.
    """
    if outlook.stage is Stage.WAX:
        return WeighingKind.WAX
    if outlook.stage is Stage.POUR:
        return _while_pouring(outlook, pan, change_mg, settled=settled)
    if pan.vessel_here:
        return _into_vessel(outlook, pan, change_mg, settled=settled)
    from_zero = abs(before_mg) <= ZERO_MG
    if outlook.stage is Stage.FRAGRANCE:
        tared = from_zero and pan.load is Load.PITCHER  # since the wax was drawn
        return (
            into_tared(outlook, pan, change_mg)
            if tared
            else _before_fragrance(outlook, pan, change_mg, settled=settled)
        )
    in_pitcher = pan.load is Load.PITCHER and (pan.pitcher_seen or not from_zero)
    if in_pitcher:
        return _more(outlook)
    return _after_fragrance_from_zero(outlook, change_mg, settled=settled)


def _into_vessel(
    outlook: Outlook, pan: Pan, change_mg: int, *, settled: bool
) -> WeighingKind | None:
    warm = outlook.cooled is False or (outlook.cooled is None and not outlook.stirred)
    again = outlook.stage is Stage.BLEND and pan.beaker_seen and warm
    if (outlook.stage is Stage.FRAGRANCE or again) and _maybe_beaker(outlook, pan):
        return _into_beaker(outlook, change_mg, settled=settled)
    return WeighingKind.FILL


def _maybe_beaker(outlook: Outlook, pan: Pan) -> bool:
    """Fragrance may be weighed in a beaker of its own while the wax is warm.

    Where no probe tells how warm, a beaker is lighter than most vessels.
    """
    if outlook.cooled is None:
        return pan.vessel_mg is not None and pan.vessel_mg * 2 < outlook.fill.target_mg
    return not outlook.cooled


def _into_beaker(outlook: Outlook, change_mg: int, *, settled: bool) -> WeighingKind | None:
    if change_mg * PPM > outlook.fragrance.target_mg * MANY_FRAGRANCES_PPM:
        return WeighingKind.FILL
    if not settled:
        return None
    beaker = change_mg * PPM >= outlook.fragrance.target_mg * FRAGRANCE_AT_ONCE_PPM[0]
    return WeighingKind.FRAGRANCE if beaker else WeighingKind.FILL


def into_tared(outlook: Outlook, pan: Pan, change_mg: int) -> WeighingKind:
    """Fragrance, unless it is far too much and the pitcher may have gone unseen."""
    too_much = change_mg * PPM > outlook.fragrance.target_mg * MANY_FRAGRANCES_PPM
    fill = too_much and not pan.pitcher_seen
    return WeighingKind.FILL if fill else WeighingKind.FRAGRANCE


def _while_pouring(
    outlook: Outlook, pan: Pan, change_mg: int, *, settled: bool
) -> WeighingKind | None:
    if pan.load is Load.PITCHER:
        return _more(outlook)
    if outlook.more_pitchers and change_mg * PPM > outlook.fill.target_mg * NEXT_DRAW_PPM:
        return WeighingKind.WAX if settled else None  # a hand that lifts a vessel presses it first
    return WeighingKind.FILL


def _before_fragrance(
    outlook: Outlook, pan: Pan, change_mg: int, *, settled: bool
) -> WeighingKind | None:
    too_much = change_mg * PPM > outlook.fragrance.target_mg * MANY_FRAGRANCES_PPM
    if pan.load is Load.UNKNOWN and too_much and change_mg * 2 >= outlook.fill.target_mg:
        return WeighingKind.FILL
    wax = outlook.wax_mg
    if wax is not None and wax < outlook.wax.target_mg and not outlook.wax.met_by(wax):
        if not settled:
            return None
        short = Expectation(outlook.wax.target_mg - wax, 0)
        if short.miss(change_mg) < outlook.fragrance.miss(change_mg):
            return WeighingKind.WAX
    return WeighingKind.FRAGRANCE


def _after_fragrance_from_zero(
    outlook: Outlook, change_mg: int, *, settled: bool
) -> WeighingKind | None:
    """A fill, unless it may be a second helping of fragrance into a tared pitcher."""
    more_than_fragrance = change_mg * PPM > outlook.fragrance.target_mg * AGAIN_PPM[1]
    if outlook.stirred or outlook.cooled or more_than_fragrance:
        return WeighingKind.FILL
    if change_mg * 2 >= outlook.fill.target_mg:
        return WeighingKind.FILL
    if not settled:
        return None
    again = outlook.fragrance.near(change_mg, *AGAIN_PPM)
    return WeighingKind.FRAGRANCE if again else WeighingKind.FILL


def _more(outlook: Outlook) -> WeighingKind:
    """More in a pitcher that has its fragrance: wax where there is too much fragrance already."""
    fragrance = outlook.fragrance_mg or 0
    over = fragrance > outlook.fragrance.target_mg + outlook.fragrance.tolerance_mg
    return WeighingKind.WAX if over else WeighingKind.FRAGRANCE


def jump_kind(outlook: Outlook, pan: Pan, change_mg: int) -> WeighingKind | None:
    """Return what an abrupt rise by `change_mg` adds; None where it is a thing put on the pan.

    Wax can arrive at once: drawn away from the scale, or on a scale that sends too seldom to
    show the pouring.
    """
    kinds = {
        Stage.WAX: _wax_at_once,
        Stage.FRAGRANCE: _fragrance_at_once,
        Stage.BLEND: _blend_at_once,
        Stage.POUR: _fill_at_once,
    }
    return kinds[outlook.stage](outlook, pan, change_mg)


def _wax_at_once(outlook: Outlook, pan: Pan, change_mg: int) -> WeighingKind | None:
    plausible = outlook.wax.near(change_mg, *WAX_AT_ONCE_PPM) and not pan.pours_seen
    if drawn_away(outlook, pan, change_mg):
        found = True
    elif pan.load is Load.PITCHER:
        found = plausible
    elif pan.zeroed is not None and pan.zeroed.load is Load.PITCHER:
        found = plausible and not same_mass(change_mg, pan.zeroed.value_mg)
    elif pan.load is Load.NOTHING:
        found = False
    else:
        found = not pan.containers_seen and outlook.wax.near(change_mg, 900_000, 1_100_000)
    return WeighingKind.WAX if found else None


def drawn_away(outlook: Outlook, pan: Pan, change_mg: int) -> bool:
    """Tell whether the empty pitcher went off the scale and comes back with the wax in it.

    Where it may as well have been tared, what comes nearer to the target is believed.
    """
    empty_mg = pan.empty_away_mg
    if outlook.stage is not Stage.WAX or empty_mg is None:
        return False
    drawn_mg = change_mg - empty_mg
    nearer = pan.load is Load.NOTHING or outlook.wax.miss(drawn_mg) < outlook.wax.miss(change_mg)
    return nearer and outlook.wax.near(drawn_mg, *WAX_AT_ONCE_PPM)


def _fragrance_at_once(outlook: Outlook, pan: Pan, change_mg: int) -> WeighingKind | None:
    """Fragrance weighed apart and tipped in, or on a scale that does not show pouring."""
    tared = pan.zeroed is not None and pan.zeroed.load is Load.PITCHER
    if tared and not pan.pours_seen and outlook.fragrance.near(change_mg, *AGAIN_PPM):
        return WeighingKind.FRAGRANCE
    unseen = pan.load is Load.UNKNOWN and not pan.pours_seen and not tared
    here = pan.load is Load.PITCHER or unseen
    if here and outlook.fragrance.near(change_mg, *FRAGRANCE_AT_ONCE_PPM):
        return WeighingKind.FRAGRANCE
    return _fill_at_once(outlook, pan, change_mg)


def _blend_at_once(outlook: Outlook, pan: Pan, change_mg: int) -> WeighingKind | None:
    if pan.load is Load.PITCHER and outlook.fragrance.near(change_mg, 700_000, 1_300_000):
        return _more(outlook)
    return _fill_at_once(outlook, pan, change_mg)


def _fill_at_once(outlook: Outlook, pan: Pan, change_mg: int) -> WeighingKind | None:
    pitcher_here = pan.load is Load.PITCHER and not pan.maybe_gone_unseen
    fill = outlook.fill.near(change_mg, *FILL_AT_ONCE_PPM)
    if pitcher_here or pan.fills_seen or pan.load is Load.BEAKER or not fill:
        return None
    if pan.load is Load.VESSEL or not pan.containers_seen:
        return WeighingKind.FILL
    tared = pan.zeroed is not None and pan.zeroed.load is Load.VESSEL
    known = pan.vessels_filled or tared or not pan.pours_seen
    if pan.load is Load.NOTHING or not known:
        return None
    # A vessel may stand there tared; or this is the next vessel, if vessels are that heavy.
    vessel_mg = pan.vessel_mg
    if vessel_mg is None or same_mass(change_mg, vessel_mg):
        return None
    alike = outlook.fill.near(vessel_mg, *FILL_AT_ONCE_PPM)
    return None if alike and (pan.pours_seen or not tared) else WeighingKind.FILL
