"""Every operation of the OpenAPI document, asked with what a generator thinks of.

The document is that of a running application; schemathesis holds each answer against it.
"""

import asyncio
from collections.abc import Iterator
from itertools import cycle
from pathlib import Path
from threading import Event, Thread
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from made_pictures import png
from schemathesis import Case, GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.core.result import Ok
from schemathesis.schemas import APIOperation
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from workshop_at_hand import BENCH, POT, RECIPE, AtHand, at_hand, config

from api.app import describe
from api.server import address, listen, make_server

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
EXAMPLES = 20

AnyCase = Case[Any]
AnyOperation = APIOperation[Any, Any, Any, Any]

ENDLESS = "GET /api/live"
OPERATIONS = {
    f"{method.upper()} {path}": operation
    for path, methods in describe()["paths"].items()
    for method, operation in methods.items()
}
ASKED = [label for label in OPERATIONS if label != ENDLESS]


def can_be_got_wrong(label: str) -> bool:
    """Whether there is a body or a query that could be nonsense."""
    operation = OPERATIONS[label]
    given_in = [parameter["in"] for parameter in operation.get("parameters", [])]
    return "requestBody" in operation or "query" in given_in


CASES = [
    *((GenerationMode.POSITIVE, label) for label in ASKED),
    *((GenerationMode.NEGATIVE, label) for label in filter(can_be_got_wrong, ASKED)),
]


class Running:
    """The service in a thread of its own, with a lot, an alarm and some readings."""

    def __init__(self, folder: Path) -> None:
        self.base = ""
        self.there: dict[str, str] = {}
        self._folder = folder
        self._ready, self._over = Event(), Event()
        self._thread = Thread(target=lambda: asyncio.run(self._serve()))

    def start(self) -> None:
        self._thread.start()
        assert self._ready.wait(10)

    def stop(self) -> None:
        self._over.set()
        self._thread.join(10)
        assert not self._thread.is_alive()

    async def _serve(self) -> None:
        sock = listen("127.0.0.1", 0)
        with sock:
            async with at_hand(config(self._folder)) as hand:
                await self._fill(hand)
                server = make_server(hand.workshop)
                serving = asyncio.create_task(server.serve(sockets=[sock]))
                self.base = address(sock).rstrip("/")
                self._ready.set()
                await asyncio.to_thread(self._over.wait)
                server.stop()
                await serving

    async def _fill(self, hand: AtHand) -> None:
        lot = await hand.open_lot()
        alarm = await hand.alarm(lot)
        plan = {"lots": [{"recipe": RECIPE["name"], "vessels": 2}]}
        day = (await hand.http.post("/api/pour-days", json=plan)).json()["id"]
        await hand.http.post(f"/api/lots/{lot}/notes", json={"text": "one wick leans"})
        await hand.http.post(f"/api/lots/{lot}/photographs", content=png())
        self.there = {"day": day, "lot": lot, "alarm": alarm["id"], "bench": BENCH, "name": POT}
        self.there |= {"note": "n1", "photograph": "p1"}
        self.there["recipe"] = RECIPE["name"]
        other = await hand.open_lot(bench="attic")
        self.there["other"] = other


@pytest.fixture(scope="module")
def running(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    running = Running(tmp_path_factory.mktemp("contract"))
    running.start()
    yield running
    running.stop()


@pytest.fixture(scope="module")
def operations(running: Running) -> dict[str, AnyOperation]:
    """Every operation of the running service's document by its label."""
    document = schemathesis.openapi.from_url(f"{running.base}/api/openapi.json")
    results = document.get_all_operations()
    return {result.ok().label: result.ok() for result in results if isinstance(result, Ok)}


@pytest.mark.parametrize(("mode", "label"), CASES)
def test_every_answer_is_what_the_document_says(
    running: Running, operations: dict[str, AnyOperation], mode: GenerationMode, label: str
) -> None:
    ask_thoroughly(operations[label], mode, running.there)


def test_every_operation_is_asked_but_the_one_that_never_ends(
    operations: dict[str, AnyOperation],
) -> None:
    assert sorted(operations) == sorted([*ASKED, ENDLESS])


def ask_thoroughly(operation: AnyOperation, mode: GenerationMode, there: dict[str, str]) -> None:
    """Ask one operation with generated requests; each answer must keep to the document.

    Every other request is about something that is there: a generated name never is.
    """
    turn = cycle([True, False])

    @given(case=operation.as_strategy(generation_mode=mode))
    @settings(
        max_examples=EXAMPLES,
        deadline=None,
        derandomize=True,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    def ask(case: AnyCase) -> None:
        if next(turn) and mode is GenerationMode.POSITIVE:
            known = {name: there[name] for name in case.path_parameters or {}}
            case.path_parameters = known or case.path_parameters
        answer = case.call_and_validate(checks=CHECKS)
        if mode is GenerationMode.NEGATIVE and case.operation.body:
            assert answer.status_code >= 400, case.as_curl_command()

    ask()
