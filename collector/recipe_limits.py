"""The [alarm.RULE] of a recipe file, how alarms behave, and its own limits under [[limit]]."""

from collector import own_rules, rules
from collector.documents import Section, near_miss
from collector.phases import PhaseName, phase_named
from collector.priorities import Priority
from collector.readings import Role
from collector.recipe_words import celsius, seconds
from collector.recipes import Manner, OwnLimit, Recipe
from collector.units import Dimension

MOST_DELAY_US = 3_600_000_000
"""An alarm that waits for more than an hour comes when nothing can be done any more."""

MOST_DEADBAND_MDEGC = 20_000
"""A limit that must be kept by more than this is another limit."""

_ROLES = (Role.PITCHER, Role.POT, Role.ROOM)


def read_manners(root: Section) -> dict[str, Manner]:
    """Return how the alarm of each rule behaves that the recipe names."""
    alarms = root.optional_section("alarm")
    manners: dict[str, Manner] = {}
    for rule in alarms.tree:
        if rule not in rules.PRIORITIES:
            known = ", ".join(rules.PRIORITIES)
            meant = near_miss(rule, rules.PRIORITIES)
            alarms.refuse(f"there is no rule of that name; the rules are {known}{meant}", rule)
        section = alarms.section(rule)
        followed = rule in rules.FOLLOWED
        manners[rule] = _followed(section) if followed else _judged_once(section, rule)
    return manners


def _judged_once(section: Section, rule: str) -> Manner:
    for name in ("deadband", "on_delay", "off_delay"):
        if section.has(name):
            section.refuse(
                f"{rule} is no limit on a value that is followed over time, so it has no {name};"
                f" {', '.join(rules.FOLLOWED)} and limits of your own have",
                name,
            )
    return Manner(priority=_priority(section), latched=section.flag("latched"))


def _followed(section: Section, dimension: Dimension = Dimension.TEMPERATURE_DIFFERENCE) -> Manner:
    return Manner(
        priority=_priority(section),
        latched=section.flag("latched"),
        deadband=_deadband(section, dimension),
        on_delay_us=_delay(section, "on_delay"),
        off_delay_us=_delay(section, "off_delay"),
    )


def _priority(section: Section) -> Priority | None:
    if not section.has("priority"):
        return None
    return Priority(section.choice("priority", tuple(Priority)))


def _deadband(section: Section, dimension: Dimension) -> int | None:
    if not section.has("deadband"):
        return None
    deadband = section.quantity("deadband", dimension)
    if not 0 <= deadband <= MOST_DEADBAND_MDEGC:
        section.refuse(
            f"expected from 0 °C to {celsius(MOST_DEADBAND_MDEGC)}, not {celsius(deadband)}",
            "deadband",
        )
    return deadband


def _delay(section: Section, name: str) -> int | None:
    if not section.has(name):
        return None
    delay_us = section.quantity(name, Dimension.DURATION)
    if delay_us > MOST_DELAY_US:
        section.refuse(
            f"an alarm that waits for {seconds(delay_us)} comes too late to do anything:"
            f" expected at most {seconds(MOST_DELAY_US)}",
            name,
        )
    return delay_us


def read_own_limits(root: Section, recipe: Recipe) -> tuple[OwnLimit, ...]:
    """Return the limits that a recipe adds; `recipe` has its phases already."""
    limits: dict[str, OwnLimit] = {}
    for section in root.sections("limit"):
        name = section.text("name")
        if name in rules.PRIORITIES or name in limits:
            section.refuse(f'there is a rule "{name}" already: choose another name', "name")
        limits[name] = _own_limit(section, name, recipe)
    return tuple(limits.values())


def _own_limit(section: Section, name: str, recipe: Recipe) -> OwnLimit:
    role = Role(section.choice("of", _ROLES))
    low = _temperature(section, "below")
    high = _temperature(section, "above")
    fall, rise = _rate(section, "falls_at_most"), _rate(section, "rises_at_most")
    values, rates = (low, high) != (None, None), (fall, rise) != (None, None)
    if not values and not rates:
        section.refuse(
            "there is nothing to judge: expected above or below, a temperature, or rises_at_most"
            ' or falls_at_most, such as "1 degC/min"'
        )
    if values and rates:
        section.refuse(
            "write a limit on the temperature and one on how fast it changes as two limits:"
            " each has a deadband of its own",
            "rises_at_most" if rise is not None else "falls_at_most",
        )
    dimension = Dimension.TEMPERATURE_RATE if rates else Dimension.TEMPERATURE_DIFFERENCE
    limit = OwnLimit(
        rule=name,
        role=role,
        low_mdegc=low,
        high_mdegc=high,
        fall_per_min=fall,
        rise_per_min=rise,
        during=_during(section, recipe),
        manner=_followed(section, dimension),
        advice=section.text("advice") if section.has("advice") else "",
    )
    _refuse_inverted(section, limit)
    return limit


def _temperature(section: Section, name: str) -> int | None:
    return section.quantity(name, Dimension.TEMPERATURE) if section.has(name) else None


def _rate(section: Section, name: str) -> int | None:
    return section.positive(name, Dimension.TEMPERATURE_RATE) if section.has(name) else None


def _refuse_inverted(section: Section, limit: OwnLimit) -> None:
    """Refuse bounds between which no temperature is allowed, or none that clears the alarm."""
    low, high = limit.low_mdegc, limit.high_mdegc
    if low is None or high is None:
        return
    if low >= high:
        section.refuse(
            f"the limit is inverted: it allows {celsius(low)} to {celsius(high)}, which is nothing",
            "above",
        )
    deadband = own_rules.own_limit(limit).deadband
    if high - low <= 2 * deadband:
        section.refuse(
            f"between {celsius(low)} and {celsius(high)} no temperature is inside both by more than"
            f" the deadband, {celsius(deadband)}: expected bounds more than {celsius(2 * deadband)}"
            " apart, or a smaller deadband",
            "above",
        )


def _during(section: Section, recipe: Recipe) -> tuple[PhaseName, ...]:
    if not section.has("during"):
        return ()
    known = [phase for phase in recipe.phases if phase not in recipe.aftercare]
    phases: list[PhaseName] = []
    for place, written in enumerate(section.texts("during")):
        phase = phase_named(written, recipe.order)
        if phase not in known:
            section.refuse(
                f'the recipe has no phase "{written}" at the bench; it has {", ".join(known)}'
                f"{near_miss(written, known)}",
                "during",
                place,
            )
        phases.append(phase)
    if not phases:
        section.refuse("expected at least one phase, or no during for the whole lot", "during")
    return tuple(dict.fromkeys(phases))
