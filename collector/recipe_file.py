"""Recipes from TOML files and JSON documents, refused with a sentence where they make no sense."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

import msgspec

from collector.documents import Section, read_toml
from collector.errors import DocumentError
from collector.recipe_limits import read_manners, read_own_limits
from collector.recipe_phases import MOST_STIR_S, at_least_s, listed, read_own_phases
from collector.recipe_vessel import read_pitcher, read_vessel
from collector.recipe_wax import read_fragrance, read_pour_window, read_wax
from collector.recipes import Recipe


class RecipeFile(NamedTuple):
    """A recipe of a recipe folder, with its document as it stands there."""

    path: Path
    recipe: Recipe
    document: dict[str, object]


def read_recipe_file(path: Path) -> tuple[Recipe, dict[str, object]]:
    """Return the recipe of a TOML file, and its document as it stands there.

    Raises DocumentError, one sentence with file, line and field, for the first thing that
    cannot be used.
    """
    root = read_toml(path)
    return _recipe(root), dict(root.tree)


def recipe_files(folder: Path) -> Iterator[RecipeFile]:
    """Give the recipes of a folder's TOML files one by one, in the order of the files' names.

    Raises DocumentError for the first that cannot be used, or has the name of another one.
    """
    names: dict[str, str] = {}
    for path in sorted(folder.glob("*.toml")):
        file = RecipeFile(path, *read_recipe_file(path))
        other = names.setdefault(file.recipe.name, path.name)
        if other != path.name:
            raise DocumentError(str(path), ["name"], f"the recipe in {other} has this name already")
        yield file


def read_recipe_document(source: str, tree: Mapping[str, object]) -> Recipe:
    """Return the recipe of a JSON document with the keys of recipe.toml.

    `source` names the document in complaints. Raises DocumentError without a line.
    """
    return _recipe(Section(source, tree))


def _recipe(root: Section) -> Recipe:
    name = root.text("name")
    vessel_section = root.section("vessel")
    wax = read_wax(root.section("wax"))
    vessel = read_vessel(vessel_section, wax)
    fragrance = read_fragrance(root.section("fragrance"), wax)
    recipe = Recipe(
        name=name,
        vessel=vessel,
        wax=wax,
        fragrance=fragrance,
        pitcher=read_pitcher(root.optional_section("pitcher"), vessel),
        prepare=listed(root, "prepare"),
        stir_at_least_s=at_least_s(root, "stir", MOST_STIR_S),
        pour_between=read_pour_window(root.optional_section("pour"), wax, fragrance),
        pour=listed(root, "pour"),
        set_at_least_s=at_least_s(root, "set"),
        trim=listed(root, "trim"),
        cure_at_least_s=at_least_s(root, "cure"),
        own_phases=read_own_phases(root),
        manners=read_manners(root),
    )
    own_limits = read_own_limits(root, recipe)
    root.done()
    return msgspec.structs.replace(recipe, own_limits=own_limits)
