"""Blocking calls in threads that nobody waits for when the program ends."""

import asyncio
import threading
from collections.abc import Callable
from contextlib import suppress
from typing import TypeVar

T = TypeVar("T")


async def apart(call: Callable[[], T], name: str) -> T:
    """Return what a blocking call returns, or raise what it raises.

    Unlike `asyncio.to_thread`: a server that does not answer must not hold up the end of the
    service, so whoever is cancelled leaves the call behind.
    """
    loop = asyncio.get_running_loop()
    outcome: asyncio.Future[T] = loop.create_future()

    def settle(result: T | None, error: BaseException | None) -> None:
        if outcome.done():
            return
        if error is not None:
            outcome.set_exception(error)
        else:
            outcome.set_result(result)  # type: ignore[arg-type]  # None only where T is

    def run() -> None:
        result, failure = None, None
        try:
            result = call()
        except BaseException as error:  # noqa: BLE001 - handed to whoever waits
            failure = error
        with suppress(RuntimeError):  # the loop is closed: nobody waits any more
            loop.call_soon_threadsafe(settle, result, failure)

    threading.Thread(target=run, name=name, daemon=True).start()
    return await outcome
