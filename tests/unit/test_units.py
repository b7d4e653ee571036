"""Conversions against NIST SP 811 (2008), Appendix B, and NIST Handbook 44, Appendix C."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collector.readings import Quantity
from collector.units import (
    MAX_FIXED,
    Dimension,
    UnitError,
    from_fixed,
    parse,
    shown_in,
    to_fixed,
)

PUBLISHED_MASSES = [
    # NIST Handbook 44 (2014), Appendix C, except carat: NIST SP 811, Appendix B.8
    ("lb", "453592.37"),
    ("oz", "28349.523125"),
    ("grain", "64.79891"),
    ("troy oz", "31103.4768"),
    ("dwt", "1555.17384"),
    ("carat", "200"),
    # by definition of the prefixes and of the metric ton, NIST SP 811, section 5.1
    ("mg", "1"),
    ("g", "1000"),
    ("kg", "1000000"),
    ("t", "1000000000"),
]


@pytest.mark.parametrize(("unit", "mg"), PUBLISHED_MASSES)
def test_a_mass_unit_has_its_published_factor(unit: str, mg: str) -> None:
    thousand = Decimal(1000)
    assert to_fixed(thousand, unit, Quantity.MASS) == round(thousand * Decimal(mg))
    assert to_fixed(-thousand, unit, Quantity.MASS) == -round(thousand * Decimal(mg))


@pytest.mark.parametrize(
    ("text", "mdegc"),
    [
        # NIST SP 811, section B.8: t/°C = (t/°F - 32) / 1.8; T/K - 273.15
        ("185 °F", 85_000),
        ("160 °F", 71_111),
        ("-40 degF", -40_000),
        ("212 degF", 100_000),
        ("32 F", 0),
        ("273.15 K", 0),
        ("0 K", -273_150),
        ("80 degC", 80_000),
    ],
)
def test_a_temperature_converts_by_the_published_formula(text: str, mdegc: int) -> None:
    assert parse(text, Dimension.TEMPERATURE) == mdegc


@pytest.mark.parametrize(
    ("text", "mdegc"),
    [
        ("10 degF", 5_556),  # 10 / 1.8 = 5.5556
        ("29.7546 °C", 29_755),  # NIST SP 811, section 8.5: the same number in K
        ("29.7546 K", 29_755),
        ("-0.5 degC", -500),
    ],
)
def test_a_temperature_difference_has_no_offset(text: str, mdegc: int) -> None:
    assert parse(text, Dimension.TEMPERATURE_DIFFERENCE) == mdegc


@pytest.mark.parametrize(
    ("text", "microliters"),
    [
        ("1 fl oz", 29_574),  # NIST Handbook 44, Appendix C: 29.5735295625 mL
        ("1 uk fl oz", 28_413),  # 28.4130625 mL
        ("16 fl. oz.", 473_176),
        ("250 mL", 250_000),
        ("0.25 L", 250_000),
    ],
)
def test_a_volume_is_kept_in_thousandths_of_a_milliliter(text: str, microliters: int) -> None:
    assert parse(text, Dimension.VOLUME) == microliters


@pytest.mark.parametrize(
    ("text", "dimension", "fixed"),
    [
        ("220 g", Dimension.MASS, 220_000),
        ("8 oz", Dimension.MASS, 226_796),
        ("1.5 kg", Dimension.MASS, 1_500_000),
        ("2 min", Dimension.DURATION, 120_000_000),
        ("120 s", Dimension.DURATION, 120_000_000),
        ("24 h", Dimension.DURATION, 86_400_000_000),
        ("14 day", Dimension.DURATION, 1_209_600_000_000),
        ("250 ms", Dimension.DURATION, 250_000),
        ("8 %", Dimension.FRACTION, 80_000),
        ("2.5 percent", Dimension.FRACTION, 25_000),
        ("45 %RH", Dimension.HUMIDITY, 45_000),
        ("1013 hPa", Dimension.PRESSURE, 101_300),
        ("1 atm", Dimension.PRESSURE, 101_325),  # NIST SP 811, Appendix B.8
        ("1 inHg", Dimension.PRESSURE, 3_386),  # NIST SP 811, Appendix B.8: 3386.389 Pa
    ],
)
def test_a_written_quantity_becomes_its_integer(
    text: str, dimension: Dimension, fixed: int
) -> None:
    assert parse(text, dimension) == fixed


@pytest.mark.parametrize(
    "text",
    [
        *("20 C", "20C", "20 c", "20 °C", "20 ºC", "20 ℃", "20 ° C", "20 degC", "20 deg C"),
        *("20 degrees Celsius", "  20   celsius ", "20\u00a0°C", "+20.0 C", "68 F", "68 °F"),
        *("68 ℉", "68 degF", "68 Fahrenheit", "2e1 C", "20. C", "68.000 degree_Fahrenheit"),
    ],
)
def test_twenty_degrees_are_understood_as_people_write_them(text: str) -> None:
    assert parse(text, Dimension.TEMPERATURE) == 20_000


@pytest.mark.parametrize(
    "unit", ["g", "G", "gm", "grams", "kg", "KG", "Kg", "lb", "LBS", "oz", "OZ", "GN", "ozt", "CT"]
)
def test_scales_may_shout_their_units(unit: str) -> None:
    same = to_fixed(Decimal(3), unit.lower(), Quantity.MASS)
    assert to_fixed(Decimal(3), unit, Quantity.MASS) == same > 0


def test_milligram_and_megagram_differ_by_case() -> None:
    assert parse("5 mg", Dimension.MASS) == 5
    assert parse("5 Mg", Dimension.MASS) == 5_000_000_000


def test_a_minus_sign_of_typography_is_a_minus() -> None:
    assert parse("\N{MINUS SIGN}5 °C", Dimension.TEMPERATURE) == -5_000


@pytest.mark.parametrize(
    ("text", "dimension", "sentence"),
    [
        (
            "8 fl oz",
            Dimension.MASS,
            '"fl oz" measures a volume, not a mass: weigh what fills the vessel and write that,',
        ),
        (
            "8 oz",
            Dimension.VOLUME,
            '"oz" measures a mass, not a volume: the fluid ounce is written "fl oz"',
        ),
        (
            "80 degC",
            Dimension.MASS,
            '"degC" measures a temperature; expected a mass, such as "220 g"',
        ),
        (
            "220 g",
            Dimension.TEMPERATURE,
            '"g" measures a mass; expected a temperature, such as "80 degC"',
        ),
        (
            "2 blips",
            Dimension.DURATION,
            '"blips" is not a known unit; expected a duration, such as "2 min"',
        ),
        ("2 m", Dimension.DURATION, '"m" means meter: a minute is written "min"'),
        (
            "8 gr",
            Dimension.MASS,
            '"gr" means grain to some and gram to others: write "g" or "grain"',
        ),
        ("8 pi", Dimension.FRACTION, '"pi" is not a known unit; expected a fraction, such as'),
        ("220", Dimension.MASS, '"220" has no unit; expected a mass, such as "220 g"'),
        ("", Dimension.MASS, '"" is not a quantity; expected a mass, such as "220 g"'),
        ("g", Dimension.MASS, '"g" is not a quantity'),
        ("nan g", Dimension.MASS, '"nan g" is not a quantity'),
        ("inf g", Dimension.MASS, '"inf g" is not a quantity'),
        ("2,5 g", Dimension.MASS, '"2,5 g" has a comma: write the decimal point as "."'),
        ("-1 g", Dimension.MASS, '"-1 g" is negative; expected a mass, such as "220 g"'),
        ("-1 s", Dimension.DURATION, '"-1 s" is negative'),
        ("-300 degC", Dimension.TEMPERATURE, '"-300 degC" is below absolute zero'),
        ("1e999 g", Dimension.MASS, "1E+999 g is out of range"),
        ("1e-999 g", Dimension.MASS, "1E-999 g is out of range"),
        ("1e16 g", Dimension.MASS, "1E+16 g is out of range"),
        ("1 g*1e9", Dimension.MASS, '"g*1e9" is not a known unit'),
        ("1 nan", Dimension.MASS, '"nan" is not a known unit'),
        ("1 ª", Dimension.MASS, '"ª" is not a known unit'),
        ("1 g g", Dimension.MASS, '"g g" is not a known unit'),
        ("9" * 65 + " g", Dimension.MASS, f'"{"9" * 64}" is not a quantity'),
    ],
)
def test_a_refusal_says_what_was_read_and_what_was_expected(
    text: str, dimension: Dimension, sentence: str
) -> None:
    with pytest.raises(UnitError) as refused:
        parse(text, dimension)
    assert str(refused.value).startswith(sentence)


@pytest.mark.parametrize("value", ["NaN", "Infinity", "-Infinity", "1e999999999", "sNaN"])
def test_a_reading_that_is_no_number_is_refused(value: str) -> None:
    with pytest.raises(UnitError, match="out of range"):
        to_fixed(Decimal(value), "g", Quantity.MASS)


def test_a_reading_in_a_unit_of_something_else_is_refused() -> None:
    with pytest.raises(UnitError, match='"degC" measures a temperature'):
        to_fixed(Decimal(80), "degC", Quantity.MASS)


def test_a_reading_below_absolute_zero_is_refused() -> None:
    with pytest.raises(UnitError, match="below absolute zero"):
        to_fixed(Decimal(-300), "degC", Quantity.TEMPERATURE)


@pytest.mark.parametrize(
    ("grams", "mg"),
    [("0.0005", 0), ("0.0015", 2), ("0.0025", 2), ("-0.0015", -2), ("-0.0025", -2), ("0", 0)],
)
def test_a_half_is_rounded_to_the_even_step(grams: str, mg: int) -> None:
    # the rule of IEEE 754-2019, section 4.3.1, roundTiesToEven
    assert to_fixed(Decimal(grams), "g", Quantity.MASS) == mg


def test_zero_with_a_huge_exponent_is_zero() -> None:
    assert to_fixed(Decimal("0e999999999"), "g", Quantity.MASS) == 0


@settings(deadline=None)  # the first to come pays for pint's registry
@given(st.integers(-MAX_FIXED, MAX_FIXED))
def test_a_mass_of_whole_steps_is_kept_as_it_is(steps: int) -> None:
    assert to_fixed(Decimal(steps).scaleb(-3), "g", Quantity.MASS) == steps


@settings(deadline=None)  # the first to come pays for pint's registry
@given(st.decimals(-1000, 1000, places=4))
def test_fahrenheit_agrees_with_the_formula_within_half_a_step(value: Decimal) -> None:
    if value < Decimal("-459.67"):
        return
    exact = (value - 32) * 5 / 9 * 1000
    assert abs(to_fixed(value, "degF", Quantity.TEMPERATURE) - exact) <= Decimal("0.5000001")


@settings(deadline=None)  # the first to come pays for pint's registry
@given(st.text(max_size=20), st.sampled_from(Dimension))
def test_any_text_is_understood_or_refused(text: str, dimension: Dimension) -> None:
    try:
        assert abs(parse(f"1 {text}", dimension)) <= MAX_FIXED
    except UnitError as refused:
        assert str(refused)  # noqa: PT017 # both outcomes are right; a third must not happen


def test_fixed_values_come_back_as_numbers_of_the_quantity() -> None:
    assert from_fixed(85_062, Quantity.TEMPERATURE) == 85.062
    assert from_fixed(-100, Quantity.MASS) == -0.1
    assert from_fixed(45_500, Quantity.HUMIDITY) == 45.5
    assert from_fixed(101_325, Quantity.PRESSURE) == 101_325


def test_screens_may_show_fahrenheit_and_ounces() -> None:
    assert shown_in(85_000, Quantity.TEMPERATURE, "degF") == 185
    assert shown_in(85_000, Quantity.TEMPERATURE, "degC") == 85
    assert shown_in(453_592, Quantity.MASS, "oz") == pytest.approx(16, abs=1e-4)
    with pytest.raises(UnitError, match="measures a mass"):
        shown_in(85_000, Quantity.TEMPERATURE, "oz")
