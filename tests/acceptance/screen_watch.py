"""A screen that keeps all it is told, with the moment it was told."""

import json
import threading
import time
from types import TracebackType
from typing import Any, NamedTuple, Self

import httpx

PATIENCE_S = 10.0
JOURNAL = ("phase", "weighing", "alarm", "lot")


class Told(NamedTuple):
    """One event of the stream, and when it came in seconds since 1970."""

    at_s: float
    id: str
    name: str
    data: dict[str, Any]

    @property
    def seq(self) -> int:
        """Return the number in the journal up to which the screen is."""
        return int(self.id.partition("-")[0])


class ScreenWatch:
    """Follows the event stream in the background, for as long as the context lasts."""

    def __init__(self, base: str, last_id: str | None = None) -> None:
        self.told: list[Told] = []
        self.ended = threading.Event()
        self._base = base
        self._last_id = last_id
        self._leaving = threading.Event()
        self._changed = threading.Condition()
        self._thread = threading.Thread(target=self._follow, name="screen watch")

    def __enter__(self) -> Self:
        self._thread.start()
        self.wait_for(lambda told: told.name == "beat")
        return self

    def __exit__(
        self,
        _kind: type[BaseException] | None,
        _error: BaseException | None,
        _trace: TracebackType | None,
    ) -> None:
        self._leaving.set()
        self._thread.join(PATIENCE_S)

    def _follow(self) -> None:
        headers = {} if self._last_id is None else {"Last-Event-ID": self._last_id}
        timeout = httpx.Timeout(PATIENCE_S)
        try:
            with (
                httpx.Client(timeout=timeout, trust_env=False) as client,
                client.stream("GET", f"{self._base}/api/live", headers=headers) as answer,
            ):
                self._read(answer)
        except httpx.TransportError:
            pass  # the service was killed: that is told by `ended`
        finally:
            self.ended.set()

    def _read(self, answer: httpx.Response) -> None:
        fields: dict[str, str] = {}
        for line in answer.iter_lines():
            name, _, value = line.partition(": ")
            if line:
                fields[name] = value
            elif "event" in fields:
                told = Told(time.time(), fields["id"], fields["event"], json.loads(fields["data"]))
                with self._changed:
                    self.told.append(told)
                    self._changed.notify_all()
                fields = {}
            if self._leaving.is_set():
                return

    def wait_for(self, wanted: object, patience_s: float = PATIENCE_S) -> Told:
        """Return the first message that a callable accepts, once it has come."""
        assert callable(wanted)
        deadline = time.monotonic() + patience_s
        with self._changed:
            while True:
                for told in self.told:
                    if wanted(told):
                        return told
                left_s = deadline - time.monotonic()
                assert left_s > 0, f"it was not told; told last: {self.told[-5:]}"
                self._changed.wait(left_s)

    def alarm(self, rule: str, patience_s: float = PATIENCE_S) -> Told:
        """Return the first message of an alarm of that rule."""
        return self.wait_for(
            lambda told: told.name == "alarm" and told.data["rule"] == rule, patience_s
        )

    def weighing(self, kind: str, vessel: int | None = None) -> Told:
        """Return the first message of that weighing."""
        return self.wait_for(
            lambda told: (
                told.name == "weighing"
                and (told.data["kind"], told.data["vessel"]) == (kind, vessel)
            )
        )

    def journal(self) -> list[Told]:
        """Return what comes from the journal."""
        return [told for told in self.told if told.name in JOURNAL]
