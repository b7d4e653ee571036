"""How something that sends commits elsewhere stands."""

from collections.abc import Callable

import msgspec


class SenderState(msgspec.Struct, frozen=True):
    """A sender: `sentence` says how it does, for a person; `waiting` commits are not sent yet."""

    name: str
    sentence: str
    working: bool
    waiting: int = 0


TellState = Callable[[], SenderState]
"""Tells how one sender stands; must not block."""
