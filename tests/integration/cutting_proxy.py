"""A network that breaks: it passes bytes on to a broker and cuts after so many of them."""

import asyncio
import random
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress


class CuttingProxy:
    """Listens, passes on, and cuts each connection after a number of bytes drawn at random."""

    def __init__(self, to_port: int, seed: int, least: int, most: int) -> None:
        self.port = 0
        self.cuts = 0
        self.whole = False
        """Whether the network holds from now on."""
        self.down = False
        """Whether nothing goes through, connections included."""
        self._to_port = to_port
        self._random = random.Random(seed)  # noqa: S311 - no secret
        self._bounds = (least, most)
        self._open: set[asyncio.StreamWriter] = set()

    @asynccontextmanager
    async def running(self) -> AsyncIterator["CuttingProxy"]:
        server = await asyncio.start_server(self._serve, "127.0.0.1", 0)
        self.port = server.sockets[0].getsockname()[1]
        try:
            yield self
        finally:
            server.close()
            self.cut()
            await server.wait_closed()

    def go_down(self) -> None:
        """Let nothing through until `down` is false again."""
        self.down = True
        self.cut()

    def cut(self) -> None:
        """Cut every connection, without a goodbye in either direction."""
        for writer in self._open:
            writer.transport.abort()

    async def _serve(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        if self.down:
            writer.transport.abort()
            return
        left = [self._random.randint(*self._bounds)]
        with suppress(OSError, asyncio.CancelledError):  # the test's loop ends
            from_broker, to_broker = await asyncio.open_connection("127.0.0.1", self._to_port)
            self._open |= {writer, to_broker}
            try:
                async with asyncio.TaskGroup() as tasks:
                    there = tasks.create_task(self._pass(reader, to_broker, left))
                    back = tasks.create_task(self._pass(from_broker, writer, left))
                    there.add_done_callback(lambda _: back.cancel())
                    back.add_done_callback(lambda _: there.cancel())
            finally:
                for end in (writer, to_broker):
                    end.transport.abort()
                    self._open.discard(end)

    async def _pass(
        self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter, left: list[int]
    ) -> None:
        with suppress(OSError):
            while data := await reader.read(1 << 16):
                if not self.whole:
                    data, left[0] = data[: max(left[0], 0)], left[0] - len(data)
                writer.write(data)
                await writer.drain()
                if left[0] <= 0 and not self.whole:
                    self.cuts += 1
                    return
