"""How a device comes to trust this app over https: the certificate to load, and what to do with it.

Everything here is answered over plain http as well: it is what a device needs first.
"""

import ssl
from dataclasses import dataclass
from pathlib import Path

from fastapi import APIRouter, Request, Response

from server.domain.base.errors import NotFound
from server.https.fingerprint import fingerprint
from server.settings import Settings
from server.web.frame.layers.security import is_ip_address
from server.web.frame.render import page
from server.web.frame.shown import Page

router = APIRouter(prefix="/trust")


@dataclass(frozen=True)
class Uncovered:
    """A name in the address bar that the certificate does not cover, and addresses it does."""

    host: str
    is_address: bool
    may_be_covered: bool
    """Whether the authority can vouch for it once the app is told of it."""
    others: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class TrustPage(Page, folder="trust"):
    """How a device comes to trust this app."""

    fingerprint: str | None
    """That of the authority; None where the app serves no https."""
    is_https: bool
    uncovered: Uncovered | None


@router.get("")
def trust_page(request: Request) -> Response:
    settings: Settings = request.app.state.settings
    shown = TrustPage(
        fingerprint=fingerprint(_authority(request)) if settings.https else None,
        is_https=request.url.scheme == "https",
        uncovered=_uncovered(request, settings) if settings.https else None,
    )
    return page(request, shown)


@router.get("/ninefifty-authority.crt")
def get_certificate(request: Request) -> Response:
    pem = _authority(request)
    return _certificate(ssl.PEM_cert_to_DER_cert(pem), "crt")


@router.get("/ninefifty-authority.pem")
def get_certificate_as_text(request: Request) -> Response:
    return _certificate(_authority(request).encode(), "pem")


def _uncovered(request: Request, settings: Settings) -> Uncovered | None:
    from server.https.covered import covered_names, covers, may_cover
    from server.https.names import ALWAYS

    folder, host = settings.certificate_folder, request.url.hostname or ""
    if covers(folder, host):
        return None
    names = sorted(str(name) for name in covered_names(folder) if str(name) not in ALWAYS)
    port = request.app.state.https_port
    return Uncovered(
        host=host,
        is_address=is_ip_address(host),
        may_be_covered=may_cover(folder, host),
        others=tuple(
            f"https://[{n}]:{port}/" if ":" in n else f"https://{n}:{port}/" for n in names
        ),
    )


def _authority(request: Request) -> str:
    settings: Settings = request.app.state.settings
    file: Path = settings.certificate_folder / "authority.pem"
    if not (settings.https and file.exists()):
        raise NotFound("This app serves no https now. Start it with: ./run --https")
    return file.read_text(encoding="ascii")


def _certificate(content: bytes, ending: str) -> Response:
    # The type by which iOS and Android know that it is something to trust.
    headers = {
        "Content-Disposition": f'attachment; filename="ninefifty-authority.{ending}"',
        "Cache-Control": "no-store",
    }
    return Response(content, media_type="application/x-x509-ca-cert", headers=headers)
