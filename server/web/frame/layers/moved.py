"""Where https is served, plain http leads there; it still answers what a device needs before.

Under a name that the certificate does not cover nothing leads on: a browser would refuse what it
was led to, and http is better than a shut door. `/trust` says why.

No Strict-Transport-Security: it would hold for every port of the name, and so shut out the very
page that explains how to trust the certificate.
"""

from functools import partial
from pathlib import Path

from starlette.datastructures import URL, MutableHeaders
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Receive, Scope, Send

STAYS = ("/trust", "/static/", "/api/", "/healthz", "/readyz", "/metrics")
"""How to trust the app, what that page is made of, and marks that a page opened earlier sends."""


class ToHttps:
    """ASGI middleware: sends whoever opens a page over http to the same page over https."""

    def __init__(self, app: ASGIApp, certificates: Path) -> None:
        # Certificates are read with a library that only an app with https has to load.
        from server.https.covered import covers

        self._app = app
        self._is_covered = partial(covers, certificates)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer with the way to https, or pass the request on."""
        is_asked = scope["type"] == "http" and self._leads_on(scope)
        if not is_asked or not self._is_covered(URL(scope=scope).hostname or ""):
            await self._app(scope, receive, send)
            return
        port = scope["app"].state.https_port
        url = URL(scope=scope).replace(scheme="https", port=None if port == 443 else port)
        # Not to be remembered: https may be switched off again.
        answer = RedirectResponse(str(url), 307, MutableHeaders({"Cache-Control": "no-store"}))
        await answer(scope, receive, send)

    def _leads_on(self, scope: Scope) -> bool:
        # What was typed into a page that came over http is still taken in.
        is_look = scope["method"] in ("GET", "HEAD")
        return scope["scheme"] == "http" and is_look and not scope["path"].startswith(STAYS)
