"""Chance that repeats itself: the same seed gives the same day."""

from random import Random


def seeded(seed: int) -> Random:
    """Return a source of chance for habits and noise."""
    return Random(seed)  # noqa: S311 - a simulation that can be repeated, nothing secret
