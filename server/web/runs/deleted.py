"""The list of what was deleted and can still be brought back."""

from collections.abc import Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.domain.base.durations import DAY_MS
from server.store.lost.deleted import KEPT_MS, DeletedThing, bring_drink_back, deleted_things
from server.store.lost.forgetting import forget_recording
from server.store.uploads.before_writing import looked_at
from server.store.uploads.recordings import recording_row, restore_recording
from server.web.frame.dependencies import HeldDatabase, NowMs, ReadSession, WriteSession
from server.web.frame.offered.scope import HeldScope
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.frame.uploads.uploaded import RecordingsFolder

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class DeletedPage(Page, folder="deleted"):
    """What was deleted and can still be brought back."""

    things: Sequence[DeletedThing]
    days: int
    """For how many days it is kept."""


@router.get("/deleted")
def deleted_page(
    request: Request, session: ReadSession, scope: HeldScope, now_ms: NowMs
) -> Response:
    # Whoever may only read can bring nothing back.
    things = deleted_things(session, now_ms, scope.routines(session, "edit"))
    shown = DeletedPage(things=things, days=KEPT_MS // DAY_MS)
    return page(request, shown)


@router.post("/recordings/{recording_id}/restore")
def post_recording_back(
    held: HeldDatabase, folder: RecordingsFolder, recording_id: str
) -> Response:
    folder = looked_at(held, folder, recording_row(recording_id))
    with held.writing() as session:
        run_id = restore_recording(session, folder, recording_id)
    return see(f"/runs/{run_id}")


@router.post("/recordings/{recording_id}/forget")
def post_forget(held: HeldDatabase, folder: RecordingsFolder, recording_id: str) -> Response:
    forget_recording(held, folder, recording_id)
    return see("/deleted")


@router.post("/routines/{routine_id}/deleted-drinks/{drink_id}/restore")
def post_drink_back(
    session: WriteSession, now_ms: NowMs, routine_id: str, drink_id: str
) -> Response:
    bring_drink_back(session, routine_id, drink_id, now_ms)
    return see(f"/routines/{routine_id}/drinks#{drink_id}")
