"""A blocking call gives back what it returns or raises, and is left behind when cancelled."""

import asyncio
import threading

import pytest

from collector.apart import apart


@pytest.mark.asyncio
async def test_a_call_gives_its_result_from_a_thread_that_ends_with_the_program() -> None:
    found = await apart(lambda: (threading.current_thread().daemon, 7), "a-name")
    assert found == (True, 7)


@pytest.mark.asyncio
async def test_a_call_that_raises_raises_here() -> None:
    def fail() -> None:
        raise ValueError("no")

    with pytest.raises(ValueError, match="no"):
        await apart(fail, "a-name")


@pytest.mark.asyncio
async def test_whoever_is_cancelled_does_not_wait_for_the_call() -> None:
    begun, go_on = threading.Event(), threading.Event()

    def block() -> bool:
        begun.set()
        return go_on.wait(10)

    task = asyncio.create_task(apart(block, "a-name"))
    await asyncio.to_thread(begun.wait)
    task.cancel()
    with pytest.raises(asyncio.CancelledError):
        await asyncio.wait_for(task, 1)
    go_on.set()
    await asyncio.sleep(0.05)  # the late result finds nobody, and disturbs nobody
