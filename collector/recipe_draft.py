"""A recipe that is still being written: every complaint about it at once, and its batch sheet.

Reading a recipe ends at the first complaint. Here the field that it is about gets a stand-in, or
is left out, and the rest is read as well. Nothing that is said may rest on a stand-in: a draft is
read twice, with stand-ins that differ, and only what both readings say counts.
"""

from collections.abc import Mapping

import msgspec

from collector.batch_sheet import BatchSheet, batch_sheet
from collector.errors import DocumentError
from collector.recipe_file import read_recipe_document
from collector.recipes import Recipe
from collector.units import Dimension, parse

MOST_COMPLAINTS = 40
"""After that many the rest of a draft is not looked at: whoever wrote it begins with these."""

Path = tuple[str | int, ...]


class Complaint(msgspec.Struct, frozen=True):
    """What is wrong with one field; `missing` where there is nothing at its path yet."""

    path: Path
    message: str
    missing: bool


class Draft(msgspec.Struct, frozen=True):
    """What can be said of a recipe that is being written.

    `recipe` is there once nothing is wrong. `weighed` is the recipe by which `sheet` was
    computed, also where a load is above a limit or a temperature is missing; both are None where
    the grams are not known yet.
    """

    complaints: tuple[Complaint, ...]
    recipe: Recipe | None
    weighed: Recipe | None
    sheet: BatchSheet | None


def read_draft(document: Mapping[str, object], vessels: int) -> Draft:
    """Return all that is wrong with a draft, and its sheet for at least one vessel."""
    small, large = _Reading(document, 0), _Reading(document, 1)
    complaints = tuple(
        Complaint(path, message, missing=not _is_there(document, path))
        for path, message in small.said.items()
        if large.said.get(path) == message
    )
    recipe = small.recipe if not small.said else None
    weighed, sheet = _weighed(small, large, vessels)
    return Draft(complaints, recipe, weighed, sheet)


def _weighed(
    small: "_Reading", large: "_Reading", vessels: int
) -> tuple[Recipe | None, BatchSheet | None]:
    """Return the sheet that both readings agree on, and the recipe it is of."""
    recipe = small.recipe
    if recipe is None or large.recipe is None or any(path[0] == "pitcher" for path in small.said):
        return None, None
    sheet = batch_sheet(recipe, vessels)
    if sheet != batch_sheet(large.recipe, vessels):
        return None, None
    return small.with_limits(recipe), sheet


_GONE = object()
"""Takes the place of a value that is to be left out."""

_LOAD = ("fragrance", "load")
_LIMITS: tuple[Path, ...] = (("wax", "most_fragrance"), ("fragrance", "ifra_limit"))

_STAND_INS: Mapping[Path, tuple[object, object]] = {
    ("name",): ("one", "other"),
    ("vessel",): (
        {"fill": "1 g", "tolerance": "0.001 g"},
        {"fill": "1000 kg", "tolerance": "0.001 g"},
    ),
    ("vessel", "fill"): ("0.002 g", "1000 kg"),
    ("vessel", "tolerance"): ("0.001 g", "0.001 g"),
    ("wax",): ({"name": "one"}, {"name": "other"}),
    ("wax", "name"): ("one", "other"),
    ("wax", "density"): ("0.8 g/mL", "0.9 g/mL"),
    ("fragrance",): (
        {"name": "one", "load": "0.0001 %", "load_of": "wax"},
        {"name": "other", "load": "1 %", "load_of": "total"},
    ),
    ("fragrance", "name"): ("one", "other"),
    ("fragrance", "load"): ("0.0001 %", "0.0002 %"),
    ("fragrance", "load_of"): ("wax", "total"),
    **{(phase,): ({}, {}) for phase in ("prepare", "stir", "pour", "set", "trim", "cure")},
}
"""What takes the place of a value that cannot be used and cannot be left out, in each reading."""

_OF_ENTRIES: Mapping[tuple[str, str], tuple[str, str]] = {
    ("phase", "name"): ("one {}", "other {}"),
    ("phase", "after"): ("stir", "stir"),
    ("limit", "name"): ("one {}", "other {}"),
    ("limit", "of"): ("room", "room"),
}
"""The same in the entries of lists; {} is the entry's place."""

_ENTRIES: Mapping[str, Mapping[str, object]] = {
    "phase": {"after": "stir"},
    "limit": {"of": "room", "above": "1000 degC"},
}
"""What takes the place of a whole entry, beside its name."""


