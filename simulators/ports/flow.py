"""Waiting for a slow reader, but not for ever."""

import time
from collections.abc import Callable

HOLD_S = 2.0
LOOK_AGAIN_S = 0.0005


class FlowControl:
    """Holds the day while a reader is behind, so that a busy machine slows it and tears no hole.

    A reader that takes nothing for `hold_s` real seconds is given up, so that a port without
    a reader costs one hold only; it is waited for again once it has caught up.
    """

    def __init__(self, behind: Callable[[], bool], hold_s: float = HOLD_S) -> None:
        self._behind = behind
        self._hold_s = hold_s
        self.given_up = False

    def wait(self) -> None:
        """Return when the reader has caught up, or when it is given up."""
        if not self._behind():
            self.given_up = False
        elif not self.given_up:
            self._hold()

    def _hold(self) -> None:
        deadline = time.monotonic() + self._hold_s
        while self._behind():
            if time.monotonic() > deadline:
                self.given_up = True
                return
            time.sleep(LOOK_AGAIN_S)
