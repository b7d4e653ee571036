"""Temperatures that need no thermometer to be known: melting ice and boiling water."""

from math import pow as power
from math import sqrt

from collector.errors import DocumentError

ICE_MDEGC = 0
"""Ice and water in balance, open to the air. ITS-90 is laid so that this is 0.00 °C to within
0.001 °C; the triple point, without air, is 0.01 °C."""

SEA_LEVEL_PA = 101_325
"""The standard atmosphere at sea level (ISO 2533:1975, table 1)."""

LOWEST_PA, HIGHEST_PA = 50_000, 110_000
"""Pressures at which people live and work; our own bounds."""

LOWEST_M, HIGHEST_M = -430, 5_500
"""Altitudes of the same."""

_SEA_LEVEL_K = 288.15
_LAPSE_K_PER_M = 0.0065
_EXPONENT = 9.80665 / (287.05287 * _LAPSE_K_PER_M)  # g / (R * lapse), ISO 2533:1975, table 1

# IAPWS-IF97, region 4, table 34; the equation's pressures are in MPa, its temperatures in K.
_N1, _N2, _N3, _N4, _N5, _N6, _N7, _N8, _N9, _N10 = (
    *(0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5),
    *(-0.32325550322333e7, 0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6),
    *(-0.23855557567849, 0.65017534844798e3),
)


def pressure_at_pa(altitude_m: float) -> int:
    """Return the pressure of the standard atmosphere at an altitude (geopotential, to 11 km).

    Weather moves the true one by up to 3 % either way, and boiling water by 0.8 °C: a barometer
    on the spot is better. Source: ISO 2533:1975, as the ICAO atmosphere. Raises DocumentError
    beyond `LOWEST_M` and `HIGHEST_M`.
    """
    if not LOWEST_M <= altitude_m <= HIGHEST_M:
        problem = f"expected {LOWEST_M} to {HIGHEST_M} m above the sea, not {altitude_m:g} m"
        raise DocumentError("boiling water", ["altitude"], problem)
    share = 1 - _LAPSE_K_PER_M * altitude_m / _SEA_LEVEL_K
    return round(SEA_LEVEL_PA * power(share, _EXPONENT))


def boiling_mdegc(pressure_pa: int) -> int:
    """Return the temperature at which pure water boils under a pressure, 0.001 °C.

    Source: IAPWS-IF97, the backward equation of region 4 (equation 31). Raises DocumentError
    beyond `LOWEST_PA` and `HIGHEST_PA`.
    """
    if not LOWEST_PA <= pressure_pa <= HIGHEST_PA:
        problem = (
            f"expected {LOWEST_PA // 100} to {HIGHEST_PA // 100} hPa, measured where the water"
            f" boils, not {pressure_pa / 100:g} hPa"
        )
        raise DocumentError("boiling water", ["pressure"], problem)
    beta = power(pressure_pa / 1e6, 0.25)
    e = beta**2 + _N3 * beta + _N6
    f = _N1 * beta**2 + _N4 * beta + _N7
    g = _N2 * beta**2 + _N5 * beta + _N8
    d = 2 * g / (-f - sqrt(f**2 - 4 * e * g))
    kelvin = (_N10 + d - sqrt((_N10 + d) ** 2 - 4 * (_N9 + _N10 * d))) / 2
    return round(1000 * (kelvin - 273.15))
