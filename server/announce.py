"""What the terminal says once the app runs: where to open it, here and on the tablet."""

import io
import ipaddress
import socket

import segno

from server.settings import Settings

EVERY_INTERFACE = ("0.0.0.0", "::")  # noqa: S104  # compared with, not listened on
DOCUMENTATION_ADDRESS = "192.0.2.1"  # RFC 5737: belongs to nobody


def lan_address() -> str | None:
    """This machine's IPv4 address on its network, or None where it has none.

    Nothing is sent: connecting a datagram socket only makes the system choose a way out, and the
    socket then knows the address of that side.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect((DOCUMENTATION_ADDRESS, 9))
            address: str = probe.getsockname()[0]
        except OSError:
            return None
    return None if _is_only_here(address) else address


def local_url(settings: Settings, port: int) -> str:
    """The address to open on this machine."""
    everywhere = settings.host in EVERY_INTERFACE or _is_only_here(settings.host)
    return _url("localhost" if everywhere else settings.host, port)


def tablet_url(settings: Settings, port: int, lan: str | None) -> str | None:
    """The address to open elsewhere, or None where only this machine can."""
    if settings.public_url:
        return settings.public_url
    if settings.host in EVERY_INTERFACE:
        return _url(lan, port) if lan else None
    return None if _is_only_here(settings.host) else _url(settings.host, port)


def announcement(settings: Settings, port: int, lan: str | None, *, colour: bool) -> str:
    """The whole text, QR code included; `colour` where the terminal understands it."""
    here = f"\n  Ninefifty on this machine   {local_url(settings, port)}\n"
    kept = f"  Data are kept in {settings.data_dir}. Stop with Ctrl+C.\n"
    elsewhere = tablet_url(settings, port, lan)
    if elsewhere is None:
        return f"{here}  {_why_only_here(settings)}\n{kept}"
    tablet = f"  On a tablet or phone        {elsewhere}   (scan to open)\n"
    return f"{here}{tablet}\n{qr_code(elsewhere, colour=colour)}\n{kept}"


def qr_code(url: str, *, colour: bool) -> str:
    """The QR code of an address, drawn with half blocks.

    With `colour` it is white and black whatever the terminal's own colours: many cameras refuse
    a code in negative.
    """
    drawing = io.StringIO()
    segno.make(url, micro=False).terminal(out=drawing, compact=True)
    lines = drawing.getvalue().splitlines()
    if colour:
        lines = [f"\033[97;40m{line}\033[0m" for line in lines]
    return "".join(f"  {line}\n" for line in lines)


def _why_only_here(settings: Settings) -> str:
    if settings.host in EVERY_INTERFACE:
        return "This machine is on no network now, so a tablet cannot open it."
    return f"A tablet cannot open it, because NINEFIFTY_HOST is {settings.host}."


def _url(host: str, port: int) -> str:
    return f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"


def _is_only_here(host: str) -> bool:
    try:
        address = ipaddress.ip_address(host)
    except ValueError:
        return host == "localhost"
    return address.is_loopback or address.is_unspecified
