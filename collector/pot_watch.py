"""What a lot has drawn out of the pot of its pour day, and what the pot holds after that."""

from collector.batch_sheet import BatchSheet
from collector.pot import InPot, Pot


class PotWatch:
    """Follows the wax of one lot; `told` is None where nobody said what the pot holds."""

    def __init__(self, told: Pot | None, sheet: BatchSheet) -> None:
        self._told = told
        self._sheet = sheet
        self._drawn: dict[int, int] = {}

    def told(self, pot: Pot | None) -> None:
        """Take what was melted, or is needed, by a newer plan of the day."""
        self._told = pot

    def drew(self, pitcher: int, wax_mg: int) -> None:
        """Take the wax of a pitcher (from 1), or what it was corrected to; 0.001 g."""
        self._drawn[pitcher] = wax_mg

    def while_at(self, pitcher: int) -> InPot | None:
        """Return what the pot holds while a pitcher (from 1) is made."""
        if self._told is None:
            return None
        later = (p.wax_mg for p in self._sheet.pitchers if p.number > pitcher)
        left_mg = self._told.wax_mg - sum(self._drawn.values())
        return InPot(max(0, left_mg), self._told.others_mg + sum(later))
