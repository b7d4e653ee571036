"""How the commands about a store say numbers, times and faults."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime

from collector.store.faults import Fault

SHOWN = 20
"""Faults that are listed at once: a page of a terminal. One damaged page can bring thousands."""


def counted(number: int, thing: str) -> str:
    """Write a number of things."""
    return f"{number:,} {thing}{'' if number == 1 else 's'}"


def moment(at_us: int) -> str:
    """Write a time; a data folder knows no time zone, so it stays in UTC.

    A damaged one can lie beyond every calendar: then it is its number.
    """
    try:
        at = datetime.fromtimestamp(at_us // 1_000_000, UTC)
    except (ValueError, OverflowError, OSError):
        return f"an impossible time ({at_us} us)"
    return f"{at:%Y-%m-%d %H:%M:%S} UTC"


def megabytes(size: int) -> str:
    """Write a number of bytes."""
    return f"{size / 1e6:,.1f} MB"


def fault_lines(faults: Sequence[Fault], shown: int = SHOWN) -> Iterator[str]:
    """Write faults in lines, each with its place; of many only the first."""
    for fault in faults[:shown]:
        yield f"  {fault.place}: {fault.sentence}"
    if len(faults) > shown:
        yield f"  … and {len(faults) - shown:,} more: pourkeep verify --all lists them."


def joined(parts: Iterable[str]) -> str:
    """Write parts after each other, as a list in a sentence."""
    *most, last = parts
    return f"{', '.join(most)} and {last}" if most else last
