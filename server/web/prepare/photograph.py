"""The photograph of the real bar: taken in on the page of the station, shown there."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from sqlmodel import Session
from starlette.datastructures import UploadFile

from server.domain.base.errors import Fault
from server.store.routines import load_routine
from server.store.uploads.media_place import MediaPlace
from server.store.uploads.photographs import (
    UNDER,
    Photograph,
    lay_under,
    load_photograph,
    remove_photograph,
    set_photograph,
    take_photograph,
)
from server.web.frame.dependencies import ReadSession, TypedForm, WriteSession
from server.web.frame.door import HeldAsker
from server.web.frame.forms import Form
from server.web.frame.render import see
from server.web.frame.shown import Page
from server.web.frame.uploads.uploaded import (
    HeldFile,
    Upload,
    UploadFolder,
    file_under_its_key,
    upload_in,
)
from server.web.prepare.station import station_context
from server.web.prepare.station_forms import PHOTOGRAPH

router = APIRouter(prefix="/photographs/{routine_id}")


SentPicture = Annotated[Upload, Depends(upload_in("photograph", "Choose a photograph first."))]


@router.post("")
def post_photograph(file: HeldFile, routine_id: str, upload: SentPicture) -> Response:
    def again(session: Session, told: str) -> Page:
        form = Form({}, (Fault("photograph", told),))
        return station_context(session, load_routine(session, routine_id), form, PHOTOGRAPH)

    return file.take_in(upload, _kept, set_photograph, again, f"/routines/{routine_id}/station")


@router.post("/under")
def post_under(session: WriteSession, routine_id: str, typed: TypedForm) -> Response:
    percent = typed.whole_number("under", min(UNDER), max(UNDER))
    typed.check()
    lay_under(session, routine_id, percent)
    return see(f"/routines/{routine_id}/station")


@router.post("/delete")
def post_photograph_delete(file: HeldFile, routine_id: str) -> Response:
    return file.take_away(remove_photograph, f"/routines/{routine_id}/station")


@router.get("/{key}")
def get_photograph(
    request: Request,
    session: ReadSession,
    folder: UploadFolder,
    asker: HeldAsker,
    routine_id: str,
    key: str,
) -> Response:
    found = load_photograph(session, routine_id, key)
    gone = "The file of this photograph is gone from where files are kept. Send it again."
    return file_under_its_key(request, folder, found.key, found.media_type, asker, gone)


def _kept(folder: MediaPlace, sent: UploadFile) -> Photograph:
    return take_photograph(folder, sent.file)
