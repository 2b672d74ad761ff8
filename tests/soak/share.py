"""A small proxy that shares connections out between workers, and goes round one that is dead."""

import asyncio
import contextlib
import threading
from collections.abc import Coroutine
from itertools import count
from typing import Any

from tests.ports import free_port

WAIT_S = 30


class SharingProxy:
    """Listens on a port of its own; each connection goes to the next worker that takes it."""

    def __init__(self, ports: list[int]) -> None:
        self.port = free_port()
        self._ports = ports
        self._turn = count()
        self._listening: asyncio.Server | None = None
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_forever, daemon=True)

    @property
    def url(self) -> str:
        """Where the workers answer together."""
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Listen."""
        self._thread.start()
        self._wait_for(self._listen())

    def stop(self) -> None:
        """Break every connection and listen no more."""
        self._wait_for(self._end())
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(timeout=5)
        self._loop.close()

    def _wait_for(self, work: Coroutine[Any, Any, None]) -> None:
        asyncio.run_coroutine_threadsafe(work, self._loop).result(timeout=WAIT_S)

    async def _listen(self) -> None:
        self._listening = await asyncio.start_server(self._take, "127.0.0.1", self.port)

    async def _end(self) -> None:
        if self._listening is not None:
            self._listening.close()
        others = [task for task in asyncio.all_tasks() if task is not asyncio.current_task()]
        for task in others:
            task.cancel()
        await asyncio.gather(*others, return_exceptions=True)

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
    with contextlib.suppress(OSError):
        while piece := await reader.read(65536):
            writer.write(piece)
            await writer.drain()
    # Whoever ends without a word leaves the other without one too.
    with contextlib.suppress(OSError):
        writer.close()
