"""Points to a server, so that what it refuses is isolated and nothing else stays behind."""

from collections.abc import Callable, Sequence
from itertools import chain

from collector.store.influx.answers import RefusedError

MOST_POINTS = 5_000
"""Points of one request: what the makers of the server advise, some 50 kB when compressed."""

Refused = tuple[str, str]
"""A line that was refused, and why."""


def deliver(write: Callable[[Sequence[str]], None], lines: Sequence[str]) -> list[Refused]:
    """Write all lines, and return those that are refused for good.

    Writing a line twice changes nothing, so a refused batch is halved until the lines at fault
    stand alone: some 2 log2(n) requests for each. Raises what `write` raises otherwise; then any
    of the lines may be written.
    """
    batches = (lines[at : at + MOST_POINTS] for at in range(0, len(lines), MOST_POINTS))
    return list(chain.from_iterable(_isolated(write, batch) for batch in batches))


def _isolated(write: Callable[[Sequence[str]], None], lines: Sequence[str]) -> list[Refused]:
    try:
        write(lines)
    except RefusedError as refusal:
        # A server that says that it refuses each single one need not be asked for each.
        if len(lines) == 1 or refusal.dropped == len(lines):
            return [(line, refusal.message) for line in lines]
    else:
        return []
    half = len(lines) // 2
    return _isolated(write, lines[:half]) + _isolated(write, lines[half:])
