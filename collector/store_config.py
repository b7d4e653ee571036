"""The [store] section of workshop.toml: how long readings are kept, and how much room they get."""

import msgspec

from collector.documents import Section
from collector.units import Dimension

LEAST_KEPT_US = 7 * 86_400_000_000
"""A lot cures for days or weeks, and is looked at again only then."""

LEAST_BYTES = 50_000_000
"""Less than this holds no month of a busy bench."""


class StoreConfig(msgspec.Struct, frozen=True):
    """How much of the past stays; None sets no bound.

    Readings older than `keep_us` go, and the oldest ones beyond `most_bytes` of the file. The
    journal stays whole, and so do all readings of lots that are open or kept.
    """

    keep_us: int | None = None
    most_bytes: int | None = None


def read_store(section: Section) -> StoreConfig:
    """Return the section's bounds. Raises DocumentError."""
    keep_us = _bound(section, "keep", Dimension.DURATION, LEAST_KEPT_US, "1 week")
    most_bytes = _bound(section, "most", Dimension.SIZE, LEAST_BYTES, "50 MB")
    return StoreConfig(keep_us, most_bytes)


def _bound(
    section: Section, name: str, dimension: Dimension, least: int, written: str
) -> int | None:
    if not section.has(name):
        return None
    bound = section.positive(name, dimension)
    if bound < least:
        section.refuse(f'expected at least "{written}": what is gone does not come back', name)
    return bound
