"""The thread of a reader: started once, stopped promptly."""

import logging
import threading
import time
from collections.abc import Callable

from collector.readers.link import Pulse

JOIN_S = 2.0
"""How long `stop` waits: ten times the longest that a port blocks in `read`."""

_LOG = logging.getLogger(__name__)


class ReadingThread:
    """Runs `work` again and again until stopped.

    This is the supervision point of all readers: an error that nobody foresaw is handed to
    `stumbled`, and the work goes on after `pause_s` real seconds. One defect on one line must
    not cost the rest of a pour day.
    """

    def __init__(
        self,
        name: str,
        work: Callable[[], None],
        stumbled: Callable[[Exception], None],
        pause_s: float = 1.0,
    ) -> None:
        self._work = work
        self._stumbled = stumbled
        self._pause_s = pause_s
        self._stopping = threading.Event()
        self._marked_s = time.monotonic()
        self._thread = threading.Thread(target=self._run, name=f"read {name}", daemon=True)

    @property
    def stopping(self) -> bool:
        """Whether the work should come to its end."""
        return self._stopping.is_set()

    def wait(self, real_s: float) -> bool:
        """Wait so many real seconds, or until stopped; return whether stopped."""
        self.mark()
        stopped = self._stopping.wait(real_s)
        self.mark()
        return stopped

    def mark(self) -> None:
        """Say that the work gets on; to be called where it may go on for long."""
        self._marked_s = time.monotonic()

    def pulse(self) -> Pulse:
        """Return how the thread does."""
        return Pulse(self._thread.is_alive(), time.monotonic() - self._marked_s)

    def start(self) -> None:
        """Begin. Raises RuntimeError if called twice."""
        self._thread.start()

    def stop(self) -> None:
        """Ask the work to end and wait for it, at most `JOIN_S`."""
        self._stopping.set()
        if self._thread.ident is None or self._thread is threading.current_thread():
            return
        self._thread.join(JOIN_S)
        if self._thread.is_alive():
            _LOG.error("thread %r did not end within %s s", self._thread.name, JOIN_S)

    def _run(self) -> None:
        while not self.stopping:
            self.mark()
            try:
                self._work()
            except Exception as error:  # noqa: BLE001 - the supervision point, see the class
                _LOG.exception("%s stumbled", self._thread.name)
                self._stumbled(error)
                self.wait(self._pause_s)
