"""What a request may be before a page is asked: not too large, and here to its last byte.

A page is asked only once the whole request has arrived. Whatever it then holds (a thread, the one
writer), it holds for as long as its own work takes, never for as long as a network does. Files are
the exception: too large for the memory, they are put down on the disk as they arrive, by pages
that hold nothing meanwhile. How long a request may take to arrive, `server.patience` says.
"""

from starlette.datastructures import Headers
from starlette.middleware.body_limit import RequestBodyLimitMiddleware
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from server.domain.whole.exchange import LARGEST_FILE
from server.store.tracks import MOST_BYTES
from server.web.frame.errors import HTTP_WORDS, answer

MB = 1024 * 1024
FILES = {"/import": 4 * LARGEST_FILE, "/music/": MOST_BYTES + 4 * MB}
"""Start of a path that takes files -> most bytes. A file may be larger than one that is taken in:
up to here the person is told so beside the field."""

FORM_LIMIT = MB
"""For all others: several texts of the longest kind, in any script; a part of a recording."""


class SizeLimit:
    """ASGI middleware: refuses what is too large, and passes on what is here as a whole."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer the request, or pass it on with its body held to the limit."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        most = most_bytes(scope["path"])
        said = Headers(scope=scope).get("content-length", "")
        if said.isdigit() and int(said) > most:
            await _refuse(scope, receive, send)
        elif most > FORM_LIMIT:
            await RequestBodyLimitMiddleware(self._app, most)(scope, receive, send)
        else:
            await self._pass_on_whole(scope, receive, send)

    async def _pass_on_whole(self, scope: Scope, receive: Receive, send: Send) -> None:
        body = bytearray()
        more = True
        while more:
            message = await receive()
            if message["type"] == "http.disconnect":
                return  # Nobody is there to be answered.
            body += message.get("body", b"")
            more = message.get("more_body", False)
            if len(body) > FORM_LIMIT:
                await _refuse(scope, receive, send)
                return
        await self._app(scope, _with_body(bytes(body), receive), send)


def most_bytes(path: str) -> int:
    """The most bytes that may be sent to a path."""
    return next((most for start, most in FILES.items() if path.startswith(start)), FORM_LIMIT)


def _with_body(body: bytes, receive: Receive) -> Receive:
    """`receive` as if the body had come in one piece, and then whatever comes."""
    unread: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

    async def next_message() -> Message:
        return unread.pop() if unread else await receive()

    return next_message


async def _refuse(scope: Scope, receive: Receive, send: Send) -> None:
    await answer(Request(scope), 413, "http", HTTP_WORDS[413])(scope, receive, send)
