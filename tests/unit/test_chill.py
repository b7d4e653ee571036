"""How far fragrance cools the wax, by the enthalpy balance worked by hand.

Heat capacities: paraffin 2.14 to 2.9 J/(g K) in encyclopedias; fragrance 1.7 to 2.3 and steel
0.50 from memory.
"""

import pytest

from collector.chill import chill


def test_the_balance_is_that_worked_by_hand() -> None:
    # Least: 60 * 80 * 1.7 / (1000 * 2.9 + 450 * 0.5 + 80 * 1.7) = 8160 / 3261 = 2.502 K
    # Most: 60 * 80 * 2.3 / (1000 * 2.14 + 450 * 0.5 + 80 * 2.3) = 11040 / 2549 = 4.331 K
    found = chill(1_000_000, 80_000, 450_000, 82_000, 22_000)
    assert (found.least_mdegc, found.most_mdegc) == (2_502, 4_331)


def test_no_heat_is_lost_in_the_mixing() -> None:
    # Enthalpy above the room before and after, most chilling case: both in mJ, by hand.
    fall = chill(412_963, 33_037, 300_000, 85_000, 20_000).most_mdegc
    before = (412.963 * 2.14 + 300 * 0.5) * 65
    after = (412.963 * 2.14 + 300 * 0.5 + 33.037 * 2.3) * (65 - fall / 1000)
    assert after == pytest.approx(before, rel=1e-4)


def test_a_heavier_pitcher_holds_the_temperature_better() -> None:
    light = chill(400_000, 32_000, 200_000, 85_000, 20_000)
    heavy = chill(400_000, 32_000, 900_000, 85_000, 20_000)
    assert heavy.least_mdegc < light.least_mdegc
    assert chill(400_000, 32_000, None, 85_000, 20_000).least_mdegc < light.least_mdegc


def test_fragrance_that_is_not_cooler_does_not_cool() -> None:
    assert chill(400_000, 32_000, None, 20_000, 25_000).most_mdegc == 0
