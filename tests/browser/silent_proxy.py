"""A network between browser and service that can fall silent: no byte passes, and no goodbye."""

import asyncio
import threading
from contextlib import suppress
from types import TracebackType
from typing import Self


class SilentProxy:
    """Listens on a port of its own and passes on; use it as a context."""

    def __init__(self, to_port: int) -> None:
        self.port = 0
        self._to_port = to_port
        self._loop = asyncio.new_event_loop()
        self._passing = asyncio.Event()
        self._over = asyncio.Event()
        self._ready = threading.Event()
        self._thread = threading.Thread(target=self._run, name="silent proxy")

    def __enter__(self) -> Self:
        self._thread.start()
        assert self._ready.wait(10)
        return self

    def __exit__(
        self,
        _kind: type[BaseException] | None,
        _error: BaseException | None,
        _trace: TracebackType | None,
    ) -> None:
        self._loop.call_soon_threadsafe(self._over.set)
        self._thread.join()

    def fall_silent(self) -> None:
        """Let nothing through; what is sent meanwhile waits, as in a network's buffers."""
        self._loop.call_soon_threadsafe(self._passing.clear)

    def pass_on(self) -> None:
        """Let through what waits and what comes."""
        self._loop.call_soon_threadsafe(self._passing.set)

    def _run(self) -> None:
        try:
            self._loop.run_until_complete(self._serve())
        finally:
            self._loop.close()

    async def _serve(self) -> None:
        self._passing.set()
        async with asyncio.TaskGroup() as connections:

            def connected(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
                tasks.add(connections.create_task(self._join(reader, writer)))

            tasks: set[asyncio.Task[None]] = set()
            server = await asyncio.start_server(connected, "127.0.0.1", 0)
            self.port = server.sockets[0].getsockname()[1]
            self._ready.set()
            await self._over.wait()
            server.close()
            for task in tasks:
                task.cancel()

    async def _join(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        there, to_service = await asyncio.open_connection("127.0.0.1", self._to_port)
        both = [
            asyncio.create_task(self._pass(reader, to_service)),
            asyncio.create_task(self._pass(there, writer)),
        ]
        try:
            await asyncio.wait(both, return_when=asyncio.FIRST_COMPLETED)
        finally:
            for task in both:
                task.cancel()
            for end in (writer, to_service):
                end.transport.abort()
            await asyncio.gather(*both, return_exceptions=True)

    async def _pass(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        with suppress(OSError):
            while data := await reader.read(1 << 16):
                await self._passing.wait()
                writer.write(data)
                await writer.drain()
