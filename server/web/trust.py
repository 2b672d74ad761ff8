"""How a device comes to trust this app over https: the certificate to load, and what to do with it.

Everything here is answered over plain http as well: it is what a device needs first.
"""

import ssl
from pathlib import Path

from fastapi import APIRouter, Request, Response

from server.domain.errors import NotFound
from server.https.fingerprint import fingerprint
from server.settings import Settings
from server.web.render import page

router = APIRouter(prefix="/trust")


@router.get("")
def trust_page(request: Request) -> Response:
    settings: Settings = request.app.state.settings
    context = {
        "fingerprint": fingerprint(_authority(request)) if settings.https else None,
        "is_https": request.url.scheme == "https",
    }
    return page(request, "trust", context)


@router.get("/ninefifty-authority.crt")
def get_certificate(request: Request) -> Response:
    pem = _authority(request)
    return _certificate(ssl.PEM_cert_to_DER_cert(pem), "crt")


@router.get("/ninefifty-authority.pem")
def get_certificate_as_text(request: Request) -> Response:
    return _certificate(_authority(request).encode(), "pem")


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
