"""Where the curves of lots are laid over each other: on what happened, not on the clock.

Only a lot's first pitcher counts: one curve for each lot, so that no lot weighs more than
another, and later pitchers are drawn from a pot that has stood for as long as it took.
"""

from collections.abc import Mapping
from typing import Protocol

import msgspec

from collector.band import Anchor
from collector.phases import Phase, PhaseName

PITCHER = 1
"""The pitcher that a band is made of and held against."""


class Span(Protocol):
    """A phase as far as it went; UTC microseconds."""

    @property
    def began_us(self) -> int:
        """When it began."""

    @property
    def ended_us(self) -> int | None:
        """When it ended, None while it goes on."""


class Reach(msgspec.Struct, frozen=True):
    """From an anchor until the next one; `until_us` is None where nothing has come after it."""

    anchor: Anchor
    from_us: int
    until_us: int | None


def reaches(runs: Mapping[PhaseName, Span]) -> tuple[Reach, ...]:
    """Return what lies between the anchors of a pitcher's phases, in order of time.

    The last reach ends with the pour. Two anchors at the same moment leave the later one.
    """
    moments = sorted((at_us, place) for place, at_us in enumerate(_moments(runs)) if at_us)
    poured = runs.get(Phase.POUR)
    ends = [*(at_us for at_us, _place in moments[1:]), poured.ended_us if poured else None]
    anchors = tuple(Anchor)
    return tuple(
        Reach(anchors[place], at_us, until_us)
        for (at_us, place), until_us in zip(moments, ends, strict=False)
        if until_us is None or until_us > at_us
    )


def _moments(runs: Mapping[PhaseName, Span]) -> tuple[int | None, ...]:
    """Return the moment of each anchor, in the order in which `Anchor` lists them."""
    ended = (runs.get(phase) for phase in (Phase.DRAW_WAX, Phase.ADD_FRAGRANCE, Phase.STIR))
    pour = runs.get(Phase.POUR)
    return (*(run.ended_us if run else None for run in ended), pour.began_us if pour else None)
