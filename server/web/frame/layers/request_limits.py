"""What a request may be before a page is asked: readable, not too large, here to its last byte.

A page is asked only once the whole request has arrived. Whatever it then holds (a thread, the one
writer), it holds for as long as its own work takes, never for as long as a network does. Files are
the exception: too large for the memory, they are put down on the disk as they arrive, by pages
that hold nothing meanwhile. How long a request may take to arrive, `server.patience` says.
"""

from python_multipart.multipart import parse_options_header
from starlette.datastructures import Headers
from starlette.middleware.body_limit import RequestBodyLimitMiddleware
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from server.domain.base.media import MOST_OF_CAPTIONS
from server.domain.base.numbers import read_whole
from server.domain.base.photographs import MOST_OF_PHOTOGRAPH
from server.domain.whole.exchange import LARGEST_FILE
from server.store.uploads.tracks import MOST_BYTES
from server.web.frame.errors import HTTP_WORDS, answer

MB = 1024 * 1024
FILES = {
    "/import": LARGEST_FILE + 4 * MB,
    "/music/": MOST_BYTES + 4 * MB,
    "/photographs/": MOST_OF_PHOTOGRAPH + 4 * MB,
    "/takes/": MOST_OF_CAPTIONS + MB,
}
"""Start of a path that takes files -> most bytes. A file may be larger than one that is taken in:
up to here the person is told so beside the field."""

STREAMED = ("/import", "/music/")
"""What is too large to be held in memory until it is here as a whole."""

FORMS = (b"application/x-www-form-urlencoded", b"multipart/form-data")

NOTHING = "\0"
"""A letter that no keyboard has and PostgreSQL keeps in no text: no address with it leads anywhere.
"""

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
        headers = Headers(scope=scope)
        most = most_bytes(scope["path"])
        if NOTHING in scope["path"] or b"%00" in scope["query_string"]:
            await refuse(scope, receive, send, 404)
        elif is_written_strangely(headers.get("content-type", "")):
            await refuse(scope, receive, send, 415)
        elif (read_whole(headers.get("content-length", "")) or 0) > most:
            await refuse(scope, receive, send)
        elif scope["path"].startswith(STREAMED):
            await RequestBodyLimitMiddleware(self._app, most)(scope, receive, send)
        else:
            await self._pass_on_whole(scope, receive, send, most)

    async def _pass_on_whole(self, scope: Scope, receive: Receive, send: Send, most: int) -> None:
        try:
            body = await whole_body(receive, most)
        except TooLong:
            await refuse(scope, receive, send)
            return
        if body is not None:
            await self._app(scope, with_body(body, receive), send)


class TooLong(Exception):
    """More came than may."""


async def whole_body(receive: Receive, most: int) -> bytes | None:
    """All that is sent; None where nobody is there any more to be answered. Raises TooLong."""
    body = bytearray()
    more = True
    while more:
        message = await receive()
        if message["type"] == "http.disconnect":
            return None
        body += message.get("body", b"")
        more = message.get("more_body", False)
        if len(body) > most:
            raise TooLong
    return bytes(body)


def most_bytes(path: str) -> int:
    """The most bytes that may be sent to a path."""
    return next((most for start, most in FILES.items() if path.startswith(start)), FORM_LIMIT)


def is_written_strangely(content_type: str) -> bool:
    """Whether a form says that it is written in anything but UTF-8.

    Python decodes by the name of any codec it has, some of which read no text or fail at it.
    """
    kind, options = parse_options_header(content_type)
    charset = options.get(b"charset", b"utf-8").lower()
    return kind in FORMS and charset not in (b"utf-8", b"utf8")


def with_body(body: bytes, receive: Receive) -> Receive:
    """`receive` as if the body had come in one piece, and then whatever comes."""
    unread: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

    async def next_message() -> Message:
        return unread.pop() if unread else await receive()

    return next_message


async def refuse(scope: Scope, receive: Receive, send: Send, status: int = 413) -> None:
    """Answer why a request is not read."""
    await answer(Request(scope), status, "http", HTTP_WORDS[status])(scope, receive, send)
