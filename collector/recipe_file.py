"""Recipes from TOML files and JSON documents, refused with a sentence where they make no sense."""

from collections.abc import Mapping
from pathlib import Path

from collector.documents import Section, read_toml
from collector.recipes import (
    PPM,
    FragranceSpec,
    LoadOf,
    PitcherSpec,
    Recipe,
    VesselSpec,
    WaxSpec,
    Window,
)
from collector.units import Dimension

MAX_LOAD_PPM = 300_000
"""30 %: no wax holds that much (common practice, no source); more is a slip of the pen."""

_US_PER_S = 1_000_000


def read_recipe_file(path: Path) -> tuple[Recipe, dict[str, object]]:
    """Return the recipe of a TOML file, and its document as it stands there.

    Raises DocumentError, one sentence with file, line and field, for the first thing that
    cannot be used.
    """
    root = read_toml(path)
    return _recipe(root), dict(root.tree)


def read_recipe_document(source: str, tree: Mapping[str, object]) -> Recipe:
    """Return the recipe of a JSON document with the keys of recipe.toml.

    `source` names the document in complaints. Raises DocumentError without a line.
    """
    return _recipe(Section(source, tree))


def _recipe(root: Section) -> Recipe:
    name = root.text("name")
    vessel = _vessel(root.section("vessel"))
    wax = _wax(root.section("wax"))
    recipe = Recipe(
        name=name,
        vessel=vessel,
        wax=wax,
        fragrance=_fragrance(root.section("fragrance"), wax),
        pitcher=_pitcher(root.optional_section("pitcher"), vessel),
        prepare=_listed(root, "prepare"),
        stir_at_least_s=_at_least_s(root, "stir"),
        pour_between=_pour_window(root.optional_section("pour"), wax),
        pour=_listed(root, "pour"),
        set_at_least_s=_at_least_s(root, "set"),
        trim=_listed(root, "trim"),
        cure_at_least_s=_at_least_s(root, "cure"),
    )
    root.done()
    return recipe


def _vessel(section: Section) -> VesselSpec:
    fill_mg = section.positive("fill", Dimension.MASS)
    tolerance_mg = section.positive("tolerance", Dimension.MASS)
    if tolerance_mg >= fill_mg:
        section.refuse(
            f"a tolerance of {_grams(tolerance_mg)} allows an empty vessel:"
            f" it must be less than the fill, {_grams(fill_mg)}",
            "tolerance",
        )
    return VesselSpec(fill_mg, tolerance_mg)


def _pitcher(section: Section, vessel: VesselSpec) -> PitcherSpec:
    residue_mg = section.quantity("residue", Dimension.MASS, "0 g")
    if not section.has("capacity"):
        return PitcherSpec(None, residue_mg)
    capacity_mg = section.positive("capacity", Dimension.MASS)
    needed_mg = vessel.fill_mg + residue_mg
    if capacity_mg < needed_mg:
        section.refuse(
            f"a pitcher of {_grams(capacity_mg)} does not hold one vessel and its residue,"
            f" {_grams(vessel.fill_mg)} + {_grams(residue_mg)} = {_grams(needed_mg)}",
            "capacity",
        )
    return PitcherSpec(capacity_mg, residue_mg)


def _wax(section: Section) -> WaxSpec:
    name = section.text("name")
    tolerance_ppm = _tolerance_ppm(section, "2 %")
    if not section.has("never_above"):
        return WaxSpec(name, tolerance_ppm)
    return WaxSpec(name, tolerance_ppm, section.quantity("never_above", Dimension.TEMPERATURE))


def _fragrance(section: Section, wax: WaxSpec) -> FragranceSpec:
    flash_mdegc = None
    if section.has("flash_point"):
        flash_mdegc = section.quantity("flash_point", Dimension.TEMPERATURE)
    return FragranceSpec(
        name=section.text("name"),
        load_ppm=_load_ppm(section),
        load_of=LoadOf(section.choice("load_of", tuple(LoadOf))),
        add_between=_add_window(section, wax, flash_mdegc),
        flash_point_mdegc=flash_mdegc,
        tolerance_ppm=_tolerance_ppm(section, "2.5 %"),
    )


def _load_ppm(section: Section) -> int:
    load_ppm = section.positive("load", Dimension.FRACTION)
    if load_ppm > MAX_LOAD_PPM:
        section.refuse(
            f"a load of {_percent(load_ppm)} is more than a wax holds:"
            f" expected at most {_percent(MAX_LOAD_PPM)}",
            "load",
        )
    return load_ppm


def _add_window(section: Section, wax: WaxSpec, flash_mdegc: int | None) -> Window | None:
    if not section.has("add_between"):
        return None
    window = section.window("add_between")
    _refuse_over_the_wax(section, "add_between", window, wax)
    if flash_mdegc is not None and window.high_mdegc >= flash_mdegc:
        section.refuse(
            f"the window reaches {_celsius(window.high_mdegc)}: it must end below the"
            f" fragrance's flash point, {_celsius(flash_mdegc)}",
            "add_between",
        )
    return window


def _pour_window(section: Section, wax: WaxSpec) -> Window | None:
    if not section.has("between"):
        return None
    window = section.window("between")
    _refuse_over_the_wax(section, "between", window, wax)
    return window


def _refuse_over_the_wax(section: Section, name: str, window: Window, wax: WaxSpec) -> None:
    if wax.never_above_mdegc is not None and window.high_mdegc > wax.never_above_mdegc:
        section.refuse(
            f"the window reaches {_celsius(window.high_mdegc)}, and the wax may never be above"
            f" {_celsius(wax.never_above_mdegc)}",
            name,
        )


def _tolerance_ppm(section: Section, usual: str) -> int:
    tolerance_ppm = section.positive("tolerance", Dimension.FRACTION, usual)
    if tolerance_ppm >= PPM:
        section.refuse(
            f"a tolerance of {_percent(tolerance_ppm)} allows nothing at all to be weighed:"
            " it must be less than 100 %",
            "tolerance",
        )
    return tolerance_ppm


def _listed(root: Section, name: str) -> bool:
    """Tell whether the recipe has the section of a phase."""
    listed = root.has(name)
    if listed:
        root.optional_section(name)
    return listed


def _at_least_s(root: Section, name: str) -> int | None:
    """Return the shortest that a phase may last, in whole seconds, rounded up.

    None where the recipe does not have the section; 0 where it sets no bound.
    """
    if not root.has(name):
        return None
    shortest_us = root.section(name).quantity("at_least", Dimension.DURATION, "0 s")
    return -(-shortest_us // _US_PER_S)


def _grams(mass_mg: int) -> str:
    return f"{mass_mg / 1000:.10g} g"


def _celsius(mdegc: int) -> str:
    return f"{mdegc / 1000:.10g} °C"


def _percent(ppm: int) -> str:
    return f"{ppm / 10_000:.10g} %"
