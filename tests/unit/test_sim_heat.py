"""The simulated cooling and mixing against textbook examples and balances worked by hand."""

from collections.abc import Callable

import pytest

from simulators.noise import seeded
from simulators.physics.heat import USUAL_K, SettingRange, convected, cooled, mixed
from simulators.physics.pitcher import BENCH, PAN, WALL_FILM_G, Pitcher, warm_plate, water_bath
from simulators.physics.pot import Pot
from simulators.physics.probe import Probe

ROOM_DEGC = 22.0


def minutes_to_cool(
    start: float, surroundings: float, after_one: tuple[float, float], goal: float
) -> float:
    """Return the minutes from `start` to `goal`, the rate taken from one known later point.

    `after_one` is (minutes, temperature). Bisection on the time, so that only `cooled` counts.
    """
    minutes, known = after_one
    rate = bisected(lambda k: cooled(start, surroundings, k, minutes) - known, 0.0, 5.0)
    return bisected(lambda t: cooled(start, surroundings, rate, t) - goal, 0.0, 1000.0)


def bisected(function: Callable[[float], float], low: float, high: float) -> float:
    rising = function(high) > function(low)
    for _ in range(100):
        middle = (low + high) / 2
        if (function(middle) > 0) == rising:
            high = middle
        else:
            low = middle
    return low


# OpenStax, Calculus volumes 1 and 2, Newton's law of cooling: examples and exercises. The exact
# times were computed from the exact rate where the book prints a rounded one.
@pytest.mark.parametrize(
    ("start", "surroundings", "after_one", "goal", "minutes"),
    [
        (200.0, 70.0, (2.0, 180.0), 175.0, 2.56),  # coffee, °F
        (200.0, 70.0, (2.0, 180.0), 155.0, 5.09),
        (200.0, 75.0, (1.0, 190.0), 150.0, 6.126),  # pizza
        (165.0, 35.0, (10.0, 150.0), 70.0, 107.03),  # cheesecake; the book prints 106.68
        (40.0, 70.0, (1.0, 45.0), 60.0, 6.026),  # water that warms, hours
    ],
)
def test_cooling_takes_as_long_as_the_textbook_says(
    start: float,
    surroundings: float,
    after_one: tuple[float, float],
    goal: float,
    minutes: float,
) -> None:
    took = minutes_to_cool(start, surroundings, after_one, goal)
    assert took == pytest.approx(minutes, abs=0.006)


def test_many_small_steps_cool_as_much_as_one_long_step() -> None:
    small = 83.0
    for _ in range(6000):
        small = cooled(small, ROOM_DEGC, 0.0005, 0.05)
    assert small == pytest.approx(cooled(83.0, ROOM_DEGC, 0.0005, 300.0), abs=1e-9)


def test_mixing_weighs_temperatures_by_heat_capacity() -> None:
    # By hand: (100 x 80 + 300 x 20) / 400 = 35.
    assert mixed([(100.0, 80.0), (300.0, 20.0)]) == pytest.approx(35.0)


def test_wax_in_a_pitcher_loses_to_the_steel_what_the_balance_says() -> None:
    # By hand, 1000 g wax at 90 °C into 300 g steel at 60 °C:
    # (2300 J/K x 90 + 150 J/K x 60) / 2450 J/K = 88.163 °C.
    pitcher = Pitcher(steel_g=300.0, temperature_degc=60.0)
    pitcher.add_wax(1000.0, 90.0)
    assert pitcher.temperature_degc == pytest.approx(88.163, abs=0.001)


def test_fragrance_at_room_temperature_chills_the_wax() -> None:
    # By hand, 80 g at 2.0 J/(g K) and 22 °C into 2450 J/K at 84 °C:
    # (2450 x 84 + 160 x 22) / 2610 = 80.199 °C.
    pitcher = Pitcher(steel_g=300.0, temperature_degc=84.0)
    pitcher.add_wax(1000.0, 84.0)
    pitcher.add_fragrance(80.0, 22.0)
    assert pitcher.temperature_degc == pytest.approx(80.199, abs=0.001)


def seconds_to_cool(pitcher: Pitcher, goal_degc: float) -> float:
    seconds = 0.0
    while pitcher.temperature_degc > goal_degc:
        pitcher.update(1.0, ROOM_DEGC)
        seconds += 1.0
    return seconds


def warm_pitcher(wax_g: float) -> Pitcher:
    pitcher = Pitcher(steel_g=300.0, temperature_degc=83.0)
    pitcher.add_wax(wax_g, 83.0)
    return pitcher


# Common practice, no source.
@pytest.mark.parametrize("wax_g", [700.0, 1000.0, 1300.0])
def test_a_pitcher_of_wax_needs_a_quarter_to_half_an_hour(wax_g: float) -> None:
    assert 15 * 60 <= seconds_to_cool(warm_pitcher(wax_g), 60.0) <= 30 * 60


