"""Mishaps drawn at random, as a fair referee would plant them.

Each is clear: at least half as much again as its tolerance, temperatures at least 1 °C outside
their window, silence well beyond patience. What the displays of this bench cannot show with
these habits is not planted:

- a stir that was short or skipped, unless the pitcher rests on the scale right after it and no
  fragrance is tipped in elsewhere: away from the scale the gap would allow a whole stir; and a
  skipped one only where nobody meddles with the pitcher, which may look like some stirring;
- a fragrance's temperature where it is tipped in away from the scale;
- a pot too hot without a probe in the pot; silence while the instrument is needed.
"""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from simulators.bench_model import POT_PROBE
from simulators.chance.recipes import ChanceRecipe
from simulators.faults import COOLING, Fault, FaultKind
from simulators.instruments import Instruments
from simulators.layout import SCALE
from simulators.scenario import Habits

WAX_TOLERANCE = 0.02
FRAGRANCE_TOLERANCE = 0.025
"""The service's usual tolerances as its documents state them: common practice, no source."""

CLEAR = (1.6, 4.0)
"""How many tolerances a planted mass is off."""

CLEAR_K = (1.3, 4.0)
COARSE = 1.5
"""Divisions that a scale's display can be off; no mass is told from another by less."""

OVERHEAD_S = 12.0
"""Lifting, putting down and reaching for a spoon, which may look like stirring."""

QUIET_S = (25.0, 45.0)
SHARE_OF_LOTS = 0.5

SELDOM = (FaultKind.STIR_CUT_SHORT, FaultKind.STIR_SKIPPED)
SELDOM_FIRST = 0.5
"""Few lots can show these, so every other lot that can has one: else a trial hardly tries them."""

ONE_OF = (
    {FaultKind.WAX_SHORT, FaultKind.WAX_TOO_MUCH},
    {
        FaultKind.FRAGRANCE_TOO_LITTLE,
        FaultKind.FRAGRANCE_TOO_MUCH,
        FaultKind.FRAGRANCE_TWICE,
        FaultKind.FRAGRANCE_SKIPPED,
    },
    {FaultKind.FRAGRANCE_TOO_COOL, FaultKind.FRAGRANCE_TOO_WARM, FaultKind.FRAGRANCE_SKIPPED},
    {FaultKind.STIR_CUT_SHORT, FaultKind.STIR_SKIPPED, FaultKind.FRAGRANCE_SKIPPED},
    {FaultKind.STIR_CUT_SHORT, FaultKind.STIR_SKIPPED, FaultKind.FRAGRANCE_TWICE},
    {FaultKind.POUR_TOO_HOT, FaultKind.POUR_TOO_COLD, FaultKind.POUR_TOO_LONG},
    {FaultKind.PROBE_UNPLUGGED, FaultKind.INSTRUMENT_SILENT},
)
"""Mishaps of one lot exclude each other within each of these sets."""


@dataclass(frozen=True)
class Setting:
    """What decides which mishaps this lot can show."""

    recipe: ChanceRecipe
    habits: Habits
    instruments: Instruments
    pitchers: int


def chance_faults(chance: Random, setting: Setting) -> tuple[Fault, ...]:
    """Draw none, or one to three mishaps."""
    if chance.random() >= SHARE_OF_LOTS:
        return ()
    wanted = chance.choice((1, 1, 2, 3))
    kinds = [kind for kind in FaultKind if _observable(kind, setting)]
    chance.shuffle(kinds)
    if chance.random() < SELDOM_FIRST:
        kinds.sort(key=lambda kind: kind not in SELDOM)
    chosen: list[FaultKind] = []
    for kind in kinds:
        if len(chosen) < wanted and not any(_clash(kind, other) for other in chosen):
            chosen.append(kind)
    return tuple(_fault(chance, kind, setting) for kind in chosen)


def _clash(one: FaultKind, other: FaultKind) -> bool:
    return any({one, other} <= group for group in ONE_OF)


def _observable(kind: FaultKind, setting: Setting) -> bool:
    habits = setting.habits
    tipped_elsewhere = habits.weighs_apart and not habits.tips_in_on_scale
    rests_in_sight = habits.cools_on_scale and not habits.cools_on_plate and not tipped_elsewhere
    needs = {
        FaultKind.STIR_CUT_SHORT: rests_in_sight,
        FaultKind.STIR_SKIPPED: rests_in_sight and not habits.strays,
        FaultKind.FRAGRANCE_TOO_COOL: not tipped_elsewhere,
        FaultKind.FRAGRANCE_TOO_WARM: not tipped_elsewhere,
        FaultKind.POT_TOO_HOT: POT_PROBE in setting.instruments.probes.names,
    }
    return needs.get(kind, True)


