"""Where each rule's line runs, and what it says when it is crossed."""

from dataclasses import dataclass

import msgspec
import pytest
from stranger_round import AMBER

from collector import rules
from collector.advice import Words
from collector.alarm_events import Bounds
from collector.conclusions import WeighingKind
from collector.display import Display
from collector.expectations import Expectation
from collector.phases import Phase
from collector.priorities import Priority

GRAMS = Display()


@pytest.mark.parametrize(
    ("mdegc", "violated"),
    [(79_750, False), (79_749, True), (82_000, False), (85_250, False), (85_251, True)],
)
def test_fragrance_has_its_window_and_a_probe_its_error(mdegc: int, violated: bool) -> None:
    assert (rules.fragrance_temperature(AMBER, mdegc, GRAMS) is not None) is violated


@pytest.mark.parametrize(("mdegc", "violated"), [(56_749, True), (60_000, False), (63_251, True)])
def test_the_pour_has_its_window(mdegc: int, violated: bool) -> None:
    assert (rules.pour_temperature(AMBER, mdegc, GRAMS) is not None) is violated


def test_a_recipe_without_windows_judges_no_temperature() -> None:
    fragrance = msgspec.structs.replace(AMBER.fragrance, add_between=None)
    recipe = msgspec.structs.replace(AMBER, fragrance=fragrance, pour_between=None)
    assert rules.fragrance_temperature(recipe, 20_000, GRAMS) is None
    assert rules.pour_temperature(recipe, 20_000, GRAMS) is None


@pytest.mark.parametrize(("lasted_s", "violated"), [(120, False), (119, False), (118.9, True)])
def test_a_stir_may_be_short_by_the_moment_of_a_key(lasted_s: float, violated: bool) -> None:
    found = rules.stir_duration(120, round(lasted_s * 1_000_000), at_most=False)
    assert (found is not None) is violated


def test_a_violation_carries_the_numbers_that_decided_it() -> None:
    found = rules.fragrance_temperature(AMBER, 74_000, GRAMS)
    assert found is not None
    assert (found.limit, found.measured, found.unit) == (Bounds(80_000, 85_000), 74_000, "degC")
    assert (found.priority, found.phase) == (Priority.HIGH, Phase.ADD_FRAGRANCE)


@dataclass(frozen=True)
class Case:
    kind: WeighingKind
    rule: str
    phase: Phase


@pytest.mark.parametrize(
    "case",
    [
        Case(WeighingKind.WAX, "wax-grams", Phase.DRAW_WAX),
        Case(WeighingKind.FRAGRANCE, "fragrance-grams", Phase.ADD_FRAGRANCE),
        Case(WeighingKind.FILL, "fill-grams", Phase.POUR),
    ],
    ids=lambda case: case.rule,
)
def test_each_weighing_has_its_rule_and_its_phase(case: Case) -> None:
    assert rules.GRAMS_RULES[case.kind] == (case.rule, case.phase)
    found = rules.grams(case.kind, Expectation(220_000, 2_000), 213_000, Words("m", "a"))
    assert (found.phase, found.limit) == (case.phase, Bounds(218_000, 222_000))
    assert (found.measured, found.unit) == (213_000, "g")


def test_vessels_left_out_are_counted() -> None:
    found = rules.skipped_vessels(10, 12)
    assert (found.measured, found.limit, found.unit) == (10, Bounds(12, None), "count")
    assert "10 of 12" in found.message


def test_the_contract_names_every_rule() -> None:
    # The contract with checks outside the project lists the first ten, and whatever a recipe adds.
    assert set(rules.PRIORITIES) == {
        "fragrance-temperature",
        "stir-duration",
        "pour-temperature",
        "wax-grams",
        "fragrance-grams",
        "fill-grams",
        "skipped-phase",
        "phase-order",
        "over-temperature",
        "instrument-silent",
        "phase-duration",
        "unattended-heat",
        "off-band",
    }


def test_a_wax_limit_has_one_degree_of_deadband() -> None:
    spec = rules.over_temperature_limit(93_000)
    assert (spec.high, spec.deadband) == (93_000, 1_000)
