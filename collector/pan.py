"""What stands on the scale, as far as its plateaus tell.

Two facts of the bench carry this: what is poured changes the scale gradually, what is put on or
taken off changes it at once; and a display that jumps to zero was either tared or relieved of
its load, which often only the next move tells.
"""

from enum import StrEnum

import msgspec

ZERO_MG = 1000
"""A display this close to zero counts as zero: two divisions of a kitchen-sized scale and some."""

SAME_MG = 3000
"""Something put back weighs the same to within this much: drips, a wiped rim."""

SAME_PPM = 5000
"""The same as a share of what was taken off, for a heavy pitcher."""

VESSELS_DIFFER_MG = 8_000
VESSELS_DIFFER_PPM = 40_000
"""Vessels of one kind differ by so much. Common practice, no source."""

LEAST_CONTAINER_MG = 15_000
"""A lighter object is a spoon or a probe, not a vessel."""


class Load(StrEnum):
    """What stands on the pan."""

    UNKNOWN = "unknown"
    NOTHING = "nothing"
    PITCHER = "pitcher"
    VESSEL = "vessel"
    BEAKER = "beaker"  # fragrance is weighed in it before it goes into the pitcher


class Lifted(msgspec.Struct, frozen=True):
    """What was taken off last: which load, its whole mass, and its contents; 0.001 g."""

    load: Load
    mass_mg: int
    contents_mg: int

    @property
    def recognizable(self) -> bool:
        """Whether its mass tells it from the next one: fills are alike, full vessels are not."""
        bare = self.mass_mg - self.contents_mg < LEAST_CONTAINER_MG
        container = self.load in (Load.PITCHER, Load.VESSEL)
        return container and not self.empty and (self.load is Load.PITCHER or not bare)

    @property
    def empty(self) -> bool:
        """Whether there was nothing in it."""
        return self.contents_mg <= SAME_MG


class Zeroed(msgspec.Struct, frozen=True):
    """A display that went to zero from `value_mg` with `load` on it: tared, or relieved of it."""

    load: Load
    value_mg: int
    contents_mg: int