def test_more_wax_cools_slower_and_a_water_bath_cools_faster() -> None:
    bathed = warm_pitcher(1000.0)
    bathed.stand = water_bath(20.0)
    little, much = warm_pitcher(700.0), warm_pitcher(1300.0)
    usual_s = seconds_to_cool(warm_pitcher(1000.0), 60.0)
    assert seconds_to_cool(little, 60.0) < usual_s < seconds_to_cool(much, 60.0)
    assert seconds_to_cool(bathed, 60.0) < usual_s / 4


def test_the_cold_pan_takes_a_little_more_heat_than_the_bench() -> None:
    on_pan, on_bench = warm_pitcher(1000.0), warm_pitcher(1000.0)
    on_pan.stand, on_bench.stand = PAN, BENCH
    assert on_pan.loss_w_per_k > on_bench.loss_w_per_k


def test_a_pitcher_keeps_a_film_on_its_wall() -> None:
    pitcher = warm_pitcher(200.0)
    assert pitcher.pour(500.0) == pytest.approx(200.0 - WALL_FILM_G)
    assert pitcher.contents_g == pytest.approx(WALL_FILM_G)
    assert pitcher.pour(10.0) == pytest.approx(0.0, abs=1e-9)


def test_pouring_takes_wax_and_fragrance_in_their_proportion() -> None:
    pitcher = warm_pitcher(900.0)
    pitcher.add_fragrance(100.0, 22.0)
    pitcher.pour(500.0)
    assert pitcher.wax_g == pytest.approx(450.0)
    assert pitcher.fragrance_g == pytest.approx(50.0)


def pot_temperatures(pot: Pot, seconds: float) -> list[float]:
    temperatures = []
    for _ in range(round(seconds / 0.1)):
        pot.update(0.1, ROOM_DEGC)
        temperatures.append(pot.temperature_degc)
    return temperatures


def test_a_pot_hunts_around_its_set_point_without_running_away() -> None:
    temperatures = pot_temperatures(Pot(wax_g=6000.0, set_point_degc=88.0), 3600.0)
    assert 86.5 < min(temperatures) < 87.7
    assert 88.3 < max(temperatures) < 89.5


def test_a_stuck_thermostat_overheats_the_pot_and_lifting_it_cools_it() -> None:
    pot = Pot(wax_g=6000.0, set_point_degc=88.0)
    pot.heater_stuck = True
    hot = pot_temperatures(pot, 240.0)[-1]
    assert hot > 93.0
    pot.heater_stuck = False
    pot.lifted = True
    assert pot_temperatures(pot, 240.0)[-1] < hot - 3.0


def test_a_pot_without_its_plug_is_soon_no_longer_hot() -> None:
    # By hand: 6000 g x 2.3 J/gK = 13 800 J/K lose 2.5 W/K: 66 K above the room become
    # 66 x exp(-2.5 x 2400 / 13 800) = 43 K in 40 minutes.
    pot = Pot(wax_g=6000.0, set_point_degc=88.0)
    pot.heater_stuck = True
    pot.plugged_in = False
    assert pot_temperatures(pot, 2400.0)[-1] == pytest.approx(22.0 + 43.0, abs=1.5)


def test_a_pot_at_rest_gains_what_the_heater_gives_less_what_is_lost() -> None:
    # By hand: wax 6000 g x 2.3 = 13 800 J/K, plate 150 J/K. With the heater on for 100 s:
    # 90 000 J in, about 2.5 W/K x 67 K x 100 s = 16 750 J lost; 73 250 J in pot and plate.
    pot = Pot(wax_g=6000.0, set_point_degc=88.0)
    pot.heater_stuck = True
    pot_temperatures(pot, 100.0)
    stored = 13_800 * (pot.temperature_degc - 88.0) + 150 * (pot.plate_degc - 88.0)
    assert stored == pytest.approx(73_250, rel=0.03)


def test_more_wax_than_the_pot_holds_cannot_be_drawn() -> None:
    with pytest.raises(ValueError, match="holds 500 g"):
        Pot(wax_g=500.0, set_point_degc=88.0).draw(501.0)


def quiet_probe(temperature_degc: float) -> Probe:
    return Probe(temperature_degc, seeded(1), noise_k=0.0)


def test_a_probe_has_gone_63_percent_of_the_way_after_one_lag() -> None:
    # First-order lag: 1 - 1/e = 0.632.
    probe = quiet_probe(20.0)
    for _ in range(60):
        probe.update(0.1, 80.0)
    assert (probe.temperature_degc - 20.0) / 60.0 == pytest.approx(0.632, abs=0.001)


@pytest.mark.parametrize(("degc", "sixteenths"), [(25.0625, 0x191), (-0.5, -8), (85.0, 0x550)])
def test_a_probe_reads_in_sixteenths_of_a_degree(degc: float, sixteenths: int) -> None:
    # The register table of 12-bit 1-Wire thermometers' data sheets.
    assert quiet_probe(degc).reading() == sixteenths


