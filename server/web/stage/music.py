"""The presenter's music: taken in on the Rehearse page, played there and on stage."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from sqlmodel import Session
from starlette.datastructures import UploadFile

from server.domain.base.errors import Fault
from server.store.routines import load_routine
from server.store.uploads.media_place import MediaPlace
from server.store.uploads.tracks import Track, load_track, remove_track, set_track, take_track
from server.web.frame.dependencies import ReadSession
from server.web.frame.door import HeldAsker
from server.web.frame.shown import Page
from server.web.frame.uploads.uploaded import (
    HeldFile,
    Upload,
    UploadFolder,
    file_under_its_key,
    upload_in,
)
from server.web.stage.rehearse import rehearse_page_of

router = APIRouter(prefix="/music/{routine_id}")


SentMusic = Annotated[Upload, Depends(upload_in("music", "Choose a file first."))]


@router.post("")
def post_track(file: HeldFile, routine_id: str, upload: SentMusic) -> Response:
    def again(session: Session, told: str) -> Page:
        stored = load_routine(session, routine_id)
        return rehearse_page_of(session, stored, [Fault("music", told)])

    return file.take_in(upload, _kept, set_track, again, f"/routines/{routine_id}/rehearse")


@router.post("/delete")
def post_delete(file: HeldFile, routine_id: str) -> Response:
    return file.take_away(remove_track, f"/routines/{routine_id}/rehearse")


@router.get("/{key}")
def get_track(
    request: Request,
    session: ReadSession,
    folder: UploadFolder,
    asker: HeldAsker,
    routine_id: str,
    key: str,
) -> Response:
    track = load_track(session, routine_id, key)
    gone = "The file of this music is gone from where files are kept. Upload it again."
    return file_under_its_key(request, folder, track.key, track.media_type, asker, gone, track.name)


def _kept(folder: MediaPlace, sent: UploadFile) -> Track:
    return take_track(folder, sent.file, sent.filename or "")
