"""The topics, which are contract."""

from enum import StrEnum

_ROOT = "pourkeep"

HUB_STATE = f"{_ROOT}/hub/state"
"""Retained: whether somebody is there who stores readings and confirms them."""

NO_LOT = "none"
"""Stands for the lot of an alarm that belongs to none."""


class Kind(StrEnum):
    """What a bench's topic is for."""

    READINGS = "readings"  # SenML, from the bench
    STATE = "state"  # retained, from the bench
    STORED = "stored"  # from the hub: what it has on disk


EVERY_BENCH = tuple(f"{_ROOT}/+/{kind}" for kind in (Kind.READINGS, Kind.STATE))
"""What the hub listens to."""


def of_bench(bench: str, kind: Kind) -> str:
    """Return a bench's topic."""
    return f"{_ROOT}/{bench}/{kind}"


def of_alarms(lot: str | None) -> str:
    """Return where the alarms of a lot are told."""
    return f"{_ROOT}/alarms/{lot or NO_LOT}"


def read(topic: str) -> tuple[str, Kind] | None:
    """Return whose topic it is and what for; None for one of the hub's or a stranger's."""
    root, _, rest = topic.partition("/")
    bench, _, kind = rest.rpartition("/")
    if root != _ROOT or topic == HUB_STATE or not bench or kind not in tuple(Kind):
        return None
    return bench, Kind(kind)
