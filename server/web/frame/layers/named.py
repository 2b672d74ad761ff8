"""A name for every request: in its answer, and beside whatever the log says of it."""

import time
from collections.abc import Callable

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from server.logs import begin_request

OWN_NAME = b"x-request-id"
"""The header that carries the name of a request, and a proxy's name for it."""

Count = Callable[[Scope, int, float], None]
"""Told the request, the status of its answer and the seconds until that began."""


class NameRequests:
    """ASGI middleware: gives each request a name, and has its answer counted if asked to."""

    def __init__(self, app: ASGIApp, count: Count | None = None) -> None:
        self._app = app
        self._count = count

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, its name in the answer's X-Request-ID."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        name = begin_request(Headers(scope=scope).get(OWN_NAME.decode(), ""))
        began = time.perf_counter()

        async def send_named(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message["headers"], (OWN_NAME, name.encode())]
                if self._count is not None:
                    self._count(scope, message["status"], time.perf_counter() - began)
            await send(message)

        await self._app(scope, receive, send_named)
