"""How long the other side of a connection is waited for, how long a head, how many connections.

uvicorn waits for ever for a request that was begun and for an answer to be taken, so a device whose
network went away would keep its connection, and what serves it, for good. And it holds a head in
memory however long that gets, before anybody has looked who asks.
"""

import asyncio
import resource
import socket
import struct
from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from uvicorn.protocols.http.httptools_impl import HttpToolsProtocol

FILES_BESIDE = 500
"""Open files that are no connections: the database, what is uploaded, recordings that are heard."""

LOOKS = 10
"""A connection is looked at as often while the patience with it lasts."""

TOO_SLOW = b"The request took too long to arrive. Try again."
TOO_MUCH = b"The request has too much in its head."
_HEADERS = b"content-type: text/plain; charset=utf-8\r\ncontent-length: %d\r\nconnection: close\r\n"
_SLOW = b"HTTP/1.1 408 Request Timeout\r\n" + _HEADERS % len(TOO_SLOW) + b"\r\n" + TOO_SLOW
_MUCH = (
    b"HTTP/1.1 431 Request Header Fields Too Large\r\n"
    + _HEADERS % len(TOO_MUCH)
    + b"\r\n"
    + TOO_MUCH
)

MOST_BESIDE = 128 * 1024
"""Bytes of a request that are not its body: the head, and what parts and ends a body."""


_AT_ONCE = struct.pack("ii", 1, 0)
"""SO_LINGER: on, for no second."""


@dataclass(frozen=True)
class Patience:
    """The limits of one side's silence.

    A head has `request_s`, a body as much and a second more for each `bytes_per_s` of it that
    came: so a large file may come over a slow network, but nothing trickles for ever. An answer may
    wait for `answer_s` without a byte of it being taken; longer, because a player that is paused
    takes none.
    """

    request_s: float = 15.0
    answer_s: float = 60.0
    bytes_per_s: int = 4096
    connections: int = 1000
    """So many at once; beyond them whoever has most gives up those that ask for nothing."""


class PatientProtocol(HttpToolsProtocol):
    """uvicorn's side of a connection, which ends the connection when its patience does."""

    def __init__(self, *more: Any, patience: Patience, **named: Any) -> None:  # noqa: ANN401
        super().__init__(*more, **named)
        self._patience = patience
        self._every_s = min(patience.request_s, patience.answer_s) / LOOKS
        self._next_look: asyncio.TimerHandle | None = None
        self._awaited = ""
        self._since_s = self._looked_s = 0.0
        self._received = self._untaken = self._beside = 0

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to look."""
        super().connection_made(transport)
        self._since_s = self.loop.time()
        self._look()
        if len(self.connections) > self._patience.connections:
            _let_go_of_one(self.connections)

    def connection_lost(self, exc: Exception | None) -> None:
        """Look no more."""
        if self._next_look is not None:
            self._next_look.cancel()
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Count what comes, and take no more of it than a request may have."""
        self._received += len(data)
        self._beside += len(data)
        super().data_received(data)
        if self._beside > MOST_BESIDE and not self.transport.is_closing():
            self._end(_MUCH)

    def on_message_begin(self) -> None:
        """Count a request anew."""
        self._beside = 0
        super().on_message_begin()

    def on_body(self, body: bytes) -> None:
        """Take what is body out of the count: what may be sent is for the app to say."""
        self._beside -= len(body)
        super().on_body(body)

    def on_response_complete(self) -> None:
        """Wait anew: what was awaited before has come."""
        self._awaited = ""
        super().on_response_complete()

    def resume_writing(self) -> None:
        """Take note that much of the answer was taken."""
        self._awaited = ""
        super().resume_writing()

    @property
    def since_s(self) -> float:
        """Since when it waits for what it waits for, by the clock of the loop."""
        return self._since_s

    def is_idle(self) -> bool:
        """Whether nothing is asked for on it just now."""
        return not self.transport.is_closing() and self._what_is_awaited() == "head"

    def let_go(self) -> None:
        """End it: another connection needs its place."""
        self.transport.close()

    def _look(self) -> None:
        now_s = self.loop.time()
        awaited, untaken = self._what_is_awaited(), self.transport.get_write_buffer_size()
        if awaited != self._awaited or untaken < self._untaken:
            self._awaited, self._since_s, self._received = awaited, now_s, 0
        elif awaited == "body" and self.flow.read_paused:
            self._since_s += now_s - self._looked_s  # It is the app that lets it wait.
        self._looked_s, self._untaken = now_s, untaken
        if awaited and now_s - self._since_s >= self._allowed_s():
            self._end()
        else:
            self._next_look = self.loop.call_later(self._every_s, self._look)

    def _what_is_awaited(self) -> str:
        """What the other side is to do: take an answer, send a head or a body, or nothing."""
        if self.transport.get_write_buffer_size():
            return "answer"
        if self.cycle is None or self.cycle.response_complete:
            return "head"
        is_asked = not self.cycle.waiting_for_100_continue
        return "body" if self.cycle.more_body and is_asked else ""

    def _allowed_s(self) -> float:
        if self._awaited == "answer":
            return self._patience.answer_s
        more_s = self._received / self._patience.bytes_per_s if self._awaited == "body" else 0.0
        return self._patience.request_s + more_s

    def _end(self, told: bytes = _SLOW) -> None:
        if self._awaited == "answer" or self.transport.is_closing():
            # Else the system would go on offering what it still holds of the answer.
            taken = self.transport.get_extra_info("socket")
            taken.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, _AT_ONCE)
            self.transport.abort()
            return
        in_body = self._awaited == "body"
        if not self.cycle.response_started if in_body else self._received:
            self.transport.write(told)
        self.transport.close()
        # The other side may not even take that.
        self._next_look = self.loop.call_later(self._every_s, self._look)


def raise_limit_of_files(patience: Patience) -> None:
    """Let this process hold as many connections as it has patience for, where the system does."""
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = patience.connections + FILES_BESIDE
    if soft != resource.RLIM_INFINITY and soft < wanted:
        most = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
        resource.setrlimit(resource.RLIMIT_NOFILE, (most, hard))


def _let_go_of_one(connections: Collection[Any]) -> None:
    """End the connection that has been idle longest at the address that holds most of the idle.

    One address that opens a great many takes so only from itself.
    """
    idle = [each for each in connections if each.is_idle()]
    if not idle:
        return
    crowd = Counter(_address(each) for each in idle)
    largest = max(crowd.values())
    of_crowd = [each for each in idle if crowd[_address(each)] == largest]
    min(of_crowd, key=lambda each: each.since_s).let_go()


def _address(connection: Any) -> str:  # noqa: ANN401
    return connection.client[0] if connection.client else ""
