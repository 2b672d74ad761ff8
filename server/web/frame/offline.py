"""What a browser keeps so that the stage opens while the server is away."""

import json
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256

from fastapi import APIRouter, Request, Response

from server.web.frame.bundles import SHEETS
from server.web.frame.render import ROOT, page
from server.web.frame.shown import Page

router = APIRouter()

STATIC = ROOT / "static"
WORKER = STATIC / "js" / "frame" / "offline" / "worker.js"
CACHES = WORKER.with_name("caches.js")
OFFLINE_PAGE = "/offline"
KEPT = {".js", ".css", ".woff2", ".svg", ".png", ".webmanifest"}
PAGES_OF_THE_SHELL = ("stage", "frame/offline", "frame/base.html", "learn/cards")


@dataclass(frozen=True, kw_only=True)
class OfflinePage(Page, folder="offline"):
    """What a device shows while the server is away; it knows the rest itself."""


@router.get("/sw.js")
def get_worker() -> Response:
    # Asked anew each time: a browser that kept it would keep an old version of everything.
    return Response(worker(), media_type="text/javascript", headers={"Cache-Control": "no-cache"})


@router.get(OFFLINE_PAGE)
def offline_page(request: Request) -> Response:
    return page(request, OfflinePage())


@lru_cache(maxsize=1)
def worker() -> str:
    """The service worker, told what to keep and under which version."""
    told = {"VERSION": version(), "FILES": files(), "OFFLINE_PAGE": OFFLINE_PAGE}
    lines = [f"const {name} = {json.dumps(value)};\n" for name, value in told.items()]
    # A worker that is no module imports none: it is handed the text of one.
    caches = CACHES.read_text(encoding="utf-8").replace("\nexport ", "\n")
    return "".join(lines) + caches + WORKER.read_text(encoding="utf-8")


def files() -> list[str]:
    """The addresses of every file that a page may need."""
    kept = [path for path in STATIC.rglob("*") if path.suffix in KEPT and path != WORKER]
    names = {path.relative_to(STATIC).as_posix() for path in kept} | set(SHEETS)
    return sorted(f"/static/{name}" for name in names)


def version() -> str:
    """A hash that changes with the content of any file or template of the shell."""
    shell = [ROOT / "templates" / name for name in PAGES_OF_THE_SHELL]
    templates = [path for each in shell for path in (each, *sorted(each.rglob("*.html")))]
    content = sha256(json.dumps(SHEETS).encode())
    for path in [WORKER, *(ROOT / name.lstrip("/") for name in files()), *templates]:
        if path.is_file():
            content.update(path.relative_to(ROOT).as_posix().encode() + b"\0" + path.read_bytes())
    return content.hexdigest()[:16]
