"""The [wax] and [fragrance] of a recipe file, their loads and their temperature windows."""

from collector.display import percent as rounded_percent
from collector.documents import Section
from collector.loads import LoadLimit, load_limits
from collector.recipe_words import celsius, percent
from collector.recipes import PPM, FragranceSpec, LoadOf, WaxSpec, Window
from collector.units import Dimension

MAX_LOAD_PPM = 300_000
"""30 %: no wax holds that much (common practice, no source); more is a slip of the pen."""

DENSITIES = (700, 1100)
"""Of any wax, in 0.001 g/mL, generously: about 0.86 to 0.9, beeswax 0.96 (common practice, no
source). What is outside is a slip of the unit."""

LEAST_WINDOW_MDEGC = 1000
"""Twice the ±0.5 °C that is the usual published accuracy of a digital 1-Wire thermometer: in a
narrower window nobody can tell whether the wax is in it."""

_BASES = {LoadOf.WAX: "the wax", LoadOf.TOTAL: "the total"}


def read_wax(section: Section) -> WaxSpec:
    """Return the wax."""
    return WaxSpec(
        name=section.text("name"),
        tolerance_ppm=_tolerance_ppm(section, "2 %"),
        never_above_mdegc=_optional(section, "never_above", Dimension.TEMPERATURE),
        density_mg_per_ml=_density(section),
        most_ppm=_optional(section, "most_fragrance", Dimension.FRACTION),
        most_of=LoadOf(section.choice("most_fragrance_of", tuple(LoadOf), LoadOf.WAX)),
    )


def read_fragrance(section: Section, wax: WaxSpec) -> FragranceSpec:
    """Return the fragrance; its load keeps the limits of the wax maker and of its certificate."""
    flash_mdegc = _optional(section, "flash_point", Dimension.TEMPERATURE)
    fragrance = FragranceSpec(
        name=section.text("name"),
        load_ppm=_load_ppm(section),
        load_of=LoadOf(section.choice("load_of", tuple(LoadOf))),
        add_between=_add_window(section, wax, flash_mdegc),
        flash_point_mdegc=flash_mdegc,
        tolerance_ppm=_tolerance_ppm(section, "2.5 %"),
        ifra_limit_ppm=_optional(section, "ifra_limit", Dimension.FRACTION),
    )
    for limit in load_limits(wax, fragrance):
        if not limit.kept:
            section.refuse(_over(limit, fragrance), "load")
    return fragrance


def read_pour_window(section: Section, wax: WaxSpec, fragrance: FragranceSpec) -> Window | None:
    """Return the window of the pour; the wax cools into it after the fragrance is added."""
    window = _window(section, "between", wax)
    add = fragrance.add_between
    if window is not None and add is not None and add.high_mdegc < window.low_mdegc:
        section.refuse(
            f"wax that is given its fragrance at {celsius(add.low_mdegc)} to"
            f" {celsius(add.high_mdegc)} cannot cool into {celsius(window.low_mdegc)} to"
            f" {celsius(window.high_mdegc)}: expected a window that begins at"
            f" {celsius(add.high_mdegc)} or below",
            "between",
        )
    return window


def _over(limit: LoadLimit, fragrance: FragranceSpec) -> str:
    load = f"a load of {percent(fragrance.load_ppm)} of {_BASES[fragrance.load_of]}"
    most = f"{limit.by} allows {percent(limit.most_ppm)}"
    if limit.basis is fragrance.load_of:
        return f"{load} is too much: {most}"
    return f"{load} is {rounded_percent(limit.load_ppm)} of {_BASES[limit.basis]}, and {most}"


def _density(section: Section) -> int | None:
    density = _optional(section, "density", Dimension.DENSITY)
    low, high = DENSITIES
    if density is not None and not low <= density <= high:
        section.refuse(
            f"{density / 1000:.10g} g/mL is the density of no wax:"
            f' expected {low / 1000} to {high / 1000} g/mL, such as "0.87 g/mL"',
            "density",
        )
    return density


def _optional(section: Section, name: str, dimension: Dimension) -> int | None:
    return section.quantity(name, dimension) if section.has(name) else None


def _load_ppm(section: Section) -> int:
    load_ppm = section.positive("load", Dimension.FRACTION)
    if load_ppm > MAX_LOAD_PPM:
        section.refuse(
            f"a load of {percent(load_ppm)} is more than a wax holds:"
            f" expected at most {percent(MAX_LOAD_PPM)}",
            "load",
        )
    return load_ppm


def _add_window(section: Section, wax: WaxSpec, flash_mdegc: int | None) -> Window | None:
    window = _window(section, "add_between", wax)
    if window is not None and flash_mdegc is not None and window.high_mdegc >= flash_mdegc:
        section.refuse(
            f"the window reaches {celsius(window.high_mdegc)}: it must end below the"
            f" fragrance's flash point, {celsius(flash_mdegc)}",
            "add_between",
        )
    return window


def _window(section: Section, name: str, wax: WaxSpec) -> Window | None:
    if not section.has(name):
        return None
    window = section.window(name)
    if wax.never_above_mdegc is not None and window.high_mdegc > wax.never_above_mdegc:
        section.refuse(
            f"the window reaches {celsius(window.high_mdegc)}, and the wax may never be above"
            f" {celsius(wax.never_above_mdegc)}",
            name,
        )
    width_mdegc = window.high_mdegc - window.low_mdegc
    if width_mdegc < LEAST_WINDOW_MDEGC:
        section.refuse(
            f"a window of {celsius(width_mdegc)} is narrower than what a thermometer can tell,"
            f" ±0.5 °C: expected at least {celsius(LEAST_WINDOW_MDEGC)}",
            name,
        )
    return window


def _tolerance_ppm(section: Section, usual: str) -> int:
    tolerance_ppm = section.positive("tolerance", Dimension.FRACTION, usual)
    if tolerance_ppm >= PPM:
        section.refuse(
            f"a tolerance of {percent(tolerance_ppm)} allows nothing at all to be weighed:"
            " it must be less than 100 %",
            "tolerance",
        )
    return tolerance_ppm
