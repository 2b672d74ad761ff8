"""Domain errors as answers: a page for people, one JSON shape for the API."""

import logging
from dataclasses import dataclass
from urllib.parse import quote

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, PlainTextResponse
from starlette.exceptions import HTTPException

from server.domain.base.errors import (
    CannotTell,
    Conflict,
    DomainError,
    Fault,
    Gone,
    InvalidInput,
    NoRoom,
    NotAdmitted,
    NotAllowed,
    NotFound,
    NotSignedIn,
    TooLarge,
    TooMany,
    Unreachable,
)
from server.store.disk import ERRORS, disk_trouble, said_by
from server.web.frame.cookies import tokens_of
from server.web.frame.forms import Form
from server.web.frame.layers.security import HEADERS
from server.web.frame.render import page, see
from server.web.frame.shown import Page

_log = logging.getLogger(__name__)

STATUS: dict[type[DomainError], int] = {
    InvalidInput: 422,
    CannotTell: 424,
    NotFound: 404,
    Gone: 410,
    Conflict: 409,
    TooLarge: 413,
    NoRoom: 507,
    Unreachable: 503,
    NotAdmitted: 403,
    NotAllowed: 403,
    TooMany: 429,
}

TITLES = {
    403: "Not allowed",
    404: "Not found",
    405: "Not possible here",
    409: "Not possible as things stand",
    410: "Deleted",
    413: "Too large",
    415: "Not readable here",
    422: "Something is not right yet",
    507: "It could not be saved",
    424: "This cannot be told",
    503: "Not just now",
    429: "Not just now",
}
SAID_BESIDE = (503, 507)
"""What passes, or is made to pass: the page that asked says so and can ask again."""

HTTP_WORDS = {
    404: "There is no page at this address.",
    405: "This page takes no such request.",
    415: "A form is read here as UTF-8 only. Nothing was changed.",
    413: (
        "That is too large. A routine’s file may have 32 MB, music 64 MB, a photograph 12 MB, "
        "captions 5 MB, all else 1 MB."
    ),
}


@dataclass(frozen=True, kw_only=True)
class ErrorPage(Page, folder="error"):
    """What went wrong, for people."""

    title: str
    message: str


@dataclass(frozen=True, kw_only=True)
class DoorPage(Page, folder="door"):
    """What a device meets that is not let in."""

    form: Form


def install_error_answers(app: FastAPI) -> None:
    """Answer each kind of error in words, never with a bare status."""

    @app.exception_handler(NotAdmitted)
    def _shut(request: Request, error: NotAdmitted) -> Response:
        return turned_away(request, error)

    @app.exception_handler(DomainError)
    def _domain(request: Request, error: DomainError) -> Response:
        faults = error.faults if isinstance(error, InvalidInput) else ()
        return answer(request, STATUS.get(type(error), 422), error.code, error.message, faults)

    def _disk(request: Request, error: Exception) -> Response:
        told = disk_trouble(error)
        if told is None:
            raise error
        _log.warning("The disk or the database failed: %s", said_by(error))
        return _domain(request, told)

    for kind in ERRORS:
        app.add_exception_handler(kind, _disk)

    @app.exception_handler(RequestValidationError)
    def _validation(request: Request, error: RequestValidationError) -> Response:
        faults = [Fault(".".join(map(str, each["loc"])), each["msg"]) for each in error.errors()]
        return answer(request, 422, "invalid", "The address or form is not complete.", faults)

    @app.exception_handler(HTTPException)
    def _http(request: Request, error: HTTPException) -> Response:
        # What arrives may have found no room where it is put down.
        told = disk_trouble(error.__cause__)
        if told is not None:
            return _domain(request, told)
        message = HTTP_WORDS.get(error.status_code, str(error.detail))
        return answer(request, error.status_code, "http", message)

    @app.exception_handler(Exception)
    def _defect(request: Request, _error: Exception) -> Response:
        response = answer(request, 500, "defect", "The app failed at this. Nothing was changed.")
        # Sent from outside all middleware, which would have added them.
        response.headers.update(HEADERS)
        # Nobody knows what state the failure left the connection in.
        response.headers["Connection"] = "close"
        return response


def turned_away(request: Request, error: NotAdmitted) -> Response:
    """What is shown to a device that may not have what it asks for.

    A page that is open stays as it is, with all that was typed into it, and says so.
    """
    if request.url.path.startswith("/api/") or isinstance(error, NotAllowed):
        is_part = "hx-request" in request.headers
        refused = answer(request, 403, error.code, error.message)
        return _said(error.message) if is_part else refused
    if "hx-request" in request.headers:
        return _said(error.message)
    if request.scope["route"].path == "/runs/{run_id}/watch":
        return see("/join")
    if request.scope["route"].path == "/tastings/{sitting_id}/taste":
        return see("/taste")
    asked = request.url.path if request.method == "GET" else "/"
    if isinstance(error, NotSignedIn):
        return see("/first-account" if error.is_first else f"/sign-in?to={quote(asked)}")
    return door_page(request, {"to": asked}, status=403)


def door_page(
    request: Request,
    values: dict[str, str],
    faults: tuple[Fault, ...] = (),
    status: int = 200,
) -> Response:
    """The one page that a device meets that is not let in: it asks to be, or to join a run."""
    form = Form({"code": "", "to": "/"} | values, faults)
    shown = page(request, DoorPage(form=form), status)
    if status == 403 and tokens_of(request):
        # What an earlier visit left in the browser's own cache. Marks are kept elsewhere.
        shown.headers["Clear-Site-Data"] = '"cache"'
    return shown


def _said(message: str) -> Response:
    return PlainTextResponse(message, 403, {"HX-Reswap": "none"})


def answer(
    request: Request,
    status: int,
    code: str,
    message: str,
    faults: tuple[Fault, ...] | list[Fault] = (),
) -> Response:
    """An error as the asker can use it: JSON under /api, a page elsewhere."""
    if request.url.path.startswith("/api/"):
        listed = [{"field": fault.field, "message": fault.message} for fault in faults]
        body = {"error": {"code": code, "message": message, "faults": listed}}
        return JSONResponse(body, status)
    if status in SAID_BESIDE and "hx-request" in request.headers:
        # The page stays as it is, with all that was typed into it, and says why.
        return PlainTextResponse(message, status)
    shown = ErrorPage(title=TITLES.get(status, "Something went wrong"), message=message)
    return page(request, shown, status)
