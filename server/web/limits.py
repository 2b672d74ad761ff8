"""How large a request may be: a larger one is refused in words, before it fills the memory."""

from starlette.datastructures import Headers
from starlette.middleware.body_limit import RequestBodyLimitMiddleware
from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from server.domain.exchange import LARGEST_FILE
from server.store.tracks import MOST_BYTES
from server.web.errors import HTTP_WORDS, answer

MB = 1024 * 1024
LIMITS = {"/import": 4 * LARGEST_FILE, "/music/": MOST_BYTES + 4 * MB, "/api/": MB}
"""Start of a path -> most bytes. A file may be larger than one that is taken in: up to here the
person is told so beside the field."""

FORM_LIMIT = MB
"""For all others: several texts of the longest kind, in any script."""


class SizeLimit:
    """ASGI middleware: refuses what says that it is too large, and stops what turns out to be."""

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
            refusal = answer(Request(scope), 413, "http", HTTP_WORDS[413])
            await refusal(scope, receive, send)
        else:
            await RequestBodyLimitMiddleware(self._app, most)(scope, receive, send)


def most_bytes(path: str) -> int:
    """The most bytes that may be sent to a path."""
    return next((most for start, most in LIMITS.items() if path.startswith(start)), FORM_LIMIT)
