"""A real workshop over HTTP in this process: its clock and its instruments are the test's."""

import asyncio
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx
import msgspec

from api.app import create_app
from collector.config import ApiConfig, Config
from collector.instrument_config import InstrumentConfig, Manual, SerialScale
from collector.readers.link import Sampled
from collector.readings import ROLE_QUANTITY, Quality, Reading, Role, Sample
from collector.workshop import Workshop

BENCH = "slip"
SCALE = "slip-scale"
JUG = "slip-jug"
POT = "slip-pot"
S_US = 1_000_000
MORNING_US = 1_795_600_000_000_000  # 2026-11-25T09:46:40Z
PATIENCE_S = 10.0

RECIPE: dict[str, Any] = {
    "name": "Grey heron, 120 g",
    "vessel": {"fill": "120 g", "tolerance": "2 g"},
    "pitcher": {"capacity": "800 g", "residue": "12 g"},
    "wax": {"name": "rapeseed blend", "never_above": "92 degC"},
    "fragrance": {
        "name": "reed bed",
        "load": "8 %",
        "load_of": "wax",
        "add_between": ["70 degC", "80 degC"],
    },
    "stir": {"at_least": "30 s"},
    "pour": {"between": ["57 degC", "63 degC"]},
    "set": {"at_least": "24 h"},
    "cure": {"at_least": "7 day"},
}


class HandClock:
    """A clock that stands still until the test moves it on."""

    speed = 50.0  # ticks come every hundredth of a real second

    def __init__(self, now_us: int = MORNING_US) -> None:
        self._now_us = now_us

    def now_us(self) -> int:
        """UTC, microseconds since 1970."""
        return self._now_us

    def pass_s(self, seconds: float) -> int:
        """Move on, and return the time."""
        self._now_us += round(seconds * S_US)
        return self._now_us


def instrument(name: str, bench: str, role: Role) -> InstrumentConfig:
    return InstrumentConfig(name, bench, role, Manual())


def config(data: Path, **changes: object) -> Config:
    """Return a workshop of two benches; nothing falls silent in it."""
    nowhere = SerialScale(str(data / "nowhere"))
    usual = Config(
        name="Slip Street",
        timezone="UTC",
        data=data,
        benches=(BENCH, "attic"),
        instruments=(
            instrument(SCALE, BENCH, Role.SCALE),
            instrument(JUG, BENCH, Role.PITCHER),
            instrument(POT, BENCH, Role.POT),
            InstrumentConfig("attic-scale", "attic", Role.SCALE, nowhere),
        ),
        api=ApiConfig(port=0),
    )
    return msgspec.structs.replace(usual, **changes)


@dataclass
class AtHand:
    """The workshop, its clock, and a client."""

    workshop: Workshop
    clock: HandClock
    http: httpx.AsyncClient

    async def said(self, name: str, role: Role, value: int, quality: Quality = Quality.GOOD) -> int:
        """Let an instrument give a reading now, as a reader's thread would; return its time."""
        now_us = self.clock.now_us()
        sample = Sample(ROLE_QUANTITY[role], value, quality)
        self.workshop.pipeline.inbox.put(Sampled(name, now_us, sample))
        pipeline = self.workshop.pipeline
        await until(lambda: last_us(pipeline.instruments[name].last) >= now_us)
        return now_us

    async def open_lot(self, vessels: int = 2, bench: str = BENCH) -> str:
        """Keep the recipe, open a lot and return its id."""
        assert (await self.http.post("/api/recipes", json=RECIPE)).status_code == 201
        body = {"recipe": RECIPE["name"], "vessels": vessels, "bench": bench}
        answer = await self.http.post("/api/lots", json=body)
        assert answer.status_code == 201, answer.text
        return str(answer.json()["id"])

    async def mark(self, lot: str, phase: str, edge: str) -> httpx.Response:
        """Press the button a second later."""
        self.clock.pass_s(1)
        return await self.http.post(f"/api/lots/{lot}/marks", json={"phase": phase, "edge": edge})

    async def alarm(self, lot: str) -> dict[str, Any]:
        """Stir before there is any wax, and return the alarm of that."""
        for edge in ("begin", "end"):
            assert (await self.mark(lot, "stir", edge)).status_code == 201
        found: list[dict[str, Any]] = await self.got("/api/alarms?state=active")
        (alarm,) = [alarm for alarm in found if alarm["rule"] == "phase-order"]
        return alarm

    async def got(self, path: str) -> Any:  # noqa: ANN401 - whatever JSON there is
        """Return what an address gives."""
        answer = await self.http.get(path)
        assert answer.status_code == 200, answer.text
        return answer.json()


def last_us(reading: Reading | None) -> int:
    return 0 if reading is None else reading.taken_us


def problem(answer: httpx.Response, status: int) -> dict[str, Any]:
    """Return the problem document, after a look at its shape."""
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    document: dict[str, Any] = answer.json()
    assert document["status"] == status
    assert document["type"] == "about:blank"
    assert document["title"]
    assert document["detail"]
    return document


async def until(condition: Callable[[], bool]) -> None:
    """Wait until a condition holds."""
    deadline = time.monotonic() + PATIENCE_S
    while not condition():
        assert time.monotonic() < deadline, "it did not happen"
        await asyncio.sleep(0.005)


@asynccontextmanager
async def at_hand(settings: Config, clock: HandClock | None = None) -> AsyncIterator[AtHand]:
    """Run a workshop with an application around it, without a network."""
    clock = clock or HandClock()
    async with Workshop(settings, clock) as workshop:
        app = create_app(workshop, settings.data / "no-screens")
        transport = httpx.ASGITransport(app=app)
        async with httpx.AsyncClient(transport=transport, base_url="http://127.0.0.1") as http:
            yield AtHand(workshop, clock, http)
