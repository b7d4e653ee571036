import asyncio
import logging

import pytest

from collector import companions as companions_module
from collector.companions import Companions


class Stumbling:
    """Fails a number of times, then runs."""

    name = "stumbling"

    def __init__(self, times: int) -> None:
        self.left = times
        self.running = asyncio.Event()
        self.stopped = False

    async def run(self) -> None:
        if self.left:
            self.left -= 1
            raise ZeroDivisionError("a defect")
        self.running.set()
        try:
            await asyncio.Event().wait()
        finally:
            self.stopped = True


@pytest.fixture(autouse=True)
def short_waits(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(companions_module, "FIRST_WAIT_S", 0.01)


@pytest.mark.asyncio
async def test_one_that_fails_is_told_and_started_again_while_the_other_runs(
    caplog: pytest.LogCaptureFixture,
) -> None:
    weak, strong = Stumbling(2), Stumbling(0)
    beside = Companions([weak, strong])
    beside.start()
    await asyncio.sleep(0)
    await asyncio.sleep(0)
    assert "a defect" in beside.failures["stumbling"]
    await asyncio.wait_for(weak.running.wait(), 5)
    assert strong.running.is_set()
    assert beside.failures == {}
    await beside.stop()
    assert weak.stopped
    assert strong.stopped
    assert len([r for r in caplog.records if r.levelno >= logging.ERROR]) == 2


@pytest.mark.asyncio
async def test_stopping_ends_one_that_waits_to_be_started_again() -> None:
    weak = Stumbling(1_000)
    beside = Companions([weak])
    beside.start()
    await asyncio.sleep(0.005)
    await asyncio.wait_for(beside.stop(), 5)
    left = weak.left
    assert left < 1_000, "it had failed and waited"
    assert [task for task in asyncio.all_tasks() if task.get_name() == "companion-stumbling"] == []
    await asyncio.sleep(0.05)
    assert weak.left == left, "it is not started again"


class Lingering:
    """Takes a while to end."""

    name = "lingering"

    def __init__(self) -> None:
        self.ended = False

    async def run(self) -> None:
        try:
            await asyncio.Event().wait()
        finally:
            await asyncio.sleep(0.02)
            self.ended = True


@pytest.mark.asyncio
async def test_one_who_is_cancelled_while_stopping_learns_of_it() -> None:
    beside = Companions([Lingering()])
    beside.start()
    await asyncio.sleep(0)
    stopping = asyncio.create_task(beside.stop())
    await asyncio.sleep(0)
    stopping.cancel()
    with pytest.raises(asyncio.CancelledError):
        await stopping
