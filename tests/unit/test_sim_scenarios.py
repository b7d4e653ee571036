"""Every scenario, rehearsed without ports: what is planted is what really happened, no more.

A witness looks at the physics alone and judges it against the recipes, once with every limit a
little tighter and once a little wider: a normal action stays inside by a margin, and a planted
one is outside by a margin.
"""

from collections import Counter
from dataclasses import dataclass, field

import pytest

from simulators.bench_model import PITCHER_PROBE, POT_PROBE, BenchModel
from simulators.day import bench_model
from simulators.faults import EXPECTED, FaultKind
from simulators.hands import Hands
from simulators.maker import Maker
from simulators.noise import seeded
from simulators.physics.pitcher import Pitcher
from simulators.recipe_card import Document, Range, RecipeCard, amount
from simulators.scenario import Scenario, load_scenario, scenario_names
from simulators.service import PitcherShare
from simulators.shift import Shift

STEP_S = 0.1
WAX_SHARE = 0.02  # tolerances of the service's recipes: common practice, no source
FRAGRANCE_SHARE = 0.025


@dataclass
class SeenPitcher:
    wax_g: float = 0.0
    fragrance_g: float = 0.0
    add_degc: float | None = None
    pour_began_degc: float | None = None
    pour_ended_degc: float = 0.0
    stir_s: float | None = None


@dataclass
class SeenLot:
    card: RecipeCard
    vessels: int
    shares: list[PitcherShare] = field(default_factory=list)
    pitchers: list[SeenPitcher] = field(default_factory=list)
    fills_g: list[float] = field(default_factory=list)
    hottest_pot_degc: float = 0.0
    lost_instruments: set[str] = field(default_factory=set)


class Witness:
    """Plays the service for the maker, and looks at the bench at every step."""

    def __init__(self, bench: BenchModel, scenario: Scenario) -> None:
        self.lots: list[SeenLot] = []
        self.events: list[str] = []
        self._bench = bench
        self._cards = {card.name: card for card in scenario.recipes}
        self._open: SeenLot | None = None
        self._pitcher: Pitcher | None = None
        self._vessel_g: float | None = None
        self._stir_began_s = 0.0

    # ------------------------------------------------- the maker's calls

    def keep_recipe(self, document: Document) -> None:
        assert document["name"] in self._cards

    def open_lot(self, recipe: str, vessels: int, bench: str) -> str:
        assert self._open is None
        assert bench == "quay"
        self._open = SeenLot(self._cards[recipe], vessels)
        self.lots.append(self._open)
        return str(len(self.lots))

    def pitchers(self, lot: str) -> list[PitcherShare]:
        seen = self.lots[int(lot) - 1]
        seen.shares = batch_sheet(seen.card, seen.vessels)
        return seen.shares

    def mark(self, lot: str, phase: str, edge: str) -> None:
        assert phase == "stir"
        pitcher = self.lots[int(lot) - 1].pitchers[-1]
        if edge == "begin":
            self._stir_began_s = self._bench.time_s
        else:
            pitcher.stir_s = self._bench.time_s - self._stir_began_s

    def close_lot(self, lot: str) -> None:
        assert self._open is self.lots[int(lot) - 1]
        self._open = None

    # ---------------------------------------------------- looking on

    def look(self) -> None:
        if self._open is None:
            return
        self._look_at_instruments(self._open)
        self._look_at_pitcher(self._open)
        self._look_at_vessel(self._open)

    def _look_at_instruments(self, lot: SeenLot) -> None:
        pot_degc = self._bench.probes[POT_PROBE].temperature_degc
        lot.hottest_pot_degc = max(lot.hottest_pot_degc, pot_degc)
        lot.lost_instruments |= self._bench.unplugged | self._bench.silent

    def _look_at_pitcher(self, lot: SeenLot) -> None:
        pitcher = self._bench.pitcher
        if pitcher is None:
            return
        if pitcher is not self._pitcher:
            self._pitcher = pitcher
            lot.pitchers.append(SeenPitcher())
        seen = lot.pitchers[-1]
        seen.wax_g = max(seen.wax_g, pitcher.wax_g)
        seen.fragrance_g = max(seen.fragrance_g, pitcher.fragrance_g)
        if pitcher.fragrance_g and seen.add_degc is None:
            seen.add_degc = self._probe_degc()

    def _look_at_vessel(self, lot: SeenLot) -> None:
        now_g, before_g = self._bench.vessel_g, self._vessel_g
        self._vessel_g = now_g
        if now_g is None:
            return
        if before_g is None:
            lot.fills_g.append(0.0)
        elif now_g > before_g:
            lot.fills_g[-1] += now_g - before_g
            pitcher = lot.pitchers[-1]
            pitcher.pour_ended_degc = self._probe_degc()
            if pitcher.pour_began_degc is None:
                pitcher.pour_began_degc = self._probe_degc()

    def _probe_degc(self) -> float:
        assert PITCHER_PROBE not in self._bench.unplugged
        return self._bench.probes[PITCHER_PROBE].temperature_degc


