"""Phases, limits and manners that a recipe file adds."""

from pathlib import Path

import pytest
from recipe_texts import HEATHER, complaint, read

from collector.phases import Phase
from collector.priorities import Priority
from collector.readings import Role
from collector.recipes import Manner, OwnLimit, OwnPhase

REST = '[[phase]]\nname = "rest"\nafter = "stir"\nat_least = "5 min"\nat_most = "10 min"\n'
SKIM = '[[phase]]\nname = "skim"\nafter = "rest"\n'
LOOK = '[[phase]]\nname = "look again"\nafter = "stir"\n'

DRAFT = """\
[[limit]]
name = "cold room"
of = "room"
below = "18 degC"
during = ["pour"]
advice = "Close the window."
"""
PLUNGE = '[[limit]]\nname = "plunge"\nof = "pitcher"\nfalls_at_most = "2 degC/min"\n'


def test_own_phases_come_in_the_order_of_the_file_behind_the_one_they_follow(
    tmp_path: Path,
) -> None:
    recipe = read(tmp_path, HEATHER + SKIM + REST + LOOK)
    assert recipe.phases[2:7] == (Phase.STIR, "rest", "skim", "look again", Phase.POUR)
    assert OwnPhase("rest", Phase.STIR, 300, 600) in recipe.own_phases


def test_after_may_be_the_name_of_a_section(tmp_path: Path) -> None:
    recipe = read(tmp_path, HEATHER + LOOK.replace('"stir"', '"fragrance"'))
    assert recipe.order[3] == "look again"


def test_a_phase_may_follow_one_of_the_calendar(tmp_path: Path) -> None:
    recipe = read(tmp_path, HEATHER + LOOK.replace('"stir"', '"cure"'))
    assert recipe.aftercare[-1] == "look again"


PHASES = [
    (
        REST.replace('"stir"', '"look"') + SKIM,
        '18: phase "rest": after: there is no phase "look" to follow; there are prepare, draw wax',
    ),
    (
        REST.replace('"rest"', '"Stir"'),
        '17: phase "Stir": name: there is a phase "stir" already: choose another name',
    ),
    (REST + REST, '22: phase "rest": name: there is a phase "rest" already'),
    (
        REST.replace('"stir"', '"skim"') + SKIM,
        (
            '18: phase "rest": after: the phases go in a circle: "rest" follows "skim", "skim"'
            ' follows "rest"; expected one of them to follow a phase of the trade'
        ),
    ),
    (
        LOOK.replace('"stir"', '"look again"'),
        '18: phase "look again": after: the phases go in a circle: "look again" follows "look',
    ),
    (
        REST.replace("10 min", "4 min"),
        '20: phase "rest": at_most: expected more than the 300 s that it must last, not 240 s',
    ),
    (REST.replace("5 min", "0 s"), '19: phase "rest": at_least: must be more than zero'),
    (LOOK + 'color = "red"\n', '19: phase "look again": color: unknown key; the keys allowed'),
]


@pytest.mark.parametrize(("text", "sentence"), PHASES)
def test_a_phase_that_cannot_be_followed_is_refused(
    tmp_path: Path, text: str, sentence: str
) -> None:
    assert complaint(tmp_path, HEATHER + text).startswith(sentence)


def test_an_own_limit_says_of_what_when_and_what_to_do(tmp_path: Path) -> None:
    assert read(tmp_path, HEATHER + DRAFT).own_limits == (
        OwnLimit(
            rule="cold room",
            role=Role.ROOM,
            low_mdegc=18_000,
            during=(Phase.POUR,),
            advice="Close the window.",
        ),
    )


def test_an_own_limit_may_be_on_a_rate_and_in_a_manner_of_its_own(tmp_path: Path) -> None:
    text = PLUNGE + (
        'deadband = "0.2 degC/min"\non_delay = "20 s"\noff_delay = "1 min"\npriority = "low"\n'
        "latched = true\n"
    )
    (limit,) = read(tmp_path, HEATHER + text).own_limits
    assert limit.fall_per_min == 2_000
    assert limit.manner == Manner(
        priority=Priority.LOW,
        latched=True,
        deadband=200,
        on_delay_us=20_000_000,
        off_delay_us=60_000_000,
    )


def test_fahrenheit_an_hour_is_a_rate_too(tmp_path: Path) -> None:
    (limit,) = read(tmp_path, HEATHER + PLUNGE.replace("2 degC/min", "108 degF/h")).own_limits
    assert limit.fall_per_min == 1_000  # 108 °F = 60 K an hour (NIST SP 811, 8.5: differences)


