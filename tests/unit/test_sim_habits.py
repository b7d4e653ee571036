"""Habits of the simulated maker, one at a time: what the pan carries is what she did."""

from dataclasses import asdict, replace
from itertools import chain, pairwise

import pytest
from trial_play import Play, Played

from simulators.bench_model import BenchModel
from simulators.chance.lots import ChanceLot, chance_lot
from simulators.hands import Hands
from simulators.instruments import Instruments
from simulators.interludes import ANY_TIME, Way, interlude, knock, lifted_pitcher
from simulators.noise import seeded
from simulators.physics.pan import Display, Pan
from simulators.physics.pitcher import PAN, Pitcher
from simulators.physics.pot import Pot
from simulators.scenario import Habits


def lot_with(habits: Habits) -> ChanceLot:
    """Return a small lot without mishaps of a maker with these habits, on plain instruments."""
    lot = chance_lot(5, 31)
    plan = replace(lot.plan, habits=habits, faults=())
    scenario = replace(lot.scenario, lots=(plan,), resolution_g=0.1)
    return replace(lot, scenario=scenario, instruments=Instruments())


def played(habits: Habits) -> tuple[Played, list[float]]:
    """Play such a lot; return it and what the pan carried at each reading."""
    play = Play(lot_with(habits), marks=False, tell=None)
    loads: list[float] = []
    show = play.model.pan.show

    def weigh() -> Display:
        loads.append(play.model.load_g)
        return show()

    play.model.pan.show = weigh  # type: ignore[method-assign] # a look over the scale's shoulder
    return play.run(1, 0), loads


def changed(habits: Habits) -> str:
    """Name a test case by what is not usual about the maker."""
    usual = asdict(Habits())
    return ", ".join(name for name, value in asdict(habits).items() if value != usual[name])


WAYS_OF_WORK = (
    Habits(),
    Habits(ladles=1),
    Habits(ladles=5, overshoots=True),
    Habits(draws_at_pot=True),
    Habits(ladles=3, draws_in_two_goes=True),
    Habits(weighs_apart=True),
    Habits(weighs_apart=True, tares_beaker=False, tips_in_on_scale=False),
    Habits(adds_a_drop=True),
    Habits(waits_on="plate", cools_on_plate=True),
    Habits(fills_by_loss=True),
    Habits(fills_by_loss=True, tares_loss=False, cools_on_scale=True),
    Habits(two_goes=1.0),
    Habits(puts_back=1.0, tares_vessels=False),
    Habits(strays=1.0, cools_on_scale=True),
)


@pytest.mark.parametrize("habits", WAYS_OF_WORK, ids=changed)
def test_every_way_of_work_ends_with_the_same_lot(habits: Habits) -> None:
    lot, _loads = played(habits)
    card, masses = lot.lot.plan.recipe, lot.diary.masses
    wax_g, scent_g = (masses[kind, 1, None].grams for kind in ("wax", "fragrance"))
    assert lot.diary.mishaps == []
    assert scent_g == pytest.approx(card.fragrance_for(wax_g), rel=0.0125)  # half of 2.5 %
    fills = [mass.grams for mass in masses.values() if mass.kind == "fill"]
    assert len(fills) == lot.lot.plan.vessels
    assert fills == pytest.approx([card.fill_g] * len(fills), abs=0.5 * card.fill_tolerance_g)


def test_filling_by_loss_takes_each_fill_from_the_pan() -> None:
    lot, loads = played(Habits(fills_by_loss=True, cools_on_scale=True))
    fills = [mass for mass in lot.diary.masses.values() if mass.kind == "fill"]
    levels = [load for load, after in pairwise(loads) if after == load and load > 100.0]
    for fill in fills:
        assert any(
            one - other == pytest.approx(fill.grams, abs=1e-6)
            for one, other in pairwise(dict.fromkeys(levels))
        )


def test_a_beaker_tipped_in_elsewhere_never_shows_the_pitcher_gain() -> None:
    lot, loads = played(Habits(weighs_apart=True, tips_in_on_scale=False, stirs_on_scale=False))
    steel_g, wax_g = lot.lot.scenario.pitcher.steel_g, lot.diary.masses["wax", 1, None].grams
    scent_g = lot.diary.masses["fragrance", 1, None].grams
    whole_g = steel_g + wax_g + scent_g
    assert max(loads) < whole_g - scent_g / 2
    assert any(load < 161.0 + scent_g for load in loads if load > scent_g)


def bench() -> BenchModel:
    model = BenchModel(Pot(1000.0, 85.0), seed=1)
    model.pitcher = Pitcher(300.0, 80.0)
    model.pitcher.stand = PAN
    return model


@pytest.mark.parametrize("way", [*ANY_TIME, lifted_pitcher])
def test_an_interlude_leaves_the_pan_as_it_was(way: Way) -> None:
    model = bench()
    loads = set()
    for _ in way(Hands(model, seeded(3))):
        model.update(0.05)
        loads.add(model.load_g + model.pan.hand_g)
    assert (model.load_g, model.pan.hand_g) == (300.0, 0.0)
    assert loads - {300.0}, "nothing happened"


def test_without_the_habit_nothing_disturbs() -> None:
    model = bench()
    assert list(interlude(Hands(model, seeded(3)), 0.0)) == []
    assert model.time_s == 0.0


def test_a_knock_is_over_within_a_second() -> None:
    model = bench()
    hands = Hands(model, seeded(3))
    for _ in chain(knock(hands), hands.wait(1.0)):
        model.update(0.05)
    shown = [model.pan.show().grams for _ in range(5)]
    assert shown == pytest.approx([300.0] * 5, abs=0.3)


def test_a_scale_drifts_as_much_as_it_is_said_to() -> None:
    pan = Pan(seeded(1))
    pan.drift_g_per_h = 0.6
    pan.tremble_g = 0.0
    for _ in range(3600):
        pan.update(1.0, 100.0)
    assert pan.show().grams == pytest.approx(100.6)
