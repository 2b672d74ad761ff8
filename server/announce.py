"""What the terminal says once the app runs: where to open it, here and on the tablet."""

import io
import ipaddress
import socket
from dataclasses import dataclass
from urllib.parse import urlsplit

import segno

from server.setting_texts import without_password
from server.settings import Settings

EVERY_INTERFACE = ("0.0.0.0", "::")  # noqa: S104  # compared with, not listened on
LETS_IN = "                              (whoever opens this may do everything: show it to nobody)"
LETS_MAKE = (
    "                              (leads to the first account, the admin's: show it to nobody)"
)
OPEN_DOOR = """THE DOOR IS OPEN (--open). Everybody on this network can read, change and delete
everything here, listen to recordings and delete them for good, and finish a run on stage."""
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


@dataclass(frozen=True)
class Trust:
    """What a device must know to trust this server: the plain http port, and the fingerprint."""

    http_port: int
    fingerprint: str
    uncovered: tuple[str, ...] = ()


def local_url(settings: Settings, port: int, scheme: str = "http") -> str:
    """The address to open on this machine."""
    everywhere = settings.host in EVERY_INTERFACE or _is_only_here(settings.host)
    return _url(scheme, "localhost" if everywhere else settings.host, port)


def tablet_url(settings: Settings, port: int, lan: str | None, scheme: str = "http") -> str | None:
    """The address to open elsewhere, or None where only this machine can."""
    if settings.public_url:
        return settings.public_url
    if settings.host in EVERY_INTERFACE:
        return _url(scheme, lan, port) if lan else None
    return None if _is_only_here(settings.host) else _url(scheme, settings.host, port)


def announcement(
    settings: Settings,
    port: int,
    lan: str | None,
    *,
    colour: bool,
    trust: Trust | None = None,
    secret: str = "",
) -> str:
    """The whole text, QR code included; `colour` where the terminal understands it, `trust` where
    `port` serves https. Whoever opens an address with the `secret` is let in as the owner.
    """
    scheme = "https" if trust else "http"
    # Behind a proxy nobody is known to be on this machine itself.
    own = letting_in(local_url(settings, port, scheme), secret if settings.public_url else "")
    here = f"\n  Ninefifty on this machine   {own}\n"
    if settings.open:
        here = f"\n{_in_red(OPEN_DOOR, colour=colour)}\n{here}"
    kept = f"  Data are kept in {_places(settings)}. Stop with Ctrl+C.\n"
    elsewhere = tablet_url(settings, port, lan, scheme)
    first = _first_time(settings, trust, lan) if trust else ""
    if elsewhere is None:
        return f"{here}  {_why_only_here(settings)}\n{first}{kept}"
    link = letting_in(elsewhere, "" if settings.open else secret)
    tablet = f"  On a tablet or phone        {link}   (scan to open)\n"
    if link != elsewhere:
        tablet += f"{LETS_MAKE if settings.people else LETS_IN}\n"
    return f"{here}{tablet}{first}\n{qr_code(link, colour=colour)}\n{kept}"


def _places(settings: Settings) -> str:
    database = without_password(settings.database)
    places = [settings.files] if settings.files else []
    if database or places:
        places = [database or str(settings.database_file), *places]
        return f"{' and '.join(places)}, all else in {settings.data_dir}"
    return str(settings.data_dir)


def invitation(settings: Settings, secret: str, lan: str | None, *, colour: bool) -> str:
    """What `./run let-me-in` says: where one device is let in, within a while; where people are to
    have accounts and nobody has one, where the first is made.
    """
    link = letting_in(_address(settings, lan), secret)
    does = "Make the first account" if settings.people else "Let one device in"
    then = (
        "  Whoever makes it is the admin. From then on everybody signs in.\n"
        if settings.people
        else "  It is yours from then on. A lost one is taken out on its Devices page.\n"
    )
    opened = f"\n  {does}, within 15 minutes: open   {link}\n\n"
    return f"{opened}{qr_code(link, colour=colour)}\n{then}"


def way_back(
    settings: Settings, sign_in: str, secret: str, lan: str | None, *, colour: bool
) -> str:
    """What it says where people have accounts: where the admin sets a password anew."""
    link = f"{_address(settings, lan)}/reset#{secret}"
    return (
        f"\n  Set a new password for “{sign_in}”, within 15 minutes: open   {link}\n\n"
        f"{qr_code(link, colour=colour)}\n"
        "  Wherever they are signed in, they are signed out by it.\n"
    )


def _address(settings: Settings, lan: str | None) -> str:
    scheme = "https" if settings.https else "http"
    port = settings.https_port if settings.https else settings.port
    elsewhere = tablet_url(settings, port, lan, scheme)
    return elsewhere or local_url(settings, port, scheme)


def letting_in(url: str, secret: str) -> str:
    """The address that lets in whoever opens it; browsers keep what follows "#" to themselves."""
    return f"{url}/in#{secret}" if secret else url


def _in_red(text: str, *, colour: bool) -> str:
    lines = [f"  {line}" for line in text.splitlines()]
    return "\n".join(f"\033[31;1m{line}\033[0m" if colour else line for line in lines)


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


def _first_time(settings: Settings, trust: Trust, lan: str | None) -> str:
    public = urlsplit(settings.public_url).hostname
    host = public or (lan if settings.host in EVERY_INTERFACE and lan else settings.host)
    name = "localhost" if host in EVERY_INTERFACE or _is_only_here(host) else host
    lines = [
        f"  The first time on a device  {_url('http', name, trust.http_port)}/trust",
        f"  Its certificate authority   SHA-256 {trust.fingerprint}",
    ]
    if trust.uncovered:
        lines.append(f"  Not covered by it: {', '.join(trust.uncovered)} (see README, https)")
    return "\n".join(lines) + "\n"


def _url(scheme: str, host: str, port: int) -> str:
    return f"{scheme}://[{host}]:{port}" if ":" in host else f"{scheme}://{host}:{port}"


def _is_only_here(host: str) -> bool:
    try:
        address = ipaddress.ip_address(host)
    except ValueError:
        return host == "localhost"
    return address.is_loopback or address.is_unspecified
