"""What is said: the amount, the direction, and what to do about it now."""

import math

from stranger_round import AMBER, TIN

from collector import advice, mix_advice
from collector.advice import WaxNow
from collector.chill import Chill
from collector.corrections import Mixed
from collector.display import Display
from collector.expectations import Expectation
from collector.forecast import Span, Why
from collector.phases import Phase
from collector.readings import Reading
from collector.recipes import Window
from collector.thermometer import Thermometer

GRAMS = Display()
OUNCES = Display(temperature="degF", mass="oz")
WINDOW = Window(80_000, 85_000)
UNKNOWN = WaxNow(None, None)


def test_cool_wax_is_warmed_and_hot_wax_waits() -> None:
    cool = advice.fragrance_temperature(WINDOW, 74_000, GRAMS)
    hot = advice.fragrance_temperature(WINDOW, 90_000, GRAMS)
    assert "too cool" in cool.message
    assert "74.0 °C" in cool.message
    assert "Warm" in cool.advice
    assert "too hot" in hot.message
    assert "Stop adding" in hot.advice


def test_words_come_in_the_workshop_s_own_units() -> None:
    words = advice.fragrance_temperature(WINDOW, 85_000, OUNCES)
    assert "185.0 °F" in words.message  # 85 °C, NIST SP 811


def test_too_little_fragrance_asks_for_what_is_missing() -> None:
    # 8 % of 1250 g is 100 g; 88 g is 12 g short
    words = mix_advice.fragrance_grams(AMBER, Mixed(1_250_000, 88_000, 6), UNKNOWN, GRAMS)
    assert "12.0 g short" in words.message
    assert "Add 12.0 g" in words.advice


def test_too_much_fragrance_asks_for_wax() -> None:
    # 104 g at 8 % is right for 1300 g: 50 g more
    words = mix_advice.fragrance_grams(AMBER, Mixed(1_250_000, 104_000, 6), UNKNOWN, GRAMS)
    assert "Too much fragrance" in words.message
    assert "Add 50.0 g of wax" in words.advice


def test_a_load_of_the_total_is_called_so() -> None:
    assert (
        "of the total"
        in mix_advice.fragrance_grams(TIN, Mixed(450_000, 20_000, 4), UNKNOWN, GRAMS).message
    )


def test_missing_fragrance_comes_with_the_time_that_is_left_for_it() -> None:
    # ln((84 - 22) / (80 - 22)) / 0.0005 per s = 133 s
    probe = Thermometer()
    for s in range(-600, 1):
        probe.feed(Reading("p", s * 1_000_000, round(22_000 + 62_000 * math.exp(-0.0005 * s))))
    now = WaxNow(84_000, probe.outlook(0, 22_000), 0)
    words = mix_advice.fragrance_grams(AMBER, Mixed(1_250_000, 88_000, 6), now, GRAMS)
    assert "still at 84.0 °C" in words.advice
    assert "about 2 min above the window's floor" in words.advice


def test_missing_fragrance_goes_into_warmed_wax_where_it_is_too_cool() -> None:
    now = WaxNow(76_000, None)
    words = mix_advice.fragrance_grams(AMBER, Mixed(1_250_000, 88_000, 6), now, GRAMS)
    assert "warm it to 80.0 °C" in words.advice


def test_a_fill_says_which_vessel_and_by_how_much() -> None:
    fill = Expectation(220_000, 2_000)
    light = advice.fill_grams(4, 6, fill, 213_900, GRAMS)
    heavy = advice.fill_grams(4, 6, fill, 226_000, GRAMS)
    assert light.message == "Vessel 4 of 6 is 6.1 g light: 213.9 g of 220.0 g."
    assert "Top it up by 6.1 g" in light.advice
    assert "6.0 g heavy" in heavy.message
    assert "Take 6.0 g out" in heavy.advice


def test_wax_short_and_too_much_say_what_follows() -> None:
    wax = Expectation(1_000_000, 20_000)
    assert (
        "Add 50.0 g"
        in mix_advice.wax_grams(AMBER, Mixed(950_000, 76_000, 4), wax, 950_000, GRAMS).advice
    )
    assert (
        "50.0 g of wax too much"
        in mix_advice.wax_grams(AMBER, Mixed(1_050_000, 84_000, 4), wax, 1_050_000, GRAMS).message
    )


def test_a_short_stir_says_how_much_is_left() -> None:
    exact = advice.stir_duration(120, 70_000_000, at_most=False)
    bound = advice.stir_duration(120, 70_000_000, at_most=True)
    assert exact.message == "Stirred 70 s of 120 s."
    assert "at most 70 s" in bound.message
    assert "Stir 50 s more" in exact.advice


def test_a_skipped_phase_can_be_put_right_until_the_lot_is_closed() -> None:
    while_pouring = advice.skipped(Phase.STIR, AMBER, closing=False)
    at_the_close = advice.skipped(Phase.STIR, AMBER, closing=True)
    assert "Stop pouring and stir 120 s" in while_pouring.advice
    assert "closed without stirring" in at_the_close.message


def test_a_pour_without_fragrance_says_what_the_pitcher_needs_at_its_temperature() -> None:
    # 8 % of 1227.778 g is 98.222 g; TIN: 7 % of the total is 7 / 93 of 561.720 g = 42.280 g
    cool = mix_advice.unscented(AMBER, 1_227_778, 60_000, GRAMS)
    warm = mix_advice.unscented(TIN, 561_720, 82_000, GRAMS)
    assert cool.advice == (
        "Stop: pour back what is filled, warm the wax to 80.0 °C, weigh in 98.2 g of juniper and"
        " stir 120 s."
    )
    assert warm.advice == "Stop: pour back what is filled, weigh in 42.3 g of rain and stir 90 s."


def test_hot_wax_never_gets_water() -> None:
    words = advice.over_temperature("pot", 93_000, 94_000, GRAMS)
    assert "never water" in words.advice
    assert "Turn the heat down" in words.advice


def span(*minutes: float) -> Span:
    return Span(*(round(m * 60_000_000) for m in minutes))


def test_a_wide_time_is_a_range_and_a_narrow_one_a_number() -> None:
    assert advice.wait(span(6, 7, 8)) == "6 to 8 min"
    assert advice.wait(span(6.9, 7, 7.1)) == "about 7 min"
    assert advice.wait(span(0.5, 0.7, 0.9)) == "30 to 50 s"
    assert advice.wait(span(0.6, 0.7, 0.8)) == "42 s"


def test_setting_wax_is_said_with_its_temperature() -> None:
    assert advice.no_forecast(Why.SETTING, 52_300, GRAMS) == "The wax is setting at 52.3 °C."
    assert advice.no_forecast(Why.SETTING, 52_300, OUNCES) == "The wax is setting at 126.1 °F."
    assert all(advice.no_forecast(why, None, GRAMS).endswith(".") for why in Why)


def test_the_chill_is_said_in_whole_degrees_of_the_workshop() -> None:
    assert advice.chilled(Chill(1_600, 2_400), GRAMS) == "The fragrance will cool it by about 2 °C."
    # 2.6 K are 4.7 °F, 4.1 K are 7.4 °F
    assert advice.chilled(Chill(2_600, 4_100), OUNCES) == "The fragrance will cool it by 5 to 7 °F."
