"""A bad network between browser and server: a small HTTP proxy that fails on order.

Each request from the browser gets a connection of its own to the server, so that a request can be
held, repeated, or answered to nobody, while the next one goes through.
"""

import asyncio
import contextlib
from collections import Counter
from typing import Literal

from tests.soak.listening import Listener

Mode = Literal["fine", "cut", "slow", "silent", "unanswered", "doubled", "late"]
"""fine        requests pass
cut         connections are refused and open ones broken
slow        each request waits a while before it passes
silent      connections are taken and never answered: a wifi that died unnoticed
unanswered  marks reach the server and are committed, the answer gets lost
doubled     each batch of marks reaches the server twice
late        a batch of marks is lost to the browser and reaches the server after later ones"""

SLOW_S = 0.35
LATE_S = 1.2
WAIT_FOR_SERVER_S = 60


class FaultProxy(Listener):
    """Listens on a port of its own and passes on to `target_port`, as well as its mode allows."""

    patience_s = WAIT_FOR_SERVER_S

    def __init__(self, target_port: int) -> None:
        super().__init__()
        self.done: Counter[str] = Counter()
        self._target_port = target_port
        self._mode: Mode = "fine"
        self._open: set[asyncio.StreamWriter] = set()
        self._held: set[asyncio.Task[None]] = set()
        self._serving: set[asyncio.Task[None]] = set()

    def become(self, mode: Mode) -> None:
        """Fail in this way from now on. Whoever still waits for a silent network is let go."""
        if mode == "cut" or self._mode == "silent":
            self._wait_for(self._break_all())
        self._mode = mode

    def settle(self) -> None:
        """Return when every batch that is late has reached the server."""
        self._wait_for(self._settle())

    async def _break_all(self) -> None:
        for writer in self._open:
            writer.transport.abort()

    async def _end(self) -> list[asyncio.Task[None]]:
        await self._break_all()
        return [*self._serving, *self._held]

    async def _settle(self) -> None:
        if self._held:
            await asyncio.wait(self._held)

    def _take(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        # The loop itself holds a task only weakly, and one that waits for nothing would be lost.
        task = asyncio.create_task(self._serve(reader, writer))
        self._serving.add(task)
        task.add_done_callback(self._serving.discard)

    async def _serve(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        self._open.add(writer)
        with contextlib.suppress(OSError, asyncio.IncompleteReadError):
            request = await read_message(reader)
            answer = await self._answer(request)
            if answer:
                writer.write(answer)
                await writer.drain()
        self._open.discard(writer)
        writer.close()

    async def _answer(self, request: bytes) -> bytes:
        mode, is_batch = self._mode, request.startswith(b"POST /api/")
        if mode == "fine" or (mode in ("unanswered", "doubled", "late") and not is_batch):
            return await self._pass_on(request)
        self.done[mode] += 1
        match mode:
            case "slow":
                await asyncio.sleep(SLOW_S)
            case "silent":
                await asyncio.Event().wait()
            case "doubled":
                await self._pass_on(request)
            case "unanswered":
                await self._pass_on(request)
                return b""
            case "late":
                task = asyncio.create_task(self._pass_on_late(request))
                self._held.add(task)
                task.add_done_callback(self._held.discard)
                return b""
            case "cut":
                return b""
        return await self._pass_on(request)

    async def _pass_on_late(self, request: bytes) -> None:
        await asyncio.sleep(LATE_S)
        for _ in range(40):  # The server may be down just now.
            if await self._pass_on(request):
                return
            await asyncio.sleep(0.25)

    async def _pass_on(self, request: bytes) -> bytes:
        """The server's whole answer; nothing when it is down."""
        try:
            reader, writer = await asyncio.open_connection("127.0.0.1", self._target_port)
            writer.write(request)
            answer = await reader.read()
            writer.close()
        except OSError:
            return b""
        return answer


async def read_message(reader: asyncio.StreamReader) -> bytes:
    """One HTTP request, changed to ask for a connection that closes with its answer."""
    head = await reader.readuntil(b"\r\n\r\n")
    lines = head[:-4].split(b"\r\n")
    kept = [line for line in lines if not line.lower().startswith(b"connection:")]
    length = next(
        (int(line[15:]) for line in kept if line.lower().startswith(b"content-length:")), 0
    )
    body = await reader.readexactly(length)
    return b"\r\n".join([*kept, b"Connection: close", b"", b""]) + body
