"""The event stream: what happens at the benches, as it happens."""

import asyncio
import logging
import re
from collections.abc import AsyncIterator
from typing import Annotated, Any

import msgspec
from fastapi import APIRouter, Header
from fastapi.responses import StreamingResponse
from pydantic import BaseModel

from api import presenting
from api.dependencies import Running
from api.health import notice_of
from api.instants import instant
from api.live_shapes import Told
from api.lot_reading import read_record
from collector.alarms import Alarm
from collector.conclusions import (
    PhaseBegan,
    PhaseEnded,
    PhaseWithdrawn,
    WeighingAccepted,
    WeighingWithdrawn,
)
from collector.errors import StoreError
from collector.guidance import BenchStatus
from collector.instrument_state import InstrumentState
from collector.live import Happened, Notice, Screen, Shown
from collector.lot_events import (
    LotClosed,
    LotJudged,
    LotKept,
    LotOpened,
    LotReleased,
    MarkWithdrawn,
    PotTold,
)
from collector.readings import Reading
from collector.service_events import ClockStepped
from collector.workshop import Workshop

router = APIRouter(prefix="/api", tags=["live"])

BEAT_S = 2.0
"""How often a screen hears that the service is alive: values are stale after three seconds."""

MISSED_READINGS_US = 1_800_000_000
"""How far back missed readings are sent again; older ones are in the stored curve."""

CHUNK = 500
"""Missed events are read in pieces of this many."""

_LOG = logging.getLogger(__name__)
_OF_A_LOT = (
    LotOpened,
    LotClosed,
    LotJudged,
    LotKept,
    LotReleased,
    PotTold,
    MarkWithdrawn,
    PhaseWithdrawn,
    WeighingWithdrawn,
)
"""Events after which a lot is shown anew."""

_CURSOR = re.compile(r"([0-9]{1,18})-([0-9]{1,18})")  # what 64 bits hold, and a little less


class Cursor(msgspec.Struct):
    """Where a screen is: the last event and the last reading it was told."""

    seq: int
    taken_us: int

    def __str__(self) -> str:
        return f"{self.seq}-{self.taken_us}"

    @classmethod
    def read(cls, text: str | None) -> "Cursor | None":
        """Return the cursor that `Last-Event-ID` names, None where it names none."""
        found = _CURSOR.fullmatch(text or "")
        return cls(int(found[1]), int(found[2])) if found is not None else None


class EventStream(StreamingResponse):
    """Server-sent events."""

    media_type = "text/event-stream"


STREAM: dict[int | str, dict[str, Any]] = {
    200: {"model": Told, "description": "An event for each thing that happens, named as here."}
}


@router.get("/live", response_class=EventStream, responses=STREAM)
async def live(
    workshop: Running, last_event_id: Annotated[str | None, Header()] = None
) -> StreamingResponse:
    """Stream readings, phases, weighings, alarms and lots; resumes after Last-Event-ID."""
    return EventStream(
        Stream(workshop, Cursor.read(last_event_id)).messages(),
        headers={"Cache-Control": "no-store", "X-Accel-Buffering": "no"},
    )


