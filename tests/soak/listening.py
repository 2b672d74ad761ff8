"""What listens on a port of its own, in a thread of its own."""

import asyncio
import threading
from collections.abc import Coroutine

from tests.ports import free_port


class Listener:
    """A proxy: what it does with a connection is told by `_take`, how all of them end by `_end`."""

    patience_s = 30
    """So long it waits for what is done in its thread."""

    def __init__(self) -> None:
        self.port = free_port()
        self._listening: asyncio.Server | None = None
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_forever, daemon=True)

    def start(self) -> None:
        """Listen."""
        self._thread.start()
        self._wait_for(self._listen())

    def stop(self) -> None:
        """Break every connection and listen no more."""
        self._wait_for(self._end_all())
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(timeout=5)
        self._loop.close()

    def _wait_for(self, work: Coroutine[object, object, object]) -> None:
        asyncio.run_coroutine_threadsafe(work, self._loop).result(timeout=self.patience_s)

    async def _listen(self) -> None:
        self._listening = await asyncio.start_server(self._take, "127.0.0.1", self.port)

    async def _end_all(self) -> None:
        if self._listening is not None:
            self._listening.close()
        tasks = await self._end()
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)

    def _take(
        self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter
    ) -> Coroutine[object, object, None] | None:
        raise NotImplementedError

    async def _end(self) -> list[asyncio.Task[None]]:
        """Break what is open; returns the tasks that are to be cancelled."""
        raise NotImplementedError