class _Reading:
    """One reading of a draft to its end; `which` of the stand-ins it takes, 0 or 1.

    `recipe` is what came of it, None where there was more wrong than is looked at.
    """

    def __init__(self, document: Mapping[str, object], which: int) -> None:
        self.said: dict[Path, str] = {}
        self._tree: dict[str, object] = dict(document)
        self._which = which
        self._lifted: dict[Path, str] = {}
        self.recipe = self._read()

    def _read(self) -> Recipe | None:
        for _ in range(MOST_COMPLAINTS):
            try:
                return read_recipe_document("recipe", self._tree)
            except DocumentError as error:
                again = error.field in self.said
                self.said.setdefault(error.field, error.problem)
                self._put_right(error.field, again=again)
        return None

    def with_limits(self, recipe: Recipe) -> Recipe:
        """Return a recipe with the limits of the load that were lifted to read on."""
        most, ifra = (
            parse(self._lifted[path], Dimension.FRACTION) if path in self._lifted else None
            for path in _LIMITS
        )
        replace = msgspec.structs.replace
        wax = recipe.wax if most is None else replace(recipe.wax, most_ppm=most)
        fragrance = recipe.fragrance
        if ifra is not None:
            fragrance = replace(fragrance, ifra_limit_ppm=ifra)
        return replace(recipe, wax=wax, fragrance=fragrance)

    def _put_right(self, path: Path, *, again: bool) -> None:
        """Let the rest be read: lift the limits of a load, else put a stand-in in its place."""
        if path == _LOAD and not again and self._lift_limits():
            return
        if path == _LOAD:
            for lifted, text in self._lifted.items():  # the load itself is wrong
                self._set(lifted, text)
            self._lifted.clear()
        if path == ("vessel", "volume"):
            self._set(path, _GONE)
            path = ("vessel", "fill")
        for place, value in self._repair(path):
            self._set(place, value)

    def _lift_limits(self) -> bool:
        """Take the limits of the load out, and tell whether there were any."""
        for path in _LIMITS:
            section, key = map(str, path)
            tree = self._tree.get(section)
            text = tree.get(key) if isinstance(tree, Mapping) else None
            if isinstance(text, str):
                self._lifted[section, key] = text
                self._set((section, key), _GONE)
        return bool(self._lifted)

    def _repair(self, path: Path) -> list[tuple[Path, object]]:
        first = path[0]
        if isinstance(first, str) and first in _ENTRIES and len(path) > 1:
            return [self._repair_entry(first, path)]
        whole = path[:3] if first == "alarm" else path[:2]
        stand_ins = _STAND_INS.get(whole)
        return [(whole, _GONE if stand_ins is None else stand_ins[self._which])]

    def _repair_entry(self, kind: str, path: Path) -> tuple[Path, object]:
        place, name = path[1], _OF_ENTRIES[kind, "name"][self._which].format(path[1])
        if len(path) == 2:
            return (kind, place), {"name": name, **_ENTRIES[kind]}
        stand_ins = _OF_ENTRIES.get((kind, str(path[2])))
        return path[:3], _GONE if stand_ins is None else stand_ins[self._which].format(place)

    def _set(self, path: Path, value: object) -> None:
        first, rest = str(path[0]), path[1:]
        if rest:
            self._tree[first] = _changed(self._tree.get(first), rest, value)
        elif value is _GONE:
            self._tree.pop(first, None)
        else:
            self._tree[first] = value


def _changed(node: object, path: Path, value: object) -> object:
    """Return a copy of a node with another value at a path, or without it."""
    key, rest = path[0], path[1:]
    if isinstance(node, list) and isinstance(key, int):
        entry = _changed(node[key], rest, value) if rest else value
        return [*node[:key], entry, *node[key + 1 :]]
    copy: dict[str | int, object] = dict(node) if isinstance(node, Mapping) else {}
    if rest:
        copy[key] = _changed(copy.get(key), rest, value)
    elif value is _GONE:
        copy.pop(key, None)
    else:
        copy[key] = value
    return copy


def _is_there(document: object, path: Path) -> bool:
    """Tell whether a document has something at a path."""
    node = document
    for key in path:
        known = isinstance(node, Mapping) and key in node
        if isinstance(node, list):
            known = isinstance(key, int) and key < len(node)
        if not known:
            return False
        node = _within(node, key)
    return True


def _within(node: object, key: str | int) -> object:
    if isinstance(node, list) and isinstance(key, int):
        return node[key]
    return node.get(key) if isinstance(node, Mapping) else None
