"""The band of good lots: where a recipe's pitcher was expected to be, counted from events.

A stretch begins with an event (its anchor) and goes on in equal steps of time; between two
anchors the clock does not matter.
"""

from enum import StrEnum

import msgspec


class Anchor(StrEnum):
    """The events on which the curves of lots are laid over each other."""

    DRAWN = "wax drawn"
    SCENTED = "fragrance added"
    STIRRED = "stirred"
    POURING = "pour began"


class Stretch(msgspec.Struct, frozen=True):
    """The band after one anchor: value n holds at n times `step_s`; 0.001 °C."""

    anchor: Anchor
    step_s: int
    low_mdegc: tuple[int, ...]
    high_mdegc: tuple[int, ...]


class Band(msgspec.Struct, frozen=True):
    """The band of one recipe, and the lots that it was made of."""

    lots: tuple[str, ...]
    stretches: tuple[Stretch, ...]
