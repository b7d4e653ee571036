"""The event stream: what happens at the benches, as it happens."""

import asyncio
import logging
from collections.abc import AsyncIterator
from typing import Annotated, Any

import msgspec
from fastapi import APIRouter, Header, Query
from fastapi.responses import StreamingResponse
from pydantic import BaseModel

from api import instrument_reading, presenting
from api.dependencies import Running
from api.health import notice_of
from api.instants import instant
from api.live_shapes import Told
from api.lot_reading import read_record
from api.stream_cursor import Cursor
from collector.alarms import Alarm
from collector.conclusions import (
    FragranceApart,
    PhaseBegan,
    PhaseEnded,
    PhaseWithdrawn,
    WeighingAccepted,
    WeighingWithdrawn,
)
from collector.errors import StoreError
from collector.guidance import BenchStatus
from collector.instrument_state import InstrumentState
from collector.late import AHEAD_US
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
from collector.note_events import (
    NoteTakenBack,
    NoteWritten,
    PhotographKept,
    PhotographTakenBack,
)
from collector.readings import Reading
from collector.service_events import CalibrationWithdrawn, ClockStepped, InstrumentCalibrated
from collector.workshop import Workshop

router = APIRouter(prefix="/api", tags=["live"])

BEAT_S = 1.0
"""How often a screen hears that the service is alive: values are stale after three seconds."""

MISSED_READINGS_US = 60_000_000
"""How far back missed readings are sent again. Older ones are in the stored curve: as messages,
an hour of them would keep service and screen busy for seconds."""

CHUNK = 500
"""Missed events are read in pieces of this many."""

BREATH = 50
"""After so many missed readings everything else that the service does has a turn."""

_LOG = logging.getLogger(__name__)
_OF_A_LOT = (
    LotOpened,
    LotClosed,
    LotJudged,
    LotKept,
    LotReleased,
    PotTold,
    NoteWritten,
    NoteTakenBack,
    PhotographKept,
    PhotographTakenBack,
    MarkWithdrawn,
    PhaseWithdrawn,
    WeighingWithdrawn,
    FragranceApart,
)
"""Events after which a lot is shown anew."""


class EventStream(StreamingResponse):
    """Server-sent events."""

    media_type = "text/event-stream"


STREAM: dict[int | str, dict[str, Any]] = {
    200: {"model": Told, "description": "An event for each thing that happens, named as here."}
}


After = Annotated[
    str | None,
    Query(description="the id of the last message, for who cannot send the header Last-Event-ID"),
]


@router.get("/live", response_class=EventStream, responses=STREAM)
async def live(
    workshop: Running, last_event_id: Annotated[str | None, Header()] = None, after: After = None
) -> StreamingResponse:
    """Stream readings, phases, weighings, alarms and lots.

    It resumes after the message that Last-Event-ID names, else the one that `after` names.
    """
    return EventStream(
        Stream(workshop, Cursor.read(last_event_id or after)).messages(),
        headers={"Cache-Control": "no-store", "X-Accel-Buffering": "no"},
    )


class Stream:
    """The stream to one screen."""

    def __init__(self, workshop: Workshop, missed_after: Cursor | None) -> None:
        self._workshop = workshop
        self._missed_after = missed_after
        self._benches = list(workshop.pipeline.benches)
        self._cursor = Cursor(0, [])
        self._told_us: dict[str, int] = {}
        """The latest reading of each channel that the screen knows or need not be told."""

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
        missed = self._missed_after
        latest_us = self._workshop.clock.now_us() + AHEAD_US
        if missed is None or missed.seq > last or max(missed.taken_us) > latest_us:
            self._missed_after = None
            self._cursor = Cursor(last, [self._latest_us(bench) for bench in self._benches])
        else:
            self._cursor = missed.at(len(self._benches))
        began_us = dict(zip(self._benches, self._cursor.taken_us, strict=True))
        instruments = self._workshop.config.instruments
        self._told_us = {i.name: began_us[i.bench] for i in instruments}

    def _latest_us(self, bench: str) -> int:
        """Return when the latest reading of a bench was taken: it is in the stored curve."""
        states = self._workshop.pipeline.instruments.values()
        last = (state.last for state in states if state.instrument.bench == bench)
        return max((reading.taken_us for reading in last if reading is not None), default=0)

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
                    await asyncio.sleep(0)  # lets a screen that is gone be known before the next

    async def _missed(self) -> AsyncIterator[str]:
        """Give the events and readings since the screen was last here."""
        if self._missed_after is None:
            return
        history = self._workshop.history
        while True:
            stored = await asyncio.to_thread(history.events_after, self._cursor.seq, CHUNK)
            for entry in stored:
                alarms = self._workshop.pipeline.ledger.concerned(entry.event)
                yield await self._message(Happened(entry.seq, entry.event, alarms))
            if len(stored) < CHUNK:
                break
        channels = {i.name: i.channel() for i in self._workshop.config.instruments}
        readings = await asyncio.to_thread(self._readings, list(channels))
        for number, reading in enumerate(readings):
            if number % BREATH == 0:
                await asyncio.sleep(0)
            yield await self._message(Shown(channels[reading.channel], reading))

    def _readings(self, channels: list[str]) -> list[Reading]:
        until_us = self._workshop.clock.now_us() + AHEAD_US
        since_us = max(min(self._cursor.taken_us) + 1, until_us - AHEAD_US - MISSED_READINGS_US)
        return list(self._workshop.history.bench_readings(channels, since_us, until_us))

    def _beat(self) -> str:
        now = instant(self._workshop.clock.now_us())
        trouble = self._workshop.pipeline.trouble
        notice = notice_of(self._workshop)
        return self._text("beat", {"now": now, "trouble": trouble, "notice": notice})

    async def _message(self, notice: Notice) -> str:
        """Return the message for a notice, an empty text where the screen knows it already."""
        if isinstance(notice, Shown):
            return self._reading(notice)
        if isinstance(notice, BenchStatus):
            return self._text("bench", presenting.bench(notice, self._workshop.clock.now_us()))
        if isinstance(notice, InstrumentState):
            return self._text("instrument", instrument_reading.instrument(self._workshop, notice))
        if isinstance(notice, Alarm):
            return self._alarms(notice)
        return await self._new(notice)

    def _reading(self, shown: Shown) -> str:
        channel, taken_us = shown.channel, shown.reading.taken_us
        if taken_us <= self._told_us[channel.name]:
            return ""
        self._told_us[channel.name] = taken_us
        place = self._benches.index(channel.bench)
        self._cursor.taken_us[place] = max(self._cursor.taken_us[place], taken_us)
        return self._text("reading", presenting.reading(shown))

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
        if isinstance(event, InstrumentCalibrated | CalibrationWithdrawn):
            state = instrument_reading.state_of(self._workshop, event.instrument)
            return self._text("instrument", instrument_reading.instrument(self._workshop, state))
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
