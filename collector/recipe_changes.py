"""What changed from one version of a recipe to the next, in words.

Numbers are written exactly, as in complaints, in grams and degrees Celsius: a change that rounding
would hide is one.
"""

from collections.abc import Callable, Iterator
from typing import TypeVar

from collector.recipe_words import celsius, grams, percent
from collector.recipes import LoadOf, Manner, OwnLimit, OwnPhase, Recipe, Window

_T = TypeVar("_T")

_BASES = {LoadOf.WAX: "of the wax", LoadOf.TOTAL: "of the total"}
_A_STEP = "a step of this recipe"
_UNITS_OF_TIME = ((86_400, "day"), (3_600, "h"), (60, "min"))
_LEAST_OF_UNIT = 2  # one day is written as "24 h" and one minute as "60 s", as recipes do


def changes(before: Recipe, after: Recipe) -> tuple[str, ...]:
    """Return a line for each thing that differs, none where both are the same recipe."""
    old, new = dict(_lines(before)), dict(_lines(after))
    found = [
        _said(label, old.get(label), new.get(label))
        for label in dict.fromkeys([*old, *new])
        if old.get(label) != new.get(label)
    ]
    if not found and before != after:
        found.append(_order(before, after))
    return tuple(found)


def _said(label: str, old: str | None, new: str | None) -> str:
    if new is None:
        return f"{label}: no longer set, was {old}"
    return f"{label}: {new}, was {'not set' if old is None else old}"


def _order(before: Recipe, after: Recipe) -> str:
    if before.order != after.order:
        return _said("order of the phases", ", ".join(before.order), ", ".join(after.order))
    old, new = (", ".join(limit.rule for limit in r.own_limits) for r in (before, after))
    return _said("order of the limits", old, new)


def _lines(recipe: Recipe) -> Iterator[tuple[str, str]]:
    """Give every thing that a recipe sets, with its value."""
    for label, text in (*_grams(recipe), *_temperatures(recipe), *_times(recipe)):
        if text is not None:
            yield label, text
    for phase in recipe.own_phases:
        yield f"phase {phase.name}", _own_phase(phase)
    for limit in recipe.own_limits:
        yield f"limit {limit.rule}", _own_limit(limit)
    for rule, manner in recipe.manners.items():
        yield f"alarm {rule}", _manner(manner) or "as usual"


def _grams(recipe: Recipe) -> Iterator[tuple[str, str | None]]:
    vessel, pitcher, wax, fragrance = recipe.vessel, recipe.pitcher, recipe.wax, recipe.fragrance
    yield "name", recipe.name
    yield "vessel fill", grams(vessel.fill_mg)
    yield "vessel volume", _or_none(vessel.volume_ul, lambda ul: f"{ul / 1000:.10g} mL")
    yield "vessel tolerance", grams(vessel.tolerance_mg)
    yield "pitcher capacity", _or_none(pitcher.capacity_mg, grams)
    yield "pitcher residue", grams(pitcher.residue_mg)
    yield "wax", wax.name
    yield "wax density", _or_none(wax.density_mg_per_ml, lambda d: f"{d / 1000:.10g} g/mL")
    yield "wax tolerance", percent(wax.tolerance_ppm)
    yield "most fragrance in the wax", _or_none(wax.most_ppm, lambda p: _share(p, wax.most_of))
    yield "fragrance", fragrance.name
    yield "fragrance load", _share(fragrance.load_ppm, fragrance.load_of)
    yield "fragrance tolerance", percent(fragrance.tolerance_ppm)
    yield "IFRA limit", _or_none(fragrance.ifra_limit_ppm, percent)


def _temperatures(recipe: Recipe) -> Iterator[tuple[str, str | None]]:
    yield "wax never above", _or_none(recipe.wax.never_above_mdegc, celsius)
    yield "fragrance flash point", _or_none(recipe.fragrance.flash_point_mdegc, celsius)
    yield "fragrance added between", _span(recipe.fragrance.add_between)
    yield "pour between", _span(recipe.pour_between)


def _times(recipe: Recipe) -> Iterator[tuple[str, str | None]]:
    yield "prepare", _A_STEP if recipe.prepare else None
    yield "stir at least", _or_none(recipe.stir_at_least_s, lasting)
    yield "pour", _A_STEP if recipe.pour else None
    yield "set at least", _or_none(recipe.set_at_least_s, lasting)
    yield "trim", _A_STEP if recipe.trim else None
    yield "cure at least", _or_none(recipe.cure_at_least_s, lasting)


def lasting(seconds: int) -> str:
    """Write a duration exactly, in the largest unit of which it is a whole number above one."""
    for length, unit in _UNITS_OF_TIME:
        count, rest = divmod(seconds, length)
        if not rest and count >= _LEAST_OF_UNIT:
            return f"{count} {unit}"
    return f"{seconds} s"


def _own_phase(phase: OwnPhase) -> str:
    parts = [f"after {phase.after}"]
    if phase.at_least_s is not None:
        parts.append(f"at least {lasting(phase.at_least_s)}")
    if phase.at_most_s is not None:
        parts.append(f"at most {lasting(phase.at_most_s)}")
    return ", ".join(parts)


def _own_limit(limit: OwnLimit) -> str:
    rates = limit.fall_per_min is not None or limit.rise_per_min is not None
    bounds = (
        ("below", _or_none(limit.low_mdegc, celsius)),
        ("above", _or_none(limit.high_mdegc, celsius)),
        ("falls at most", _or_none(limit.fall_per_min, _a_minute)),
        ("rises at most", _or_none(limit.rise_per_min, _a_minute)),
        ("during", " and ".join(limit.during) or None),
        ("advice", f'"{limit.advice}"' if limit.advice else None),
    )
    parts = [f"{word} {text}" for word, text in bounds if text is not None]
    manner = _manner(limit.manner, rates=rates)
    return ", ".join([f"of the {limit.role.value}", *parts, *([manner] if manner else [])])


def _manner(manner: Manner, *, rates: bool = False) -> str:
    write = _a_minute if rates else celsius
    parts = (
        _or_none(manner.priority, lambda priority: f"{priority.value} priority"),
        "latched" if manner.latched else None,
        _or_none(manner.deadband, lambda band: f"deadband {write(band)}"),
        _or_none(manner.on_delay_us, lambda us: f"on delay {us / 1_000_000:.10g} s"),
        _or_none(manner.off_delay_us, lambda us: f"off delay {us / 1_000_000:.10g} s"),
    )
    return ", ".join(part for part in parts if part is not None)


def _share(ppm: int, basis: LoadOf) -> str:
    return f"{percent(ppm)} {_BASES[basis]}"


def _span(window: Window | None) -> str | None:
    if window is None:
        return None
    return f"{celsius(window.low_mdegc).removesuffix(' °C')} to {celsius(window.high_mdegc)}"


def _a_minute(per_min: int) -> str:
    return f"{celsius(per_min)} a minute"


def _or_none(value: _T | None, write: Callable[[_T], str]) -> str | None:
    return None if value is None else write(value)
