"""What a weighing should come to, and the order of what is poured."""

import pytest

from collector.expectations import Expectation, Stage

FILL = Expectation(220_000, 2_000)


@pytest.mark.parametrize(
    ("mass_mg", "met"),
    [(217_999, False), (218_000, True), (220_000, True), (222_000, True), (222_001, False)],
)
def test_an_expectation_is_met_within_its_tolerance_ends_included(mass_mg: int, met: bool) -> None:
    assert FILL.met_by(mass_mg) is met


def test_a_mass_is_a_share_of_its_target() -> None:
    assert FILL.share(110_000) == pytest.approx(0.5)
    assert FILL.share(330_000) == pytest.approx(1.5)


def test_where_nothing_is_expected_a_mass_still_has_a_share() -> None:
    assert Expectation(0, 500).share(40) == pytest.approx(40)


def test_the_stages_follow_each_other() -> None:
    assert Stage.WAX < Stage.FRAGRANCE < Stage.BLEND < Stage.POUR
