"""What a bench has sent and the hub has not confirmed yet: bounded, in order, sent again."""

from dataclasses import dataclass

import msgspec

MOST = 8
"""Messages under way: enough to keep a slow network busy, few enough to be sent again."""

OVERDUE_S = 10.0
"""A message that is not confirmed by then is sent again."""


class Parcel(msgspec.Struct, frozen=True):
    """Some commits as one message; `numbers` are theirs in the outbox."""

    numbers: tuple[int, ...]
    payload: bytes


@dataclass
class _Waiting:
    parcel: Parcel
    sent_s: float | None = None
    first_s: float | None = None


class Window:
    """The parcels that wait, by their correlation; `spool` makes it unlike any other's.

    Only the first `MOST` are under way. Times are of any clock that only goes forward, in seconds.
    """

    def __init__(self, spool: str) -> None:
        self._spool = spool
        self._waiting: dict[bytes, _Waiting] = {}

    @property
    def has_room(self) -> bool:
        """Whether more could be under way."""
        return len(self._waiting) < MOST

    @property
    def is_empty(self) -> bool:
        """Whether nothing is to be confirmed."""
        return not self._waiting

    def unconfirmed_s(self, now_s: float) -> float:
        """Return for how long the hub has not confirmed something that it was sent."""
        first = (one.first_s for one in self._waiting.values() if one.first_s is not None)
        return max((now_s - first_s for first_s in first), default=0.0)

    def add(self, parcel: Parcel) -> None:
        """Take a parcel; it follows those taken before."""
        name = f"{self._spool}:{parcel.numbers[0]}-{parcel.numbers[-1]}"
        self._waiting[name.encode()] = _Waiting(parcel)

    def due(self, now_s: float) -> list[tuple[bytes, Parcel]]:
        """Return what is to be sent now, in order, each with its correlation."""
        first = list(self._waiting.items())[:MOST]
        return [
            (name, one.parcel)
            for name, one in first
            if one.sent_s is None or now_s - one.sent_s >= OVERDUE_S
        ]

    def sent(self, correlation: bytes, now_s: float) -> None:
        """Take note that a parcel was sent; it may have been confirmed meanwhile."""
        if correlation in self._waiting:
            one = self._waiting[correlation]
            one.sent_s = now_s
            one.first_s = now_s if one.first_s is None else one.first_s

    def confirmed(self, correlation: bytes) -> tuple[int, ...]:
        """Let go of a parcel that the hub has, and return its numbers; none for an unknown one."""
        gone = self._waiting.pop(correlation, None)
        return () if gone is None else gone.parcel.numbers

    def withdraw(self) -> int | None:
        """Let go of what was not sent, and return the first number of it; None if all was.

        Parcels are sent in order, so all that follows that number is let go.
        """
        unsent = [name for name, one in self._waiting.items() if one.sent_s is None]
        gone = [self._waiting.pop(name).parcel for name in unsent]
        return min((parcel.numbers[0] for parcel in gone), default=None)

    def reopen(self) -> None:
        """Take everything as not sent: the way to the hub was interrupted."""
        for one in self._waiting.values():
            one.sent_s = one.first_s = None