class Pan:
    """The pan's load and where its empty container stands on the display.

    `container_mg` is the display's value for the container without contents; None where it is
    not known. `containers_seen` tells that this scale shows containers at all: a bench may
    well tare everything out of sight; `pitcher_seen` tells it of pitchers. `pours_seen` tells
    that it shows pouring as it goes on, so that what comes at once is a thing put down.
    `fills_seen` tells the same of fills: from then on a vessel is filled gradually.
    `vessels_filled` says that vessels are filled on this scale, `losses_seen` that they are
    filled beside it, `beaker_seen` that fragrance is weighed apart.
    `own_mg` is the mass of the empty container that stands there;
    `vessel_mg` and `pitcher_mg` are the masses of the empty ones put on last. `pitcher_away` is
    the full pitcher that is off the scale, `apart_mg` fragrance that was weighed in a beaker and
    that nobody saw go into the pitcher.
    """

    def __init__(self) -> None:
        self.load = Load.UNKNOWN
        self.container_mg: int | None = None
        self.own_mg: int | None = None
        self.lifted: Lifted | None = None
        self.zeroed: Zeroed | None = None
        self.containers_seen = False
        self.pitcher_seen = False
        self.pours_seen = False
        self.fills_seen = False
        self.vessels_filled = False
        self.beaker_seen = False
        self.losses_seen = False
        self.pitcher_away: Lifted | None = None
        self.apart_mg = 0
        self.vessel_mg: int | None = None
        self.pitcher_mg: int | None = None

    def become(self, other: "Pan") -> None:
        """Stand as another pan stood: what was put on since is gone again."""
        self.__dict__.update(other.__dict__)

    def put_on(self, load: Load, display_mg: int, mass_mg: int) -> None:
        """Take note of an empty container put on the pan."""
        self.load, self.container_mg, self.zeroed = load, display_mg, None
        self.own_mg = mass_mg
        self.containers_seen = True
        if load is Load.VESSEL:
            self.vessel_mg = mass_mg
        else:
            self.pitcher_mg = mass_mg
            self.pitcher_seen = True

    def certain(self, load: Load, container_mg: int) -> None:
        """Take note that something is poured, so a container must stand there."""
        self.load, self.container_mg, self.zeroed = load, container_mg, None
        self.beaker_seen = self.beaker_seen or load is Load.BEAKER
        if load is Load.PITCHER:
            self.pitcher_away = None

    def take_off(self, mass_mg: int, contents_mg: int) -> None:
        """Take note that the load was taken off."""
        self.lifted = Lifted(self.load, mass_mg, contents_mg)
        if self.load is Load.PITCHER:
            self.pitcher_seen = True
            self._pitcher_goes(self.lifted)
        elif self.load is Load.VESSEL and mass_mg - contents_mg >= LEAST_CONTAINER_MG:
            self.vessel_mg = mass_mg - contents_mg
        self.load, self.container_mg, self.zeroed = Load.NOTHING, None, None
        self.own_mg = None
        self.containers_seen = True

    def _pitcher_goes(self, lifted: Lifted) -> None:
        if not lifted.empty:
            self.pitcher_away = lifted

    def take_off_tared(self, mass_mg: int) -> bool:
        """Tell whether a drop shows that the pitcher was tared, not lifted, and goes only now."""
        away = self.pitcher_away
        if self.load is not Load.UNKNOWN or away is None or not same_mass(mass_mg, away.mass_mg):
            return False
        self.load = Load.PITCHER
        self.take_off(mass_mg, away.contents_mg)
        return True

    def poured_from(self, mass_mg: int) -> None:
        """Take note that so much left the pitcher that is off the scale."""
        away = self.pitcher_away
        if away is not None:
            self.pitcher_away = Lifted(
                away.load, away.mass_mg - mass_mg, max(0, away.contents_mg - mass_mg)
            )

    def zero_from(self, value_mg: int, contents_mg: int, *, swapped: bool) -> bool:
        """Take note of a display that went to zero; tell whether that surely was a tare.

        `swapped` says that a full container would now be taken off or swapped, not tared.
        Otherwise it was a tare where the container is tared already: lifting it would have
        gone below zero, so on a scale that shows pitchers one surely stayed.
        """
        stayed = self.load is Load.PITCHER and self.pitcher_seen and self._tared
        if swapped and not stayed and contents_mg >= LEAST_CONTAINER_MG:
            self.lifted = Lifted(self.load, value_mg, contents_mg)
            if self.load is Load.PITCHER:
                self._pitcher_goes(self.lifted)
            self.load, self.container_mg, self.zeroed = Load.UNKNOWN, None, None
            self.own_mg = None
            return False
        if self.container_mg is not None and self._tared:
            self.container_mg -= value_mg
            return True
        self.zeroed = Zeroed(self.load, value_mg, contents_mg)
        if self.load is Load.PITCHER:
            self._pitcher_goes(Lifted(self.load, value_mg, contents_mg))
        self.load, self.container_mg = Load.UNKNOWN, None
        return False

    def zero_again(self, value_mg: int) -> bool:
        """Take note of a display that went up to zero; tell whether that surely was a tare.

        It was where a container is known to stand there. Otherwise the empty pan was zeroed, or
        something took the place of what was lifted; only by its mass can it be that again.
        """
        if self.load in (Load.PITCHER, Load.VESSEL) and self.container_mg is not None:
            self.container_mg -= value_mg
            return True
        self.own_mg = None
        maybe_back = self.lifted is None or same_mass(-value_mg, self.lifted.mass_mg)
        maybe_back = maybe_back or self._is_vessel(-value_mg)
        self.load = Load.UNKNOWN if maybe_back else Load.NOTHING
        self.container_mg = None
        return False

    def put_back(self, change_mg: int) -> Lifted | None:
        """Return what an abrupt rise by `change_mg` puts back on the pan, or None.

        The caller says where its container stands, by `certain`.
        """
        if (
            self.zeroed is not None
            and self.zeroed.contents_mg
            and same_mass(change_mg, self.zeroed.value_mg)
        ):
            return Lifted(self.zeroed.load, self.zeroed.value_mg, self.zeroed.contents_mg)
        if self.load not in (Load.NOTHING, Load.UNKNOWN):
            return None
        lifted = self.lifted
        if lifted is not None and lifted.recognizable and same_mass(change_mg, lifted.mass_mg):
            return lifted
        return self._pitcher_back(change_mg)

    def _pitcher_back(self, change_mg: int) -> Lifted | None:
        """The pitcher, as it went or with the fragrance that was weighed apart in it."""
        away = self.pitcher_away
        if away is None or away.mass_mg - away.contents_mg < LEAST_CONTAINER_MG:
            return None
        if same_mass(change_mg, away.mass_mg):
            return away
        tipped = away.mass_mg + self.apart_mg
        if not self.apart_mg or not same_mass(change_mg, tipped):
            return None
        self.apart_mg = 0
        return Lifted(away.load, tipped, away.contents_mg + (tipped - away.mass_mg))

    @property
    def _tared(self) -> bool:
        return self.container_mg is not None and self.container_mg <= ZERO_MG

    def is_pitcher(self, mass_mg: int) -> bool:
        """Tell whether a thing put on weighs as much as the empty pitcher, and no vessel does."""
        pitcher = self.pitcher_mg is not None and same_mass(mass_mg, self.pitcher_mg)
        return pitcher and not self._is_vessel(mass_mg)

    def _is_vessel(self, mass_mg: int) -> bool:
        if self.vessel_mg is None:
            return False
        spread_mg = max(VESSELS_DIFFER_MG, self.vessel_mg * VESSELS_DIFFER_PPM // 1_000_000)
        return abs(mass_mg - self.vessel_mg) <= spread_mg

    @property
    def vessel_here(self) -> bool:
        """Whether what is poured goes into something other than the pitcher."""
        tared = self.zeroed is not None and self.zeroed.load is Load.VESSEL
        return self.load in (Load.NOTHING, Load.VESSEL) or tared

    @property
    def maybe_gone_unseen(self) -> bool:
        """Whether the full pitcher seemed tared, but this scale never showed one go anyway."""
        below = self.container_mg is not None and self.container_mg < -LEAST_CONTAINER_MG
        return below and not self.pitcher_seen

    @property
    def empty_away_mg(self) -> int | None:
        """The mass of an empty pitcher that is off the scale, or may be; None where it is not."""
        if self.load is Load.NOTHING and self.lifted is not None:
            return self.lifted.mass_mg if self.lifted.empty else None
        zeroed = self.zeroed
        pitcher = zeroed is not None and zeroed.load is Load.PITCHER
        if pitcher and zeroed is not None and zeroed.contents_mg <= SAME_MG:
            return zeroed.value_mg
        return None


def same_mass(left_mg: int, right_mg: int) -> bool:
    """Tell whether two masses (0.001 g) can be those of one thing put back."""
    return abs(left_mg - right_mg) <= max(SAME_MG, abs(right_mg) * SAME_PPM // 1_000_000)
