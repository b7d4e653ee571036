"""What waits for one target: in order, tried again, bounded, and never two sendings at once."""

import asyncio
import threading
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from zoneinfo import ZoneInfo

import pytest

from collector.errors import NoticeError
from collector.notices import box as box_module
from collector.notices import carrier
from collector.notices.box import Box
from collector.notices.message import Kind, Message

ZONE = ZoneInfo("UTC")
PATIENCE_S = 5.0


class StandingClock:
    """A clock that stands."""

    speed = 1.0
    at_us = 1_795_600_000_000_000

    def now_us(self) -> int:
        return self.at_us


class Target:
    """A target that fails, hangs or takes messages, as it is told."""

    def __init__(self) -> None:
        self.got: list[tuple[str, str]] = []
        self.fails: Exception | None = None
        self.open = threading.Event()
        self.open.set()
        self.at_once = 0

    def send(self, subject: str, body: str) -> None:
        self.at_once += 1
        assert self.at_once == 1
        assert self.open.wait(PATIENCE_S)
        self.at_once -= 1
        if self.fails is not None:
            raise self.fails
        self.got.append((subject, body))


@pytest.fixture(autouse=True)
def short_waits(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(box_module, "FIRST_WAIT_S", 0.02)
    monkeypatch.setattr(box_module, "LAST_WAIT_S", 0.04)


@asynccontextmanager
async def running(target: Target, clock: StandingClock | None = None) -> AsyncIterator[Box]:
    box = Box(target, "json hook", clock or StandingClock(), ZONE)
    task = asyncio.create_task(box.run())
    try:
        yield box
    finally:
        task.cancel()
        await asyncio.wait([task])
        target.open.set()


def message(subject: str, kind: Kind = Kind.ALARMS) -> Message:
    return Message(kind, subject, f"body of {subject}", StandingClock.at_us)


async def until(condition: Callable[[], bool]) -> None:
    deadline = time.monotonic() + PATIENCE_S
    while not condition():
        assert time.monotonic() < deadline, "it did not happen"
        await asyncio.sleep(0.005)


def outcome_of(box: Box) -> str | None:
    test = box.state.test
    return None if test is None else test.outcome.value


def subjects(target: Target) -> list[str]:
    return [subject for subject, _ in target.got]


@pytest.mark.asyncio
async def test_messages_go_in_their_order() -> None:
    target = Target()
    async with running(target) as box:
        for name in "abc":
            box.put(message(name))
        await until(lambda: box.state.sent == 3)
    assert target.got[0] == ("a", "body of a")
    assert subjects(target) == ["a", "b", "c"]
    assert (box.state.waiting, box.state.working) == (0, True)


@pytest.mark.asyncio
async def test_what_fails_is_tried_again_until_it_gets_through() -> None:
    target = Target()
    target.fails = NoticeError("It is shut.")
    async with running(target) as box:
        box.put(message("a"))
        box.put(message("b"))
        await until(lambda: box.state.failed >= 2)
        assert (box.state.reason, box.state.waiting) == ("It is shut.", 2)
        target.fails = None
        await until(lambda: box.state.sent == 2)
        assert box.state.working
    assert subjects(target) == ["a", "b"]


@pytest.mark.asyncio
async def test_what_was_tried_for_long_enough_is_given_up_and_counted(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr(box_module, "GIVE_UP_S", 0.1)
    target = Target()
    target.fails = NoticeError("It is shut.")
    async with running(target) as box:
        box.put(message("a"))
        await until(lambda: box.state.lost == 1)
        assert (box.state.waiting, box.state.working) == (0, False)
    assert "given up" in caplog.text


@pytest.mark.asyncio
async def test_what_waits_is_bounded_and_the_oldest_go(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(box_module, "MOST_WAITING", 2)
    target = Target()
    target.open.clear()
    async with running(target) as box:
        for name in "abcd":
            box.put(message(name))
        assert (box.state.waiting, box.state.lost) == (2, 2)
        target.open.set()
        await until(lambda: box.state.sent == 2)
    assert subjects(target) == ["c", "d"]


@pytest.mark.asyncio
async def test_a_test_that_was_asked_for_overtakes_and_lets_the_rest_follow(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(box_module, "FIRST_WAIT_S", 600.0)
    monkeypatch.setattr(box_module, "LAST_WAIT_S", 600.0)
    target = Target()
    target.fails = NoticeError("It is shut.")
    async with running(target) as box:
        box._wait_s = 600.0
        box.put(message("a"))
        await until(lambda: box.state.failed == 1)
        target.fails = None
        box.put(message("test", Kind.TEST))
        await asyncio.wait_for(box.tested.wait(), PATIENCE_S)
        assert outcome_of(box) == "sent"
        await until(lambda: box.state.sent == 2)
    assert subjects(target) == ["test", "a"]


@pytest.mark.asyncio
async def test_a_test_that_was_asked_for_is_tried_once() -> None:
    target = Target()
    target.fails = NoticeError("It is shut.")
    async with running(target) as box:
        box.put(message("test", Kind.TEST))
        assert not box.tested.is_set()
        await asyncio.wait_for(box.tested.wait(), PATIENCE_S)
        await asyncio.sleep(0.1)
        assert (box.state.failed, box.state.waiting) == (1, 0)
        assert box.state.test is not None
        assert (box.state.test.outcome, box.state.test.reason) == ("failed", "It is shut.")


@pytest.mark.asyncio
async def test_a_daily_test_fails_visibly_also_behind_what_does_not_get_through() -> None:
    target = Target()
    target.fails = NoticeError("It is shut.")
    async with running(target) as box:
        box.put(message("a"))
        box.put(message("daily", Kind.DAILY_TEST))
        await asyncio.wait_for(box.tested.wait(), PATIENCE_S)
        assert outcome_of(box) == "failed"
        target.fails = None
        await until(lambda: box.state.sent == 2)
        assert outcome_of(box) == "sent"


@pytest.mark.asyncio
async def test_a_sending_that_hangs_is_a_failure_and_no_second_one_begins(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(carrier, "SEND_S", 0.02)
    target = Target()
    target.open.clear()
    async with running(target) as box:
        box.put(message("a"))
        await until(lambda: box.state.failed >= 3)
        assert box.state.reason == carrier.NO_ANSWER
        box.put(message("test", Kind.TEST))
        await asyncio.wait_for(box.tested.wait(), PATIENCE_S)
        assert target.at_once == 1
        target.open.set()
        await until(lambda: box.state.working and box.state.waiting == 0)
    assert set(subjects(target)) == {"a"}


@pytest.mark.asyncio
async def test_a_defect_of_what_sends_is_told_without_its_words() -> None:
    target = Target()
    target.fails = ValueError("json://a-secret@hook")
    async with running(target) as box:
        box.put(message("a"))
        await until(lambda: box.state.failed >= 1)
        assert box.state.reason == "sending ran into a defect (ValueError)."


@pytest.mark.asyncio
async def test_a_message_that_is_sent_late_says_when_it_was_written() -> None:
    target, clock = Target(), StandingClock()
    clock.at_us += 40 * 60_000_000
    async with running(target, clock) as box:
        box.put(message("a"))
        await until(lambda: box.state.sent == 1)
    assert target.got[0][1].startswith("body of a\n\nWritten at ")


@pytest.mark.asyncio
async def test_a_box_that_is_started_again_goes_on() -> None:
    target = Target()
    target.open.clear()
    async with running(target) as box:
        box.put(message("a"))
        await until(lambda: target.at_once == 1)
    target.at_once = 0
    again = asyncio.create_task(box.run())
    await until(lambda: box.state.sent == 1)
    again.cancel()
    await asyncio.wait([again])
