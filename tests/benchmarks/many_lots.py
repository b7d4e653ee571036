"""The same lot on many days, each under an id of its own, as a store of a whole year has them."""

import asyncio
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import msgspec

from collector.events import AnyEvent, decode
from collector.readings import Reading
from collector.store import Store

DAY_US = 86_400_000_000
MOMENTS = frozenset({"at_us", "began_us", "ended_us", "from_us", "to_us", "since_us", "until_us"})

Made = tuple[list[Reading], list[AnyEvent]]


def days_later(made: Made, days: int) -> Made:
    """Return a lot as it would have been some days later, with the day at the end of its id."""
    readings, journal = made
    lot = journal[0].lot or ""
    moved = [
        msgspec.structs.replace(reading, taken_us=reading.taken_us + days * DAY_US)
        for reading in readings
    ]
    return moved, [_event_later(event, lot, days) for event in journal]


def _event_later(event: AnyEvent, lot: str, days: int) -> AnyEvent:
    body = _moved(msgspec.to_builtins(event), days)
    text = msgspec.json.encode(body).decode().replace(f'"{lot}', f'"{lot}{days:03}')
    return decode(text.encode())


def _moved(value: Any, days: int) -> Any:  # noqa: ANN401 - whatever JSON there is
    if not isinstance(value, dict):
        return value
    return {
        key: inner + days * DAY_US if key in MOMENTS and inner else _moved(inner, days)
        for key, inner in value.items()
    }


def store_lots(folder: Path, lots: Iterable[tuple[Sequence[Reading], Sequence[AnyEvent]]]) -> Path:
    """Store some lots, each in one commit; return the folder."""

    async def commit() -> None:
        store = Store.open(folder)
        for readings, journal in lots:
            await store.commit(readings, journal)
        store.close()

    asyncio.run(commit())
    return folder
