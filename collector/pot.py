"""What the pot of a pour day holds for one lot, as that lot is told of it; 0.001 g."""

import msgspec


class Pot(msgspec.Struct, frozen=True):
    """The pot without what stays on its wall.

    `wax_mg` is what was melted less what the other lots of the day have drawn, so that only
    this lot's own drawing is still to come off; `others_mg` is what the others still need.
    """

    wax_mg: int
    others_mg: int


class InPot(msgspec.Struct, frozen=True):
    """The pot while one pitcher is made: what is left in it, and what is to come out of it.

    `needed_mg` is for the other lots and for this lot's later pitchers.
    """

    left_mg: int
    needed_mg: int

    def holds(self, mg: int) -> bool:
        """Tell whether so much can be drawn."""
        return mg <= self.left_mg

    def spare_mg(self, taken_mg: int = 0) -> int:
        """Return what is left over for nobody after so much more; negative where it is short."""
        return self.left_mg - taken_mg - self.needed_mg
