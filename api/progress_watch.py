"""Whether collection and writing really get on, or hang and are better started again."""

import asyncio
from collections.abc import Sequence
from typing import Protocol

from collector.batch import Batch
from collector.readers.link import Reader

COMMIT_S = 20.0
"""A commit that takes longer hangs. A card that syncs slowly takes some seconds at the worst."""

BEAT_S = 60.0
"""The pipeline's beat may wait behind three commits that are as slow as that."""

READER_S = 30.0
"""A bus of thermometers marks each of them, and a port gives up by itself after a moment."""


class Collecting(Protocol):
    """What collects: a workshop, or a bench without a screen."""

    @property
    def beat_s(self) -> float | None:
        """The event loop's time of its latest beat, None before the first."""
        ...

    @property
    def batch(self) -> Batch:
        """What is not on disk yet."""
        ...

    @property
    def readers(self) -> Sequence[Reader]:
        """The threads that read."""
        ...


def stuck(collecting: Collecting) -> list[str]:
    """Return what hangs, a sentence each; nothing where all gets on.

    A store that refuses is not stuck: it is asked again every two seconds, and what came
    meanwhile is in memory, which a restart would lose.
    """
    now_s = asyncio.get_running_loop().time()
    return [
        *(
            text
            for text in (stuck_beat(collecting, now_s), stuck_commit(collecting, now_s))
            if text
        ),
        *filter(None, map(stuck_reader, collecting.readers)),
    ]


def stuck_beat(collecting: Collecting, now_s: float) -> str | None:
    """Return that the pipeline hangs, None where it does not."""
    beat_s = collecting.beat_s
    if beat_s is None or now_s - beat_s < BEAT_S:
        return None
    return f"Nothing has moved for {now_s - beat_s:.0f} s."


def stuck_commit(collecting: Collecting, now_s: float) -> str | None:
    """Return that a commit hangs, None where it does not."""
    since_s = collecting.batch.committing_since_s
    if since_s is None or now_s - since_s < COMMIT_S:
        return None
    return f"A write to the disk has not come to its end for {now_s - since_s:.0f} s."


def stuck_reader(reader: Reader) -> str | None:
    """Return that a reader's thread hangs or has ended, None where it gets on."""
    pulse, names = reader.pulse(), ", ".join(reader.names)
    if not pulse.alive:
        return f"The thread that reads {names} has ended."
    if pulse.age_s >= READER_S:
        return f"The thread that reads {names} has not moved for {pulse.age_s:.0f} s."
    return None
