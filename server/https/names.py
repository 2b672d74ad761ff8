"""The names and addresses that this server can be opened under on its network."""

import ipaddress
import re
import socket

from server.announce import lan_address
from server.settings import Settings

Name = str | ipaddress.IPv4Address | ipaddress.IPv6Address
"""A host name or an address."""

_HOST_NAME = re.compile(r"[a-z0-9]([a-z0-9-]*[a-z0-9])?(\.[a-z0-9]([a-z0-9-]*[a-z0-9])?)*")
ALWAYS = ("localhost", "127.0.0.1", "::1")


def own_host() -> str:
    """This machine's own name; "localhost" where that name is none for a certificate."""
    name = socket.gethostname().lower()
    return name if len(name) <= 40 and _HOST_NAME.fullmatch(name) else "localhost"


def further_hosts(settings: Settings) -> tuple[str, ...]:
    """The names a person has given the app, without the addresses among them."""
    return tuple(name for name in map(name_of, settings.known_hosts) if isinstance(name, str))


def names_to_cover(settings: Settings) -> tuple[Name, ...]:
    """Everything a browser may write before the port, just now: the network may have changed."""
    host = own_host()
    own = [] if "." in host or host == "localhost" else [f"{host}.local"]
    listened = [settings.host] if isinstance(name_of(settings.host), _Address) else []
    written = (*ALWAYS, host, *own, *listened, lan_address() or "", *settings.known_hosts)
    names = dict.fromkeys(name for name in map(name_of, written) if name is not None)
    return tuple(name for name in names if isinstance(name, str) or not name.is_unspecified)


_Address = ipaddress.IPv4Address | ipaddress.IPv6Address


def name_of(text: str) -> Name | None:
    """The host name or address that a text is; None where it is neither."""
    text = text.lower().rstrip(".")
    try:
        return ipaddress.ip_address(text)
    except ValueError:
        return text if _HOST_NAME.fullmatch(text) else None