def test_natural_convection_takes_heat_with_the_power_of_five_fourths() -> None:
    # Laminar natural convection in air, q ~ d^1.25 (handbooks of heat transfer, from memory):
    # twice the difference loses 2^1.25 = 2.378 times the heat.
    rates = [away - convected(20.0 + away, 20.0, 1e-4, 1.0) + 20.0 for away in (30.0, 60.0)]
    assert rates[1] / rates[0] == pytest.approx(2.378, rel=0.001)


def test_convection_is_as_fast_as_newton_at_its_stated_difference() -> None:
    newton = cooled(USUAL_K, 0.0, 1e-4, 1.0)
    assert convected(USUAL_K, 0.0, 1e-4, 1.0) == pytest.approx(newton, abs=1e-6)


def test_many_small_steps_of_convection_are_one_long_step() -> None:
    small = 83.0
    for _ in range(3000):
        small = convected(small, ROOM_DEGC, 0.0005, 0.1)
    assert small == pytest.approx(convected(83.0, ROOM_DEGC, 0.0005, 300.0), abs=1e-9)


def test_convection_warms_what_is_colder_than_its_surroundings() -> None:
    assert 10.0 < convected(10.0, 20.0, 1e-3, 60.0) < 20.0
    assert convected(20.0, 20.0, 1e-3, 60.0) == pytest.approx(20.0)


PARAFFIN = SettingRange(begins_degc=55.05, ends_degc=54.95, fusion_j_per_g=210.0)
"""A narrow cut, as the cooling-curve method is for; its heat of fusion lies within the 200 to
220 J/g that encyclopedias give."""


def test_setting_gives_off_the_heat_of_fusion() -> None:
    # By hand: 210 J/g + 0.1 K x 2.3 J/(g K) leave the wax between 55.05 and 54.95 °C.
    assert PARAFFIN.after_losing(55.05, 210.23, 2.3) == pytest.approx(54.95)
    assert PARAFFIN.after_losing(55.05, 105.115, 2.3) == pytest.approx(55.0)
    assert PARAFFIN.after_losing(57.05, 2.0 * 2.3 + 210.23 + 2.3, 2.3) == pytest.approx(53.95)
    assert PARAFFIN.after_losing(54.95, -210.23, 2.3) == pytest.approx(55.05)


def plateau_of(setting: SettingRange | None) -> float | None:
    """Return the plateau by the rule of ASTM D87: the first five consecutive readings, one every
    15 s, that all agree within 0.1 °C; its mean. Readings to 0.05 °C, counted in hundredths."""
    pitcher = Pitcher(steel_g=30.0, temperature_degc=66.0, setting=setting, convects=True)
    pitcher.add_wax(50.0, 66.0)
    readings: list[int] = []
    for _ in range(400):
        for _ in range(75):
            pitcher.update(0.2, 25.0)
        readings.append(5 * round(pitcher.temperature_degc * 20))
        five = readings[-5:]
        if len(five) == 5 and max(five) - min(five) <= 10:
            return sum(five) / 500
        if pitcher.temperature_degc < 40.0:
            break
    return None


def test_wax_that_sets_in_a_narrow_range_has_its_plateau_there() -> None:
    plateau = plateau_of(PARAFFIN)
    assert plateau is not None
    assert plateau == pytest.approx(55.0, abs=0.1)


def test_a_steady_fall_and_a_wide_setting_range_have_no_plateau() -> None:
    assert plateau_of(None) is None
    assert plateau_of(SettingRange(56.0, 46.0, 60.0)) is None


def test_wax_that_sets_takes_as_long_as_its_heat_balance_says() -> None:
    # By hand, 1000 g and 300 g steel from 55 to 45 °C in a room of 22 °C: 2450 J/K x 10 K and
    # 150 J/g x 1000 g are 174 500 J; the loss is (0.35 + 0.6) W/K x 1.04, at 28 K on average
    # about 27.6 W: 6 310 s. Without setting only 24 500 J, 886 s.
    setting = Pitcher(300.0, 55.0, setting=SettingRange(55.0, 45.0, 150.0))
    liquid = Pitcher(300.0, 55.0)
    for pitcher in (setting, liquid):
        pitcher.add_wax(1000.0, 55.0)
    assert seconds_to_cool(setting, 45.0) == pytest.approx(6310.0, rel=0.03)
    assert seconds_to_cool(liquid, 45.0) == pytest.approx(886.0, rel=0.03)


def test_a_warm_plate_holds_a_pitcher_between_its_own_and_the_rooms_temperature() -> None:
    # By hand: a third of 50 °C and two thirds of 22 °C are 31.2 °C.
    assert warm_plate(50.0).around(22.0) == pytest.approx(31.24)
    assert water_bath(20.0).around(25.0) == pytest.approx(20.0)
    assert BENCH.around(22.0) == pytest.approx(22.0)
