"""A small proxy that shares connections out between workers, and goes round one that is dead."""

import asyncio
import contextlib
from itertools import count

from tests.soak.listening import Listener


class SharingProxy(Listener):
    """Listens on a port of its own; each connection goes to the next worker that takes it."""

    def __init__(self, ports: list[int]) -> None:
        super().__init__()
        self._ports = ports
        self._turn = count()

    @property
    def url(self) -> str:
        """Where the workers answer together."""
        return f"http://127.0.0.1:{self.port}"

    async def _end(self) -> list[asyncio.Task[None]]:
        return [task for task in asyncio.all_tasks() if task is not asyncio.current_task()]

    async def _take(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        first = next(self._turn)
        for number in range(len(self._ports)):
            port = self._ports[(first + number) % len(self._ports)]
            try:
                there = await asyncio.open_connection("127.0.0.1", port)
            except OSError:
                continue
            # It is cancelled where the proxy stops.
            with contextlib.suppress(asyncio.CancelledError):
                await asyncio.gather(_pass_on(reader, there[1]), _pass_on(there[0], writer))
            return
        writer.transport.abort()


async def _pass_on(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
    try:
        with contextlib.suppress(OSError):
            while piece := await reader.read(65536):
                writer.write(piece)
                await writer.drain()
    finally:
        # Whoever ends without a word leaves the other without one too; also where the proxy stops.
        writer.close()
