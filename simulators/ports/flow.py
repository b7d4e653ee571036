"""Waiting for a slow reader, but not for ever."""

import time
from collections.abc import Callable

UNREAD_BYTES = 64  # some three lines of a scale: about half a second of the day
HOLD_S = 0.5
LOOK_AGAIN_S = 0.001


class FlowControl:
    """Holds the day while a reader is behind.

    A reader that takes nothing for `hold_s` real seconds is given up, so that a port without
    a reader costs one hold only; it is waited for again once it has caught up.
    """

    def __init__(self, backlog: Callable[[], int], hold_s: float = HOLD_S) -> None:
        self._backlog = backlog
        self._hold_s = hold_s
        self.given_up = False

    def wait(self) -> None:
        """Return when the reader has caught up, or when it is given up."""
        if self._backlog() <= UNREAD_BYTES:
            self.given_up = False
        elif not self.given_up:
            self._hold()

    def _hold(self) -> None:
        deadline = time.monotonic() + self._hold_s
        while self._backlog() > UNREAD_BYTES:
            if time.monotonic() > deadline:
                self.given_up = True
                return
            time.sleep(LOOK_AGAIN_S)
