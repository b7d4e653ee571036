"""How a pitcher will cool, worked out beforehand: what an experienced maker knows of her wax."""

from dataclasses import dataclass
from typing import Protocol

from simulators.physics.pitcher import BENCH, HAND, Pitcher
from simulators.scenario import PitcherPlan

STEP_S = 5.0
AROUND_STIR_S = 35.0  # weighing the fragrance, taking up the spoon, putting the pitcher down
VESSEL_S = 22.0
SAFE_K = 0.5


class Mix(Protocol):
    """What goes into one pitcher."""

    @property
    def mix_g(self) -> float:
        """Wax and fragrance, grams."""
        ...

    @property
    def fragrance_g(self) -> float:
        """The fragrance in it, grams."""
        ...

    @property
    def fill_g(self) -> float:
        """The fill of a vessel, grams."""
        ...

    @property
    def in_pitcher(self) -> int:
        """How many vessels are filled from it."""
        ...

    @property
    def stir_s(self) -> int:
        """How long it is stirred, seconds."""
        ...


@dataclass(frozen=True)
class Outlook:
    """Where the wax will be.

    `poured_from_degc`: the highest temperature from which it surely still has to cool after the
    stir. `drop_k`: how much it cools from the first vessel to the last.
    """

    poured_from_degc: float
    drop_k: float


def outlook(plan: PitcherPlan, mix: Mix, add_degc: float, room_degc: float) -> Outlook:
    """Return the outlook for a pitcher that gets its fragrance at `add_degc`."""
    pitcher = Pitcher(plan.steel_g, add_degc, thinness=plan.thinness, convects=plan.convects)
    pitcher.add_wax(mix.mix_g - mix.fragrance_g, add_degc)
    pitcher.add_fragrance(mix.fragrance_g, room_degc)
    pitcher.stand = BENCH
    _pass(pitcher, mix.stir_s + AROUND_STIR_S, room_degc)
    from_degc = pitcher.temperature_degc - SAFE_K
    pitcher.temperature_degc = began_degc = min(from_degc, 70.0)
    pitcher.stand = HAND
    for _ in range(mix.in_pitcher - 1):
        pitcher.pour(mix.fill_g)
        _pass(pitcher, VESSEL_S, room_degc)
    return Outlook(from_degc, began_degc - pitcher.temperature_degc)


def _pass(pitcher: Pitcher, seconds: float, room_degc: float) -> None:
    for _ in range(round(seconds / STEP_S)):
        pitcher.update(STEP_S, room_degc)
