"""Melting ice and boiling water against published values."""

import pytest

from collector.errors import DocumentError
from collector.fixed_points import (
    HIGHEST_M,
    HIGHEST_PA,
    ICE_MDEGC,
    LOWEST_M,
    LOWEST_PA,
    boiling_mdegc,
    pressure_at_pa,
)


def test_ice_and_water_are_at_zero() -> None:
    """ITS-90 (BIPM, 1990): 273.15 K is 0 °C, the ice point to within 0.001 °C."""
    assert ICE_MDEGC == 0


@pytest.mark.parametrize(
    ("pressure_pa", "degc", "within"),
    [
        # IAPWS-IF97 (revised release 2007), table 36: Ts(0.1 MPa) = 372.755919 K.
        (100_000, 372.755919 - 273.15, 0.0006),
        # One standard atmosphere: 99.974 °C on ITS-90 (IAPWS; NIST Chemistry WebBook).
        (101_325, 99.974, 0.001),
        # Steam tables on ITS-90, printed to 0.01 °C: Çengel and Boles, Thermodynamics, table A-5,
        # and, for 80 kPa, the tables of IAPWS-IF97 by pressure (Wagner and Kretzschmar). Older
        # handbooks on IPTS-68 have up to 0.026 °C more.
        (50_000, 81.32, 0.006),
        (75_000, 91.76, 0.006),
        (80_000, 93.49, 0.006),
        (100_000, 99.61, 0.006),
    ],
)
def test_water_boils_where_the_steam_tables_say(
    pressure_pa: int, degc: float, within: float
) -> None:
    assert boiling_mdegc(pressure_pa) / 1000 == pytest.approx(degc, abs=within)


@pytest.mark.parametrize(
    ("altitude_m", "hpa"),
    # ISO 2533:1975 and ICAO Doc 7488 (1993), by geopotential altitude.
    [(0, 1013.25), (1_000, 898.75), (2_000, 794.95), (3_000, 701.08), (5_000, 540.20)],
)
def test_the_standard_atmosphere_thins_with_altitude(altitude_m: float, hpa: float) -> None:
    assert pressure_at_pa(altitude_m) / 100 == pytest.approx(hpa, abs=0.01)


def test_higher_up_water_boils_cooler() -> None:
    boiling = [boiling_mdegc(pressure_at_pa(meters)) for meters in range(LOWEST_M, HIGHEST_M, 100)]
    assert boiling == sorted(boiling, reverse=True)
    assert len(set(boiling)) == len(boiling)


@pytest.mark.parametrize("pressure_pa", [LOWEST_PA - 1, HIGHEST_PA + 1, 0, -5])
def test_a_pressure_that_nobody_works_under_is_refused(pressure_pa: int) -> None:
    with pytest.raises(DocumentError, match="expected 500 to 1100 hPa"):
        boiling_mdegc(pressure_pa)


@pytest.mark.parametrize("altitude_m", [LOWEST_M - 1, HIGHEST_M + 1, 8_849])
def test_an_altitude_that_nobody_works_at_is_refused(altitude_m: float) -> None:
    with pytest.raises(DocumentError, match="m above the sea"):
        pressure_at_pa(altitude_m)


def test_the_bounds_of_altitude_lie_within_those_of_pressure() -> None:
    for altitude_m in (LOWEST_M, HIGHEST_M):
        assert LOWEST_PA <= pressure_at_pa(altitude_m) <= HIGHEST_PA
