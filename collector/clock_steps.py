"""Steps of the system's clock: what is one, when time may follow it, and what moves with it.

Pure: how far the clock is off comes in with each look.
"""

from collections.abc import Iterable, Mapping

import msgspec

from collector.readings import Reading

LEAST_US = 500_000
"""Less is no step: nobody sees it, and a clock that is disciplined never goes that far."""

WHOLE_US = 1_000
"""A step is followed in whole milliseconds, in which readings are timed."""


class Stretch(msgspec.Struct, frozen=True):
    """Readings of one bench that belong to no lot and were all taken on the same time.

    They begin at `since_us`: the start of the service, the end of a lot or the last step. At
    `after_us`, before them, is the latest that stays where it is.
    """

    after_us: int
    since_us: int

    def after(self, us: int) -> "Stretch":
        """Return what of it comes after a time."""
        if us <= self.after_us:
            return self
        return Stretch(us, max(self.since_us, us + 1))


class Move(msgspec.Struct, frozen=True):
    """How readings after `after_us`, until `until_us`, move with a step of `by_us`.

    Where the true times of the first of them would lie before `after_us`, they are `drawn_in`:
    the last one moves by `by_us` and the distances shrink, at most by half, so that the order
    stays. Some may be a microsecond apart, so only `places` keeps them from meeting.
    """

    after_us: int
    until_us: int
    by_us: int
    drawn_in: bool = False

    def moved(self, at_us: int) -> int:
        """Return where a time goes that has no neighbors."""
        if not self.after_us < at_us <= self.until_us:
            return at_us
        if not self.drawn_in:
            return at_us + self.by_us
        span_us = self.until_us - self.after_us
        return self.after_us + (at_us - self.after_us) * (span_us + self.by_us) // span_us

    def places(self, times: Iterable[int]) -> dict[int, int]:
        """Return where each of the times of a channel goes: in the same order, no two to one.

        Drawn in, none meets what stays at `after_us`, nor goes further than the last may.
        """
        ordered = sorted({at_us for at_us in times if self.after_us < at_us <= self.until_us})
        if not self.drawn_in:
            return {at_us: at_us + self.by_us for at_us in ordered}
        to_us, places = self.after_us, {}
        for still, at_us in zip(range(len(ordered))[::-1], ordered, strict=True):
            to_us = max(self.moved(at_us), to_us + 1)
            places[at_us] = min(to_us, self.until_us + self.by_us - still)
        return places


Places = Mapping[str, Mapping[int, int]]
"""Where times go, by channel."""


def moved_readings(readings: Iterable[Reading], places: Places) -> list[Reading]:
    """Return readings where they go; one that is not named stays."""
    nowhere: Mapping[int, int] = {}
    return [
        msgspec.structs.replace(reading, taken_us=to_us)
        if (to_us := places.get(reading.channel, nowhere).get(reading.taken_us)) is not None
        else reading
        for reading in readings
    ]


class StepWatch:
    """Tells a step of the system's clock from a slip: one that two looks in a row have seen.

    `stored_us` is the latest that was stored before the service began: a clock that says
    something earlier is wrong, and cannot be followed.
    """

    def __init__(self, stored_us: int) -> None:
        self.known_us = 0
        """By how much the service's time is known to be wrong; 0 where it is right."""
        self.behind = False
        """Whether the system's clock says what cannot be, so that nobody knows the time."""
        self._stored_us = stored_us
        self._seen_us = 0

    def look(self, off_us: int, now_us: int) -> None:
        """Take how much later the system's clock is than the service's time."""
        off_us = round(off_us / WHOLE_US) * WHOLE_US if abs(off_us) > LEAST_US else 0
        seen_us, self._seen_us = self._seen_us, off_us
        if abs(off_us - seen_us) > LEAST_US:
            return
        self.behind = off_us != 0 and now_us + off_us <= self._stored_us
        if self.behind:
            self.known_us = 0
        elif abs(off_us - self.known_us) > LEAST_US or off_us == 0:
            self.known_us = off_us

    def followed(self) -> None:
        """Take it that the service's time has followed."""
        self.known_us = self._seen_us = 0


def moves(
    by_us: int, now_us: int, latest_us: int, stretches: Mapping[str, Stretch]
) -> dict[str, Move] | None:
    """Return how the readings of each bench move if time follows a step now.

    Returns None while that would put something before what came before it. `latest_us` is the
    time of the last event. No lot is open.
    """
    if by_us < 0 and now_us + by_us <= latest_us:
        return None
    made = {bench: _move(by_us, now_us, stretch) for bench, stretch in stretches.items()}
    possible = {bench: move for bench, move in made.items() if move is not None}
    return possible if len(possible) == len(made) else None


def _move(by_us: int, now_us: int, stretch: Stretch) -> Move | None:
    # A reading's time may be rounded down from the first moment.
    if by_us > 0 or stretch.since_us - WHOLE_US + by_us > stretch.after_us:
        return Move(stretch.after_us, now_us, by_us)
    # Half the distance is left at the least: an hour of readings must not crawl.
    if now_us - stretch.after_us < -2 * by_us:
        return None
    return Move(stretch.after_us, now_us, by_us, drawn_in=True)
