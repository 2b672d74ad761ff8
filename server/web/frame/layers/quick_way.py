"""What is posted most often, marks, is answered before all else of the app.

Each layer that a request passes on its way in, and its answer on the way out, costs little; the
dozen of them cost more than to read a mark and hand it on, and fifty presenters mark at a time.
Here the same is asked of the same layers, in one place. Whatever is not plain goes the usual way,
as if it had come there first: so what is refused, and how that is told, is said nowhere else.
"""

import time
from collections.abc import Collection, Mapping

from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from server.domain.base.numbers import read_whole
from server.logs import begin_request
from server.web.frame.layers.finding import Answer, RouteFinder
from server.web.frame.layers.named import OWN_NAME, Count
from server.web.frame.layers.request_limits import (
    FORM_LIMIT,
    TooLong,
    refuse,
    whole_body,
    with_body,
)
from server.web.frame.layers.security import own_hosts, refusal_of, secured

PLAIN = b"application/json"


class WholeRequest(Request):
    """A request whose body is here already."""

    def __init__(self, scope: Scope, receive: Receive, body: bytes) -> None:
        super().__init__(scope, receive)
        self._whole = body

    async def body(self) -> bytes:
        """All of what was sent."""
        return self._whole


class QuickWay:
    """ASGI middleware: answers a post that has a shortcut, where it is as plain as can be."""

    def __init__(
        self, app: ASGIApp, extra_hosts: Collection[str] = (), count: Count | None = None
    ) -> None:
        self._app = app
        self._hosts = own_hosts(extra_hosts)
        self._count = count

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer the request, or pass it on as it came."""
        headers = _plain_headers(scope)
        answer = None if headers is None else self._answer(scope, headers)
        if headers is None or answer is None:
            await self._app(scope, receive, send)
            return
        began = time.perf_counter()
        try:
            body = await whole_body(receive, FORM_LIMIT)
        except TooLong:
            await refuse(scope, receive, send)
            return
        if body is None:
            return  # Nobody is there to be answered.
        name = begin_request(headers.get(OWN_NAME, b"").decode("latin-1"))
        try:
            said = await answer(WholeRequest(scope, receive, body))
        except Exception:
            # It was refused, and nothing was changed: it is refused again where that is told.
            await self._app(scope, with_body(body, receive), send)
            return
        if self._count is not None:
            self._count(scope, said.status_code, time.perf_counter() - began)
        told = [*secured(said.raw_headers), (OWN_NAME, name.encode())]
        status = said.status_code
        await send({"type": "http.response.start", "status": status, "headers": told})
        await send({"type": "http.response.body", "body": said.body})

    def _answer(self, scope: Scope, headers: Mapping[bytes, bytes]) -> Answer | None:
        """What answers a request at once; None for one that goes the usual way."""
        length = read_whole(headers.get(b"content-length", b"").decode("latin-1"))
        # A length that is not said may be any.
        if length is None or length > FORM_LIMIT:
            return None
        if refusal_of(headers, scope["method"], self._hosts) is not None:
            return None
        finder: RouteFinder = scope["app"].state.finder
        return finder.shortcut(scope)


def _plain_headers(scope: Scope) -> Mapping[bytes, bytes] | None:
    """The headers of a post; None for what is not as plain as can be."""
    if scope["type"] != "http" or scope["method"] != "POST":
        return None
    raw = scope["headers"]
    headers = dict(raw)
    # What is said twice may mean either.
    is_plain = headers.get(b"content-type") == PLAIN and len(headers) == len(raw)
    return headers if is_plain else None
