"""Where other devices find this app, and that address as a picture to scan."""

import io
from functools import lru_cache
from ipaddress import ip_address

from fastapi import Request

from server.settings import Settings


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
