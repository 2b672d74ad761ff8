"""What every answer carries, and which requests are not answered at all.

A self-hosted app on a LAN: no other site may post its forms (checked by Fetch metadata where the
browser sends it, by Origin on plain http, where it does not), no page may load or ask anything
elsewhere, and a name that is not ours is refused (DNS rebinding).
"""

import ipaddress
import socket
from collections.abc import Collection, Iterable, Mapping
from functools import lru_cache
from urllib.parse import urlsplit

from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

POLICY = (
    "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "font-src 'self'; connect-src 'self'; media-src 'self' blob:; object-src 'none'; "
    "base-uri 'none'; frame-ancestors 'none'; form-action 'self'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Permissions-Policy": "microphone=(self), camera=(self), geolocation=()",
}
_RAW_HEADERS = [
    (name.lower().encode("latin-1"), value.encode("latin-1")) for name, value in HEADERS.items()
]
RawHeader = tuple[bytes, bytes]
SAFE_METHODS = {"GET", "HEAD", "OPTIONS"}
ASKED_AS, ASKED_BY = b"x-forwarded-host", b"x-forwarded-proto"
"""By which name, and over what, a proxy says that it was asked."""

LOCAL_SUFFIXES = (".local", ".lan", ".home.arpa", ".internal")


class Guard:
    """ASGI middleware: refuses foreign hosts and forms, adds the security headers."""

    def __init__(self, app: ASGIApp, extra_hosts: Collection[str] = ()) -> None:
        self._app = app
        self._hosts = own_hosts(extra_hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer the request, or pass it on with headers added to its answer."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        # Of what is said twice the first counts.
        headers = dict(reversed(scope["headers"]))
        refusal = refusal_of(headers, scope["method"], self._hosts)
        app = self._app if refusal is None else PlainTextResponse(refusal, 403)

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = secured(message["headers"])
            await send(message)

        await app(scope, receive, send_with_headers)


class PublicAddress:
    """ASGI middleware: gives a request the host and scheme of the public address it came by.

    A proxy may speak https outside and http to this app, and ask by another name than it was asked
    by. Whoever set it up told the address (NINEFIFTY_URL): so a page knows that it is secure, its
    cookies are kept for https alone, and a form comes from the site that it is sent to.

    It is told by the name it asks for, by a proxy's header, or by the page that posts. A header
    can be made up by a page under a foreign name that leads here: one by such a name stays as it
    is, and is refused.
    """

    def __init__(self, app: ASGIApp, url: str, extra_hosts: tuple[str, ...] = ()) -> None:
        parts = urlsplit(url)
        self._app = app
        self._scheme = parts.scheme
        self._origin = f"{parts.scheme}://{parts.netloc}".lower().encode()
        self._host = parts.netloc.lower().encode()
        self._hosts = own_hosts(extra_hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, as asked under the public address where it was."""
        if scope["type"] == "http":
            headers = dict(reversed(scope["headers"]))
            host = headers.get(b"host", b"")
            if self._is_public(headers, host) and is_ours(host, self._hosts):
                self._put(scope, headers.get(ASKED_BY, b""))
        await self._app(scope, receive, send)

    def _is_public(self, headers: dict[bytes, bytes], host: bytes) -> bool:
        asked_as = headers.get(ASKED_AS, b"").split(b",")[0].strip()
        return (
            host.lower() == self._host
            or asked_as.lower() == self._host
            or headers.get(b"origin", b"").lower() == self._origin
        )

    def _put(self, scope: Scope, asked_by: bytes) -> None:
        # A proxy that says it was asked over http is believed: cookies for https alone would be
        # thrown away by that browser.
        if asked_by.split(b",")[0].strip().lower() != b"http":
            scope["scheme"] = self._scheme
        others = [each for each in scope["headers"] if each[0] != b"host"]
        scope["headers"] = [(b"host", self._host), *others]


def secured(headers: Iterable[RawHeader]) -> list[RawHeader]:
    """The headers of an answer, with those that every answer carries."""
    raw = list(headers)
    set_already = {name for name, _ in raw}
    return raw + [each for each in _RAW_HEADERS if each[0] not in set_already]


def own_hosts(extra_hosts: Collection[str]) -> frozenset[str]:
    """The names of this app's own, beside those that can be no others'."""
    return frozenset((socket.gethostname().lower(), *(host.lower() for host in extra_hosts)))


def refusal_of(headers: Mapping[bytes, bytes], method: str, hosts: Collection[str]) -> str | None:
    """Why a request is not answered at all; None for one that is."""
    if not is_ours(headers.get(b"host", b""), hosts):
        return (
            "This address is not one of this app's. Open it by its IP address, or name the "
            "host in NINEFIFTY_HOSTS."
        )
    if method not in SAFE_METHODS and not _is_same_origin(headers):
        return (
            "This form was sent from another site and was refused. If a proxy stands before this "
            "app, NINEFIFTY_URL must be the address that people open, or the proxy must pass on "
            "the name it was asked by (Host)."
        )
    return None


def is_ours(host: bytes, hosts: Collection[str]) -> bool:
    """Whether what a request asks for can be nobody's but this app's."""
    # A name without a dot cannot be a public one, so it cannot be rebound.
    name = _host_name(host.decode("latin-1"))
    is_local = "." not in name or name.endswith(LOCAL_SUFFIXES)
    return is_local or name in hosts or is_ip_address(name)


def _is_same_origin(headers: Mapping[bytes, bytes]) -> bool:
    site = headers.get(b"sec-fetch-site")
    if site is not None:
        return site in (b"same-origin", b"none")
    origin = headers.get(b"origin")
    return origin is not None and origin.split(b"://", 1)[-1] == headers.get(b"host")


def _host_name(host: str) -> str:
    if host.startswith("["):
        return host[1:].split("]")[0]
    return host.rsplit(":", 1)[0].lower()


@lru_cache(maxsize=256)
def is_ip_address(name: str) -> bool:
    """Whether a host in an address is a number, not a name."""
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True