def batch_sheet(card: RecipeCard, vessels: int) -> list[PitcherShare]:
    """Split evenly under the capacity; mix = vessels x fill + residue, as the plan says."""
    pitcher = card.document["pitcher"]
    capacity_g, residue_g = amount(pitcher["capacity"]), amount(pitcher["residue"])
    count = next(n for n in range(1, 9) if -(-vessels // n) * card.fill_g + residue_g <= capacity_g)
    shares = []
    for index in range(count):
        own = vessels // count + (index < vessels % count)
        mix_g = own * card.fill_g + residue_g
        wax_g = mix_g / (1 + card.fragrance_for(1.0))
        shares.append(PitcherShare(index + 1, own, round(wax_g, 1)))
    return shares


def judged(lot: SeenLot, slack: float) -> Counter[str]:
    """Return how often each rule is broken, limits wider by `slack`: 1 is 0.4 K, 0.4 g, 0.5 %."""
    card = lot.card
    broken: Counter[str] = Counter()
    for share, pitcher in zip(lot.shares, lot.pitchers, strict=True):
        broken.update(judged_pitcher(card, share, pitcher, slack))
    off = [abs(fill_g - card.fill_g) for fill_g in lot.fills_g]
    broken["fill-grams"] += sum(g > card.fill_tolerance_g + 0.4 * slack for g in off)
    broken["skipped-phase"] += lot.vessels - len(lot.fills_g)
    broken["over-temperature"] += lot.hottest_pot_degc > card.never_above_degc + 0.4 * slack
    broken["instrument-silent"] += len(lot.lost_instruments)
    return +broken


def judged_pitcher(
    card: RecipeCard, share: PitcherShare, pitcher: SeenPitcher, slack: float
) -> Counter[str]:
    broken: Counter[str] = Counter()
    wanted_g = card.fragrance_for(pitcher.wax_g)
    broken["wax-grams"] += off_by(pitcher.wax_g, share.wax_g) > WAX_SHARE + 0.005 * slack
    if pitcher.add_degc is None:
        broken["skipped-phase"] += 1
    else:
        off = off_by(pitcher.fragrance_g, wanted_g)
        broken["fragrance-grams"] += off > FRAGRANCE_SHARE + 0.005 * slack
        broken["fragrance-temperature"] += outside(pitcher.add_degc, card.add, slack)
    if pitcher.stir_s is None:
        broken["skipped-phase"] += 1
    else:
        broken["stir-duration"] += pitcher.stir_s < card.stir_s - 2.0 * slack
    assert pitcher.pour_began_degc is not None
    ends = (pitcher.pour_began_degc, pitcher.pour_ended_degc)
    broken["pour-temperature"] += any(outside(end, card.pour, slack) for end in ends)
    return broken


def off_by(actual: float, wanted: float) -> float:
    return abs(actual - wanted) / wanted


def outside(degc: float, window: Range, slack: float) -> bool:
    return not window.low - 0.4 * slack <= degc <= window.high + 0.4 * slack


def rehearse(name: str, seed: int) -> tuple[Witness, Shift]:
    scenario = load_scenario(name)
    bench = bench_model(scenario, seed)
    witness = Witness(bench, scenario)
    hands = Hands(bench, seeded(seed + 1))
    shift = Shift(bench, hands, witness, scenario.pitcher, witness.events.append)
    for step, _ in enumerate(Maker(scenario, shift).day()):
        bench.update(STEP_S)
        if step % 2:  # five displays a second
            bench.pan.show()
        witness.look()
    return witness, shift


@pytest.mark.parametrize("seed", [1, 7, 23])
@pytest.mark.parametrize("name", scenario_names())
def test_planted_is_exactly_what_happened(name: str, seed: int) -> None:
    witness, shift = rehearse(name, seed)
    for number, lot in enumerate(witness.lots, start=1):
        planted = Counter(item.rule for item in shift.planted if item.lot == str(number))
        assert judged(lot, slack=-1.0) == planted, f"lot {number}, tighter limits"
        assert judged(lot, slack=1.0) == planted, f"lot {number}, wider limits"


def test_the_demo_day_has_four_lots_and_the_mishaps_of_its_description() -> None:
    _, shift = rehearse("lantern_yard", 7)
    assert [(item.lot, item.rule, item.vessel) for item in shift.planted] == [
        ("1", "instrument-silent", None),
        ("2", "fragrance-temperature", None),
        ("2", "fill-grams", 4),
        ("3", "stir-duration", None),
        ("3", "pour-temperature", None),
        ("4", "fragrance-grams", None),
        ("4", "over-temperature", None),
        ("4", "skipped-phase", None),
    ]


def test_the_demo_day_takes_two_to_three_hours() -> None:
    _, shift = rehearse("lantern_yard", 7)
    assert 1.9 < shift.bench.time_s / 3600.0 < 3.0


def test_the_short_day_is_short_and_clean() -> None:
    _, shift = rehearse("short", 7)
    assert shift.planted == []
    assert shift.bench.time_s < 300.0


def test_the_day_of_every_mishap_has_every_kind() -> None:
    scenario = load_scenario("every_mishap")
    planned = {fault.kind for lot in scenario.lots for fault in lot.faults}
    assert planned == set(FaultKind) == set(EXPECTED)


def test_the_same_seed_gives_the_same_day() -> None:
    once, again = rehearse("short", 5)[0], rehearse("short", 5)[0]
    other = rehearse("short", 6)[0]
    assert once.events == again.events
    assert once.events != other.events


def test_the_maker_fills_every_vessel_of_two_pitchers() -> None:
    witness, _ = rehearse("lantern_yard", 7)
    first = witness.lots[0]
    assert [share.vessels for share in first.shares] == [6, 6]
    assert len(first.fills_g) == 12
