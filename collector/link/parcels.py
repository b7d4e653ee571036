"""Commits of the outbox put together into messages."""

from collections.abc import Iterable, Mapping

from collector.link.window import Parcel
from collector.readings import Quantity, Reading
from collector.senml import encode
from collector.store.consignments import Consignment

READINGS = 500
"""Readings of one message; a commit is never cut, so one of a store that was held up has more."""


def parcels_of(
    consignments: Iterable[Consignment], quantities: Mapping[str, Quantity]
) -> tuple[list[Parcel], list[int]]:
    """Return messages with the readings of some channels, in order, and what needs no message.

    `quantities` tells which channels, and what each measures. The second list are the numbers
    of commits at the end without any of their readings: events, or another bench's.
    """
    parcels: list[Parcel] = []
    numbers: list[int] = []
    readings: list[Reading] = []
    for one in consignments:
        own = [reading for reading in one.readings if reading.channel in quantities]
        if readings and len(readings) + len(own) > READINGS:
            parcels.append(Parcel(tuple(numbers), encode(readings, quantities)))
            numbers, readings = [], []
        numbers.append(one.id)
        readings += own
    if readings:
        parcels.append(Parcel(tuple(numbers), encode(readings, quantities)))
        numbers = []
    return parcels, numbers