LIMITS = [
    (
        DRAFT.replace('below = "18 degC"\n', ""),
        '16: limit "cold room": there is nothing to judge: expected above or below',
    ),
    (
        DRAFT.replace('below = "18 degC"', 'below = "18 degC"\nabove = "17 degC"'),
        '20: limit "cold room": above: the limit is inverted: it allows 18 °C to 17 °C',
    ),
    (
        DRAFT.replace('below = "18 degC"', 'below = "18 degC"\nabove = "20 degC"'),
        (
            '20: limit "cold room": above: between 18 °C and 20 °C no temperature is inside both by'
            " more than the deadband, 1 °C: expected bounds more than 2 °C apart"
        ),
    ),
    (
        DRAFT.replace('"cold room"', '"over-temperature"'),
        '17: limit "over-temperature": name: there is a rule "over-temperature" already',
    ),
    (DRAFT + DRAFT, '23: limit "cold room": name: there is a rule "cold room" already'),
    (
        DRAFT.replace('"pour"', '"prepare"'),
        (
            '20: limit "cold room": during.0: the recipe has no phase "prepare" at the bench; it'
            " has draw wax, add fragrance, stir, pour"
        ),
    ),
    (DRAFT.replace('"pour"', '"cure"'), '20: limit "cold room": during.0: the recipe has no'),
    (DRAFT.replace('["pour"]', "[]"), '20: limit "cold room": during: expected at least one'),
    (DRAFT.replace('"room"\n', '"scale"\n'), '18: limit "cold room": of: expected one of'),
    (
        PLUNGE + 'above = "90 degC"\n',
        '19: limit "plunge": falls_at_most: write a limit on the temperature and one on how fast',
    ),
    (PLUNGE.replace("2 degC/min", "0 degC/min"), '19: limit "plunge": falls_at_most: must be more'),
    (
        PLUNGE.replace("2 degC/min", "2 degC"),
        '19: limit "plunge": falls_at_most: "degC" measures a temperature; expected a rate of',
    ),
    (
        DRAFT + 'on_delay = "2 h"\n',
        '22: limit "cold room": on_delay: an alarm that waits for 7200 s comes too late',
    ),
    (DRAFT + 'deadband = "-1 degC"\n', '22: limit "cold room": deadband: expected from 0 °C to'),
    (DRAFT + 'latched = "yes"\n', '22: limit "cold room": latched: expected true or false'),
]


@pytest.mark.parametrize(("text", "sentence"), LIMITS)
def test_a_limit_that_judges_nothing_is_refused(tmp_path: Path, text: str, sentence: str) -> None:
    assert complaint(tmp_path, HEATHER + text).startswith(sentence)


def test_a_rule_s_alarm_takes_the_manner_the_recipe_gives_it(tmp_path: Path) -> None:
    text = (
        '[alarm.over-temperature]\nlatched = true\npriority = "low"\ndeadband = "3.6 degF"\n'
        'on_delay = "0 s"\noff_delay = "1 min"\n[alarm.wax-grams]\npriority = "high"\n'
    )
    manners = read(tmp_path, HEATHER + text).manners
    assert manners["over-temperature"] == Manner(
        priority=Priority.LOW,
        latched=True,
        deadband=2_000,
        on_delay_us=0,
        off_delay_us=60_000_000,
    )
    assert manners["wax-grams"] == Manner(priority=Priority.HIGH)


MANNERS = [
    (
        '[alarm.wax-gram]\npriority = "low"\n',
        "16: alarm.wax-gram: there is no rule of that name; the rules are over-temperature,",
    ),
    (
        '[alarm.wax-grams]\non_delay = "5 s"\n',
        (
            "17: alarm.wax-grams.on_delay: wax-grams is no limit on a value that is followed over"
            " time, so it has no on_delay; over-temperature and limits of your own have"
        ),
    ),
    ('[alarm.wax-grams]\npriority = "urgent"\n', "17: alarm.wax-grams.priority: expected one of"),
]


@pytest.mark.parametrize(("text", "sentence"), MANNERS)
def test_a_manner_that_no_alarm_can_have_is_refused(
    tmp_path: Path, text: str, sentence: str
) -> None:
    assert complaint(tmp_path, HEATHER + text).startswith(sentence)
