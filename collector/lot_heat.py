"""How warm the wax of one lot is, and whether it was right for what was done with it."""

from collections.abc import Mapping

from collector import advice, rules
from collector.alarm_book import AlarmBook, AlarmKey
from collector.display import Display
from collector.events import AnyDerived
from collector.forecast import Span
from collector.procedure import Where
from collector.readings import Role
from collector.recipes import Recipe
from collector.thermometer import Thermometer
from collector.trace import REACH, SLICE_US

LAG_US = REACH * SLICE_US
"""Until a probe has followed a change of the wax: longer than most need."""


class LotHeat:
    """Follows the thermometers of one lot. Temperatures are 0.001 °C, None where no probe tells.

    Where the scale is `typed` in, an addition is known only when it is over, and so is its heat.
    """

    def __init__(
        self,
        recipe: Recipe,
        display: Display,
        thermometers: Mapping[Role, Thermometer],
        book: AlarmBook,
        *,
        typed: bool = False,
    ) -> None:
        self._recipe = recipe
        self._display = display
        self._thermometers = thermometers
        self._book = book
        self._typed = typed
        self._scented_cool = False
        self._alone_us: int | None = None

    # ------------------------------------------------------------ how warm it is

    def wax_mdegc(self, at_us: int) -> int | None:
        """Return the pitcher's temperature at a time."""
        probe = self._thermometers.get(Role.PITCHER)
        return probe.at(at_us) if probe is not None else None

    def room_mdegc(self, at_us: int) -> int | None:
        """Return the room's temperature."""
        room = self._thermometers.get(Role.ROOM)
        return room.mean(at_us) if room is not None else None

    def wax_now(self, at_us: int) -> advice.WaxNow:
        """Return the pitcher's temperature and what its curve lets expect."""
        probe = self._thermometers.get(Role.PITCHER)
        outlook = None
        if probe is not None:
            outlook = probe.outlook(at_us, self.room_mdegc(at_us), self._alone_us)
        return advice.WaxNow(self.wax_mdegc(at_us), outlook, at_us)

    def wax_ahead(self, mdegc: int, at_us: int) -> Span | None:
        """Return how long after `at_us` the pitcher's probe shows a temperature (0.001 °C).

        None where it will not, or where that cannot be told; `wax_now(at_us).until` says why.
        """
        span = self.wax_now(at_us).until(mdegc)
        return span if isinstance(span, Span) else None

    def disturbed(self, until_us: int) -> None:
        """Take note of fragrance that is in at a time: for a probe it goes on a little longer.

        How fast it cools the wax says nothing about how that cools by itself.
        """
        self._alone_us = until_us + LAG_US

    # ------------------------------------------------------------ whether it was right

    def scented(self, where: Where, pitcher: int, at_us: int) -> list[AnyDerived]:
        """Judge the temperature at which fragrance went in."""
        mdegc = self._then(where, at_us)
        if mdegc is None:
            return []
        window = self._recipe.fragrance.add_between
        self._scented_cool = window is not None and mdegc < window.low_mdegc
        violation = rules.fragrance_temperature(self._recipe, mdegc, self._display)
        return self._raise(where, AlarmKey(rules.FRAGRANCE_TEMPERATURE, pitcher), violation)

    def poured(self, where: Where, pitcher: int, at_us: int) -> list[AnyDerived]:
        """Judge the temperature at which the pour began."""
        mdegc = self._then(where, at_us)
        if mdegc is None:
            return []
        violation = rules.pour_temperature(self._recipe, mdegc, self._display)
        return self._raise(where, AlarmKey(rules.POUR_TEMPERATURE, pitcher), violation)

    def warmed(self, where: Where, pitcher: int) -> list[AnyDerived]:
        """Clear the alarm of a fragrance that went in too cool once the wax is warm enough."""
        window, now = self._recipe.fragrance.add_between, self.wax_mdegc(where.at_us)
        if not self._scented_cool or window is None or now is None or now < window.low_mdegc:
            return []
        key = AlarmKey(rules.FRAGRANCE_TEMPERATURE, pitcher)
        return list(self._book.clear(where, key, f"warmed to {self._display.degrees(now)}"))

    def _then(self, where: Where, at_us: int) -> int | None:
        return self.wax_mdegc(where.at_us if self._typed else at_us)

    def _raise(
        self, where: Where, key: AlarmKey, violation: rules.Violation | None
    ) -> list[AnyDerived]:
        return [] if violation is None else list(self._book.raise_alarm(where, key, violation))