def _fault(chance: Random, kind: FaultKind, setting: Setting) -> Fault:
    return DRAW[kind](chance, kind, setting)


def _pitcher(chance: Random, setting: Setting) -> int:
    return chance.randint(1, setting.pitchers)


def _share_off(sign: float, tolerance: float, whole_g: Callable[[Setting], float]) -> "Draw":
    def draw(chance: Random, kind: FaultKind, setting: Setting) -> Fault:
        coarse = COARSE * setting.instruments.scale.resolution_g / whole_g(setting)
        off = chance.uniform(*CLEAR) * max(tolerance, coarse)
        return Fault(kind, _pitcher(chance, setting), share=1.0 + sign * min(off, 0.6))

    return draw


def _wax_g(setting: Setting) -> float:
    return setting.recipe.card.fill_g * setting.recipe.vessels / setting.pitchers


def _fragrance_g(setting: Setting) -> float:
    return setting.recipe.card.fragrance_for(_wax_g(setting)) * 0.85


def _kelvin(chance: Random, kind: FaultKind, setting: Setting) -> Fault:
    return Fault(kind, _pitcher(chance, setting), kelvin=chance.uniform(*CLEAR_K))


def _plain(chance: Random, kind: FaultKind, setting: Setting) -> Fault:
    return Fault(kind, _pitcher(chance, setting))


def _short_stir(chance: Random, kind: FaultKind, setting: Setting) -> Fault:
    most = 0.85 - OVERHEAD_S / setting.recipe.card.stir_s
    return Fault(kind, _pitcher(chance, setting), share=chance.uniform(0.4, most))


def _vessel(chance: Random, kind: FaultKind, setting: Setting) -> Fault:
    card, division_g = setting.recipe.card, setting.instruments.scale.resolution_g
    off_g = chance.uniform(*CLEAR) * max(card.fill_tolerance_g, COARSE * division_g)
    return Fault(kind, vessel=chance.randint(1, setting.recipe.vessels), grams=off_g)


def _quiet(chance: Random, kind: FaultKind, setting: Setting) -> Fault:
    names = (SCALE, *setting.instruments.probes.names)
    return Fault(
        kind,
        _pitcher(chance, setting),
        instrument=chance.choice(names),
        when=COOLING,
        after_s=chance.uniform(10.0, 30.0),
        seconds=chance.uniform(*QUIET_S),
    )


def _hot_pot(chance: Random, kind: FaultKind, setting: Setting) -> Fault:
    """Overheat the pot once the last pitcher is drawn, so that no pitcher gets wax too hot."""
    return Fault(kind, setting.pitchers, when=COOLING, after_s=5.0, seconds=chance.uniform(20, 90))


Draw = Callable[[Random, FaultKind, Setting], Fault]

DRAW: dict[FaultKind, Draw] = {
    FaultKind.WAX_SHORT: _share_off(-1.0, WAX_TOLERANCE, _wax_g),
    FaultKind.WAX_TOO_MUCH: _share_off(1.0, WAX_TOLERANCE, _wax_g),
    FaultKind.FRAGRANCE_TOO_COOL: _kelvin,
    FaultKind.FRAGRANCE_TOO_WARM: _plain,
    FaultKind.FRAGRANCE_TOO_LITTLE: _share_off(-1.0, FRAGRANCE_TOLERANCE, _fragrance_g),
    FaultKind.FRAGRANCE_TOO_MUCH: _share_off(1.0, FRAGRANCE_TOLERANCE, _fragrance_g),
    FaultKind.FRAGRANCE_TWICE: _plain,
    FaultKind.FRAGRANCE_SKIPPED: _plain,
    FaultKind.STIR_CUT_SHORT: _short_stir,
    FaultKind.STIR_SKIPPED: _plain,
    FaultKind.POUR_TOO_HOT: _kelvin,
    FaultKind.POUR_TOO_COLD: _kelvin,
    FaultKind.POUR_TOO_LONG: _kelvin,
    FaultKind.VESSEL_LIGHT: _vessel,
    FaultKind.VESSEL_HEAVY: _vessel,
    FaultKind.VESSEL_SKIPPED: _vessel,
    FaultKind.PROBE_UNPLUGGED: _quiet,
    FaultKind.INSTRUMENT_SILENT: _quiet,
    FaultKind.POT_TOO_HOT: _hot_pot,
}
