"""The phases of a recipe file: how long they last, and the recipe's own under [[phase]]."""

from collections.abc import Mapping, Sequence

from collector.documents import Section, near_miss
from collector.phases import ORDER, PhaseName, phase_named
from collector.recipe_words import seconds
from collector.recipes import OwnPhase
from collector.units import Dimension

_US_PER_S = 1_000_000

MOST_STIR_S = 3600
"""Wax that is stirred for an hour has set: more is a slip of the unit (common practice, no
source)."""


def listed(root: Section, name: str) -> bool:
    """Tell whether the recipe has the section of a phase."""
    there = root.has(name)
    if there:
        root.optional_section(name)
    return there


def at_least_s(root: Section, name: str, most_s: int | None = None) -> int | None:
    """Return the shortest that a phase may last, in whole seconds, rounded up.

    None where the recipe does not have the section; 0 where it sets no bound.
    """
    if not root.has(name):
        return None
    section = root.section(name)
    shortest_s = _whole(section.quantity("at_least", Dimension.DURATION, "0 s"))
    if most_s is not None and shortest_s > most_s:
        section.refuse(
            f"{seconds(shortest_s * _US_PER_S)} is longer than wax stays liquid:"
            f" expected at most {seconds(most_s * _US_PER_S)}",
            "at_least",
        )
    return shortest_s


def read_own_phases(root: Section) -> tuple[OwnPhase, ...]:
    """Return the recipe's own phases, each behind the one that it follows.

    Of several that follow the same phase the first in the file comes first in the lot; for that
    they are returned the other way round, since each is put right behind the one it follows.
    """
    sections = root.sections("phase")
    names = _names(sections)
    own = {name: _own_phase(section, name, names) for name, section in names.items()}
    followers: dict[PhaseName, list[OwnPhase]] = {}
    for phase in own.values():
        followers.setdefault(phase.after, []).insert(0, phase)
    placed: list[OwnPhase] = []
    waiting: list[PhaseName] = list(ORDER)
    while waiting:
        after = followers.get(waiting.pop(0), [])
        placed += after
        waiting += [phase.name for phase in after]
    _refuse_circle(names, own, placed)
    return tuple(placed)


def _names(sections: Sequence[Section]) -> dict[PhaseName, Section]:
    names: dict[PhaseName, Section] = {}
    for section in sections:
        name = section.text("name")
        known = phase_named(name, (*ORDER, *names))
        if known is not None:
            section.refuse(f'there is a phase "{known}" already: choose another name', "name")
        names[name] = section
    return names


def _own_phase(section: Section, name: PhaseName, names: Mapping[PhaseName, Section]) -> OwnPhase:
    written = section.text("after")
    known = (*ORDER, *names)
    after = phase_named(written, known)
    if after is None:
        section.refuse(
            f'there is no phase "{written}" to follow; there are {", ".join(known)}'
            f"{near_miss(written, known)}",
            "after",
        )
    shortest_s = _bound_s(section, "at_least")
    longest_s = _bound_s(section, "at_most")
    if shortest_s is not None and longest_s is not None and shortest_s >= longest_s:
        section.refuse(
            f"expected more than the {shortest_s} s that it must last, not {longest_s} s:"
            " nobody could end it in time",
            "at_most",
        )
    return OwnPhase(name, after, shortest_s, longest_s)


def _bound_s(section: Section, name: str) -> int | None:
    if not section.has(name):
        return None
    return _whole(section.positive(name, Dimension.DURATION))


def _whole(us: int) -> int:
    return -(-us // _US_PER_S)


def _refuse_circle(
    names: Mapping[PhaseName, Section],
    own: Mapping[PhaseName, OwnPhase],
    placed: Sequence[OwnPhase],
) -> None:
    """Refuse phases that follow each other in a circle, naming them in order."""
    begun = {phase.name for phase in placed}
    left = [name for name in own if name not in begun]
    if not left:
        return
    chain = [left[0]]
    while own[chain[-1]].after not in chain:
        chain.append(own[chain[-1]].after)
    circle = chain[chain.index(own[chain[-1]].after) :]
    said = ", ".join(f'"{name}" follows "{own[name].after}"' for name in circle)
    names[circle[0]].refuse(
        f"the phases go in a circle: {said}; expected one of them to follow a phase of the trade",
        "after",
    )
