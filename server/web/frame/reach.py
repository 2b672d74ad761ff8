"""Where other devices find this app, and that address as a picture to scan."""

import io
import re
from functools import lru_cache
from ipaddress import ip_address

from fastapi import Request

from server.settings import Settings

FORWARDED = frozenset({b"forwarded", b"via", b"x-forwarded-for", b"x-forwarded-host", b"x-real-ip"})
"""Headers by which a proxy tells that it asks for somebody else."""

HOST_HERE = re.compile(rb"(localhost|[\d.]+|\[[\da-f:.]+\])(:\d+)?", re.IGNORECASE)
"""How a browser names the machine that it runs on."""


def address_for_others(request: Request) -> str | None:
    """The address others open, without a path; None where no other device can reach this one.

    It is the one the person uses, unless that leads every device to itself.
    """
    settings: Settings = request.app.state.settings
    base = settings.public_url
    if not base and not is_only_here(request.url.hostname or ""):
        base = f"{request.url.scheme}://{request.url.netloc}"
    if not base:
        # Imported here: it brings what draws QR codes, which the app need not load to start.
        from server.announce import lan_address, tablet_url

        port = request.url.port or (443 if request.url.scheme == "https" else 80)
        base = tablet_url(settings, port, lan_address(), request.url.scheme) or ""
    return base or None


def qr_svg(url: str, title: str) -> bytes:
    """The QR code of an address as an SVG file."""
    import segno

    drawn = io.BytesIO()
    segno.make(url, micro=False).save(drawn, kind="svg", scale=8, light="#ffffff", title=title)
    return drawn.getvalue()


@lru_cache(maxsize=256)
def is_only_here(host: str) -> bool:
    """Whether a host in an address is this machine as it calls itself: localhost, 127.0.0.1."""
    try:
        address = ip_address(host)
    except ValueError:
        return host == "localhost"
    mapped = getattr(address, "ipv4_mapped", None)
    return bool((mapped or address).is_loopback)


def is_secure(request: Request) -> bool:
    """Whether browsers let this page do what they let pages do over https alone.

    They let one on their own machine, too (W3C, Secure Contexts, 3.1).
    """
    return request.url.scheme == "https" or is_only_here(request.url.hostname or "")


def is_here(request: Request) -> bool:
    """Whether a browser on this machine asks, under a name that leads only here.

    What a proxy forwards comes from this machine too: it is told by its headers, by its name, or
    by speaking HTTP/1.0, which no browser does and some proxies do where nobody set them up.
    """
    headers = request.scope["headers"]
    if any(name in FORWARDED for name, _ in headers) or request.scope["http_version"] == "1.0":
        return False
    hosts = [value for name, value in headers if name == b"host"]
    peer, _ = request.scope["client"] or ("", 0)
    return len(hosts) == 1 and is_only_here(peer) and _leads_here(hosts[0])


@lru_cache(maxsize=256)
def _leads_here(host: bytes) -> bool:
    # Of a name that no browser would ask by nothing is guessed.
    named = HOST_HERE.fullmatch(host)
    return named is not None and is_only_here(named[1].decode().strip("[]").lower())
