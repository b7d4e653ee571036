"""The [store] section of workshop.toml: how long readings are kept, and how much room they get."""

from collector.documents import Section
from collector.retention import Retention
from collector.units import Dimension

LEAST_KEPT_US = 7 * 86_400_000_000
"""A lot cures for days or weeks, and is looked at again only then."""

LEAST_BYTES = 50_000_000
"""Less than this holds no month of a busy bench."""


def read_store(section: Section) -> Retention:
    """Return the section's bounds. Raises DocumentError."""
    keep_us = _bound(section, "keep", Dimension.DURATION, LEAST_KEPT_US, "1 week")
    most_bytes = _bound(section, "most", Dimension.SIZE, LEAST_BYTES, "50 MB")
    return Retention(keep_us, most_bytes)


def _bound(
    section: Section, name: str, dimension: Dimension, least: int, written: str
) -> int | None:
    if not section.has(name):
        return None
    bound = section.positive(name, dimension)
    if bound < least:
        section.refuse(f'expected at least "{written}": what is gone does not come back', name)
    return bound
