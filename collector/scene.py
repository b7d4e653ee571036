"""One explanation of what a scale has shown so far: what stands on it and what went into what.

A scene is a value. `pourings` and `handlings` say which scenes can follow from it.
"""

from collections.abc import Iterator
from enum import StrEnum

import msgspec

from collector.additions import Addition, Key
from collector.conclusions import WeighingKind
from collector.expectations import Stage
from collector.weighings import Plateau

LEAST_CONTAINER_MG = 15_000
"""A lighter object is a spoon or a probe, not a vessel."""


class Load(StrEnum):
    """What stands on the pan."""

    NOTHING = "nothing"
    PITCHER = "pitcher"
    VESSEL = "vessel"
    BEAKER = "beaker"  # fragrance is weighed in it before it goes into the pitcher
    THING = "thing"  # a hand, a cloth, a spoon: laid down for a moment


HOLDS_NOTHING = frozenset({Load.NOTHING, Load.THING})
"""Loads into which nothing is poured."""


class Lifted(msgspec.Struct, frozen=True):
    """What was taken off last, its whole mass, and what was in it; 0.001 g."""

    load: Load
    mass_mg: int
    contents_mg: int


class Habits(msgspec.Struct, frozen=True):
    """What this lot has shown of how it is worked.

    `unseen`: containers are put and tared while the scale looks away. `elsewhere`: wax is drawn
    beside the scale. `at_once`: what is poured
    arrives in one step. `gradually`: the scale shows how something is poured. `by_loss`: vessels
    are filled beside the scale. `on_scale`: on it. `swaps`: one thing takes another's place
    before the scale rests.
    """

    unseen: bool = False
    elsewhere: bool = False
    at_once: bool = False
    gradually: bool = False
    by_loss: bool = False
    on_scale: bool = False
    swaps: bool = False


class Masses(msgspec.Struct, frozen=True):
    """The empty containers as far as they were seen; 0.001 g."""

    pitcher_mg: int | None = None
    vessel_mg: int | None = None
    beaker_mg: int | None = None