class Stream:
    """The stream to one screen."""

    def __init__(self, workshop: Workshop, missed_after: Cursor | None) -> None:
        self._workshop = workshop
        self._missed_after = missed_after
        self._cursor = Cursor(0, 0)
        self._began_us = 0
        self._told_us: dict[str, int] = {}

    async def messages(self) -> AsyncIterator[str]:
        """Give what was missed, where the bench stands, and then whatever happens.

        Ends where the store cannot be read or the clock was set; the screen comes back and asks
        again.
        """
        yield "retry: 1000\n\n"
        with self._workshop.pipeline.live.screen() as screen:
            try:
                await self._begin()
                async for text in self._missed():
                    yield text
                for bench in self._workshop.pipeline.benches:
                    yield await self._message(self._workshop.pipeline.status(bench))
                async for text in self._follow(screen):
                    yield text
            except StoreError as error:
                _LOG.warning("a screen's stream ends: %s", error.message)

    async def _begin(self) -> None:
        """Stand where the screen was last, or now where it is new or comes from another store."""
        await self._workshop.pipeline.write_now()
        last = await asyncio.to_thread(self._workshop.history.last_seq)
        now_us = self._workshop.clock.now_us()
        missed = self._missed_after
        if missed is None or missed.seq > last or missed.taken_us > now_us:
            self._missed_after = None
            self._cursor = Cursor(last, now_us)
        else:
            self._cursor = Cursor(missed.seq, missed.taken_us)
        self._began_us = self._cursor.taken_us

    async def _follow(self, screen: Screen) -> AsyncIterator[str]:
        loop = asyncio.get_running_loop()
        beat_at = loop.time()
        yield self._beat()
        async for notice in screen.notices(BEAT_S / 2):
            if self._workshop.stopping.is_set():
                return
            if loop.time() - beat_at >= BEAT_S:
                beat_at = loop.time()
                yield self._beat()
            if isinstance(notice, Happened) and isinstance(notice.event, ClockStepped):
                return  # nothing that the screen has is of this time: it comes back and asks anew
            if notice is not None:
                text = await self._message(notice)
                if text:
                    yield text

    async def _missed(self) -> AsyncIterator[str]:
        """Give the events and readings since the screen was last here."""
        if self._missed_after is None:
            return
        history, now_us = self._workshop.history, self._workshop.clock.now_us()
        while True:
            stored = await asyncio.to_thread(history.events_after, self._cursor.seq, CHUNK)
            for entry in stored:
                alarms = self._workshop.pipeline.ledger.concerned(entry.event)
                yield await self._message(Happened(entry.seq, entry.event, alarms))
            if len(stored) < CHUNK:
                break
        since_us = max(self._missed_after.taken_us + 1, now_us - MISSED_READINGS_US)
        channels = {i.name: i.channel() for i in self._workshop.config.instruments}
        readings = await asyncio.to_thread(self._readings, list(channels), since_us, now_us)
        for reading in readings:
            yield await self._message(Shown(channels[reading.channel], reading))

    def _readings(self, channels: list[str], since_us: int, until_us: int) -> list[Reading]:
        return list(self._workshop.history.bench_readings(channels, since_us, until_us))

    def _beat(self) -> str:
        now = instant(self._workshop.clock.now_us())
        trouble = self._workshop.pipeline.trouble
        notice = notice_of(self._workshop)
        return self._text("beat", {"now": now, "trouble": trouble, "notice": notice})

    async def _message(self, notice: Notice) -> str:
        """Return the message for a notice, an empty text where the screen knows it already."""
        if isinstance(notice, Shown):
            taken_us = notice.reading.taken_us
            if taken_us <= self._told_us.get(notice.channel.name, self._began_us):
                return ""
            self._told_us[notice.channel.name] = taken_us
            self._cursor.taken_us = max(self._cursor.taken_us, taken_us)
            return self._text("reading", presenting.reading(notice.channel, notice.reading))
        if isinstance(notice, BenchStatus):
            return self._text("bench", presenting.bench(notice, self._workshop.clock.now_us()))
        if isinstance(notice, InstrumentState):
            rejected = self._workshop.rejected(notice.instrument.name)
            return self._text("instrument", presenting.instrument(notice, rejected))
        if isinstance(notice, Alarm):
            return self._alarms(notice)
        return await self._new(notice)

    async def _new(self, notice: Happened) -> str:
        if notice.seq <= self._cursor.seq:
            return ""
        self._cursor.seq = notice.seq
        return await self._event(notice)

    async def _event(self, happened: Happened) -> str:
        event = happened.event
        whose = {"lot": event.lot, "bench": event.bench}
        if happened.alarms:
            return self._alarms(*happened.alarms)
        if isinstance(event, PhaseBegan | PhaseEnded):
            return self._text("phase", {**_plain(presenting.phase(event)), **whose})
        if isinstance(event, WeighingAccepted):
            return self._text("weighing", {**_plain(presenting.weighing(event)), **whose})
        if isinstance(event, _OF_A_LOT) and event.lot is not None:
            record = await asyncio.to_thread(read_record, self._workshop.history, event.lot)
            return self._text("lot", presenting.lot_entry(record))
        return ""

    def _alarms(self, *alarms: Alarm) -> str:
        now_us = self._workshop.clock.now_us()
        shown = (presenting.alarm(alarm, now_us) for alarm in alarms)
        return "".join(self._text("alarm", alarm) for alarm in shown)

    def _text(self, name: str, body: BaseModel | dict[str, Any]) -> str:
        plain = _plain(body) if isinstance(body, BaseModel) else body
        data = msgspec.json.encode(plain).decode()
        return f"id: {self._cursor}\nevent: {name}\ndata: {data}\n\n"


def _plain(body: BaseModel) -> dict[str, Any]:
    return body.model_dump(by_alias=True)
