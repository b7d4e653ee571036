"""Numbers for a person, in the workshop's units."""

import pytest

from collector.display import Display, duration, percent

METRIC = Display()
CUSTOMARY = Display(temperature="degF", mass="oz")


@pytest.mark.parametrize(
    ("mdegc", "fahrenheit"),
    [(85_000, "185.0 °F"), (-40_000, "-40.0 °F"), (71_111, "160.0 °F"), (0, "32.0 °F")],
)
def test_degrees_fahrenheit_as_nist_sp_811_converts_them(mdegc: int, fahrenheit: str) -> None:
    assert CUSTOMARY.degrees(mdegc) == fahrenheit


def test_an_ounce_is_28_349523125_grams() -> None:
    # NIST Handbook 44, Appendix C
    assert CUSTOMARY.grams(28_350) == "1.00 oz"
    assert CUSTOMARY.grams(453_592) == "16.00 oz"


def test_metric_numbers_have_one_decimal() -> None:
    assert METRIC.degrees(82_449) == "82.4 °C"
    assert METRIC.grams(219_960) == "220.0 g"


def test_a_window_names_its_unit_once() -> None:
    assert METRIC.span(80_000, 85_000) == "80.0 to 85.0 °C"
    assert CUSTOMARY.span(80_000, 85_000) == "176.0 to 185.0 °F"


@pytest.mark.parametrize(
    ("seconds", "text"), [(0, "0 s"), (89, "89 s"), (90, "about 2 min"), (600, "about 10 min")]
)
def test_a_duration_is_in_seconds_up_to_a_minute_and_a_half(seconds: int, text: str) -> None:
    assert duration(seconds * 1_000_000) == text


@pytest.mark.parametrize(("ppm", "text"), [(80_000, "8 %"), (62_500, "6.25 %"), (5_000, "0.5 %")])
def test_a_share_has_no_needless_zeros(ppm: int, text: str) -> None:
    assert percent(ppm) == text