class Scene(msgspec.Struct, frozen=True):
    """What stands on the scale, and what was made so far. Masses are 0.001 g.

    `bare_mg` is what the display shows for the bare pan, `empty_mg` for the present container
    without contents; None where nothing has shown it. `pitcher` counts from 1, `filled` through
    the lot, and `filled_before` were filled when this pitcher's turn came. `made` holds the
    additions that are closed, `open` the one in the container on the pan. `away_mg` is the mass
    of the pitcher that is off the scale with its contents, and `away_at_mg` what the display
    would show with it, and `left` where it rested last; `apart_mg` is fragrance in a beaker that
    is not in the wax yet. `pitcher_shown` says that the scale has shown a pitcher come or go,
    `scent_marked` that a person has said that fragrance comes now. Where something lies on the
    pan for a moment, since `laid_us`, `under` is the scene without it and `under_mg` what the
    display showed then.
    """

    load: Load = Load.NOTHING
    bare_mg: int | None = None
    empty_mg: int | None = None
    pitcher: int = 1
    stage: Stage = Stage.WAX
    filled: int = 0
    filled_before: int = 0
    made: tuple[Addition, ...] = ()
    open: Addition | None = None
    apart_mg: int = 0
    away_mg: int | None = None
    away_at_mg: int | None = None
    left: Plateau | None = None
    pitcher_shown: bool = False
    scent_marked: bool = False
    lifted: Lifted | None = None
    masses: Masses = Masses()
    habits: Habits = Habits()
    under: "Scene | None" = None
    under_mg: int = 0
    laid_us: int = 0

    def but(self, **changes: object) -> "Scene":
        """Return the scene with some things changed."""
        return msgspec.structs.replace(self, **changes)

    # ------------------------------------------------------------ additions

    def additions(self) -> Iterator[Addition]:
        """Go through all additions, the open one last."""
        yield from self.made
        if self.open is not None:
            yield self.open

    def latest(self) -> Addition | None:
        """Return the addition that was worked at last."""
        return self.open if self.open is not None else (self.made[-1] if self.made else None)

    def find(self, key: Key) -> Addition | None:
        """Return one addition, None where there is none."""
        opened = self.open
        if opened is not None and opened.key == key:
            return opened
        return next((each for each in reversed(self.made) if each.key == key), None)

    def of_pitcher(self, kind: WeighingKind) -> Addition | None:
        """Return the wax or the fragrance of the present pitcher."""
        return self.find(Key(kind, self.pitcher))

    @property
    def wax_mg(self) -> int | None:
        """The wax in the present pitcher, None before any was drawn."""
        wax = self.of_pitcher(WeighingKind.WAX)
        return None if wax is None else wax.net_mg

    @property
    def fragrance_mg(self) -> int | None:
        """The fragrance weighed for the present pitcher, None before any was."""
        fragrance = self.of_pitcher(WeighingKind.FRAGRANCE)
        return None if fragrance is None else fragrance.net_mg

    @property
    def poured_mg(self) -> int:
        """What was filled out of the present pitcher."""
        return sum(
            each.net_mg
            for each in self.additions()
            if each.key.kind is WeighingKind.FILL and each.key.pitcher == self.pitcher
        )

    @property
    def in_pitcher_mg(self) -> int:
        """What is in the present pitcher."""
        whole = (self.wax_mg or 0) + (self.fragrance_mg or 0) - self.apart_mg
        return max(0, whole - self.poured_mg)

    @property
    def in_container_mg(self) -> int:
        """What is in the container on the pan."""
        if self.load is Load.PITCHER:
            return self.in_pitcher_mg
        if self.load is Load.BEAKER:
            return self.apart_mg
        opened = self.open
        return opened.net_mg if self.load is Load.VESSEL and opened is not None else 0

    # ------------------------------------------------------------ changes that pour nothing

    def at_rest(self, plateau: Plateau) -> "Scene":
        """Return the scene with what is open as a resting scale shows it."""
        opened = self.open
        if opened is None or self.load in HOLDS_NOTHING:
            return self
        if opened.net_at(plateau.value_mg) == opened.net_mg and opened.rested == plateau:
            return self
        return self.with_open(opened.at_rest(plateau))

    def with_open(self, opened: Addition) -> "Scene":
        """Return the scene with what is open as it has become."""
        apart_mg = self.apart_mg
        if opened.apart:
            apart_mg += opened.net_mg - (self.open.net_mg if self.open is not None else 0)
        return self.but(open=opened, apart_mg=apart_mg)

    def shifted(self, by_mg: int) -> "Scene":
        """Return the scene after the display changed by so much while nothing was poured."""
        return self.but(
            bare_mg=_moved(self.bare_mg, by_mg),
            empty_mg=_moved(self.empty_mg, by_mg),
            away_at_mg=_moved(self.away_at_mg, by_mg),
            open=self.open.moved(by_mg) if self.open is not None else None,
            under=self.under.shifted(by_mg) if self.under is not None else None,
            under_mg=self.under_mg + by_mg if self.under is not None else 0,
        )

    def tared(self, shown_mg: int) -> "Scene":
        """Return the scene after a tare of so much on the display."""
        after = self.shifted(-shown_mg)
        if after.open is None:
            return after
        return after.but(open=msgspec.structs.replace(after.open, tared=True))

    def closed(self) -> "Scene":
        """Return the scene with nothing open: the container leaves, or the next thing comes."""
        opened = self.open
        if opened is None:
            return self
        return self.but(made=(*self.made, opened), open=None)

    def tipped(self) -> "Scene":
        """Return the scene with what was weighed apart in the pitcher that is off the scale."""
        away_mg = None if self.away_mg is None else self.away_mg + self.apart_mg
        return self.but(away_mg=away_mg, apart_mg=0)

    def turned(self) -> "Scene":
        """Return the scene at the next pitcher."""
        return self.but(
            pitcher=self.pitcher + 1,
            filled_before=self.filled,
            stage=Stage.WAX,
            apart_mg=0,
            away_mg=None,
            away_at_mg=None,
            lifted=self.lifted if self.stage is Stage.POUR else None,
            scent_marked=False,
        ).closed()


def _moved(value_mg: int | None, by_mg: int) -> int | None:
    return None if value_mg is None else value_mg + by_mg
