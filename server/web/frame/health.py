"""How the app looks from outside: whether it runs, whether it can serve, what it counts."""

from typing import TYPE_CHECKING

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse, PlainTextResponse
from sqlalchemy import text

from server.domain.base.errors import NotFound
from server.settings import Settings
from server.store.database import Database
from server.store.uploads.media import free_bytes
from server.store.uploads.media_place import far, place_at
from server.web.frame.dependencies import HeldDatabase

if TYPE_CHECKING:
    from server.web.frame.layers.measured import Measures

router = APIRouter(include_in_schema=False)

LEAST_FREE_BYTES = 50 * 2**20
"""Below it a run that is under way may still be kept, but nobody should be sent here."""

CONTENT_TYPE = "text/plain; version=0.0.4; charset=utf-8"


@router.get("/healthz")
async def get_health() -> PlainTextResponse:
    """The process answers. Nothing is asked of the disk: to start it anew would mend none."""
    return PlainTextResponse("ok")


@router.get("/readyz")
def get_ready(request: Request, database: HeldDatabase) -> JSONResponse:
    """Whether it can serve, point by point; 503 while it cannot.

    Without the store of files it serves all the same: no mark of a run needs it.
    """
    settings: Settings = request.app.state.settings
    told = {"database": _database(database), "disk": _disk(settings)}
    status = 200 if set(told.values()) == {"ok"} else 503
    return JSONResponse(told | _files(settings), status)


@router.get("/metrics")
def get_metrics(request: Request, database: HeldDatabase) -> Response:
    measures: Measures | None = request.app.state.measures
    if measures is None:
        raise NotFound("Nothing is counted here. NINEFIFTY_METRICS=yes switches it on.")
    settings: Settings = request.app.state.settings
    measures.followers.set(request.app.state.live.count)
    measures.database_bytes.set(database.engine.size_bytes())
    measures.free_bytes.set(free_bytes(settings.data_dir))
    return Response(measures.text(), media_type=CONTENT_TYPE)


def _database(database: Database) -> str:
    try:
        with database.reading() as session:
            session.connection().execute(text("SELECT count(*) FROM alembic_version"))
    except Exception as error:
        return f"cannot be read: {type(error).__name__}"
    return "ok"


def _files(settings: Settings) -> dict[str, str]:
    place = far(place_at(settings.files, settings.recordings_folder))
    if place is None:
        return {}
    return {"files": "cannot be reached" if place.trouble() else "ok"}


def _disk(settings: Settings) -> str:
    free = free_bytes(settings.data_dir)
    return "ok" if free >= LEAST_FREE_BYTES else f"{free // 2**20} MB left"
