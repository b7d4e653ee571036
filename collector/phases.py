"""The phases of a lot, in the order of the trade, and the names people use for them."""

from enum import StrEnum


class Phase(StrEnum):
    """One step of the procedure."""

    PREPARE = "prepare"
    DRAW_WAX = "draw wax"
    ADD_FRAGRANCE = "add fragrance"
    STIR = "stir"
    POUR = "pour"
    SET = "set"
    TRIM = "trim"
    CURE = "cure"


PhaseName = str
"""A phase of the trade (a `Phase`) or one that a recipe adds under a name of its own."""

ORDER: tuple[PhaseName, ...] = tuple(Phase)
"""Phases in the order in which a lot goes through them."""

AT_THE_BENCH = ORDER[: ORDER.index(Phase.POUR) + 1]
"""Phases that end before the lot is closed."""

AFTERCARE = ORDER[len(AT_THE_BENCH) :]
"""Phases that a lot goes through after it is closed: hours and days, by calendar and marks."""

_SECTION_NAMES = {"wax": Phase.DRAW_WAX, "fragrance": Phase.ADD_FRAGRANCE}


class Edge(StrEnum):
    """Which end of a phase a mark means."""

    BEGIN = "begin"
    END = "end"


def phase_named(text: str, among: tuple[PhaseName, ...] = ORDER) -> PhaseName | None:
    """Return which of a lot's phases a person means, or None.

    Case, hyphens and underscores do not matter, and the recipe's section names serve too:
    `wax` is drawing it, `fragrance` adding it.
    """
    name = _plain(text)
    if name in _SECTION_NAMES:
        return _SECTION_NAMES[name]
    return next((phase for phase in among if _plain(phase) == name), None)


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").split())
