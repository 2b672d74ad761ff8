"""Pages and their fragments: the one place that looks at what htmx asked for.

Every page is a folder of `templates/` with `page.html`, which includes `_body.html` inside
`<main id="page">`. A click inside the page asks for the same address and is answered with the
body alone, so page and fragment cannot drift apart.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from fastapi import Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse
from fastapi.templating import Jinja2Templates
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from server.compiled import CompiledTemplates
from server.store.database import refuse_while_writing
from server.web.frame.bundles import modules_behind
from server.web.frame.filters import FILTERS
from server.web.frame.offered.links import asking, may, offers, without_shut_links
from server.web.frame.reach import is_secure
from server.web.frame.shown import Page

ROOT = Path(__file__).parents[3]
TEMPLATES = ROOT / "templates"
OPTIONS: dict[str, Any] = {"autoescape": True, "trim_blocks": True, "lstrip_blocks": True}


def _environment() -> Environment:
    environment = Environment(  # noqa: S701 (on in OPTIONS)
        loader=FileSystemLoader(TEMPLATES),
        bytecode_cache=CompiledTemplates(TEMPLATES, OPTIONS),
        undefined=StrictUndefined,
        **OPTIONS,
    )
    environment.filters.update(FILTERS)
    environment.globals.update(may=may, offers=offers, modules_behind=modules_behind)
    return environment


def _when_the_writer_is_free(_request: Request) -> dict[str, Any]:
    refuse_while_writing("A page is drawn")
    return {}


def _how_asked(request: Request) -> dict[str, Any]:
    return {"is_secure": is_secure(request)}


def _who_asks(_request: Request) -> dict[str, Any]:
    asker = asking.get()
    return {
        "signed_in": None if asker is None else asker.person,
        "is_asked": asker is not None,
        "has_accounts": asker is not None and (asker.person is not None or asker.must_sign_in),
        "helps": asker is not None and asker.helps,
    }


templates = Jinja2Templates(
    env=_environment(), context_processors=[_when_the_writer_is_free, _how_asked, _who_asks]
)

# Rooms hold pages: a page is asked for by the name of its folder alone, which no other has.
_FOLDERS = {
    path.parent.name: path.parent.relative_to(TEMPLATES).as_posix()
    for path in TEMPLATES.rglob("page.html")
}


def page(request: Request, shown: Page, status: int = 200) -> Response:
    """The page that shows these values, or its body alone where htmx asked for that."""
    name = "_body.html" if wants_body(request) else "page.html"
    answer = _drawn(request, f"{_FOLDERS[shown.folder]}/{name}", shown.values(), status)
    answer.headers["Vary"] = "HX-Target"
    answer.headers.setdefault("Cache-Control", "no-store")
    return answer


def part(request: Request, template: str, values: Mapping[str, Any], status: int = 200) -> Response:
    """A part of a page by itself, as it stands now: no browser keeps it."""
    answer = _drawn(request, template, values, status)
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _drawn(request: Request, template: str, values: Mapping[str, Any], status: int) -> Response:
    """A template as it stands for who asks."""
    answer = templates.TemplateResponse(request, template, dict(values), status_code=status)
    drawn = bytes(answer.body).decode()
    fit = without_shut_links(drawn)
    return answer if fit == drawn else HTMLResponse(fit, status)


def wants_body(request: Request) -> bool:
    """Whether htmx asks for the part that it puts into <main id="page">."""
    return request.headers.get("HX-Target") == "main#page"


def see(url: str) -> Response:
    """After a change: go and look at the page that shows it."""
    return RedirectResponse(url, status_code=303)
