"""The photograph of the real bar: taken in on the page of the station, shown there."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from server.domain.base.errors import DomainError, Fault
from server.store.routines import load_routine
from server.store.uploads.media import MediaFolder
from server.store.uploads.photographs import (
    UNDER,
    Photograph,
    lay_under,
    load_photograph,
    remove_photograph,
    set_photograph,
    take_photograph,
)
from server.web.frame.dependencies import HeldDatabase, ReadSession, TypedForm, WriteSession
from server.web.frame.door import HeldAsker
from server.web.frame.forms import Form
from server.web.frame.render import page, see
from server.web.frame.uploaded import (
    Upload,
    UploadFolder,
    exchange,
    file_under_its_key,
    take_away,
    upload_in,
)
from server.web.prepare.station import station_context
from server.web.prepare.station_forms import PHOTOGRAPH

router = APIRouter(prefix="/photographs/{routine_id}")


SentPicture = Annotated[Upload, Depends(upload_in("photograph", "Choose a photograph first."))]


@router.post("")
def post_photograph(
    request: Request,
    held: HeldDatabase,
    folder: UploadFolder,
    routine_id: str,
    upload: SentPicture,
) -> Response:
    try:
        made = _kept(folder, upload)
    except DomainError as error:
        with held.reading() as session:
            form = Form({}, (Fault("photograph", error.message),))
            shown = station_context(session, load_routine(session, routine_id), form, PHOTOGRAPH)
        return page(request, "station", shown, 422)
    exchange(held, folder, routine_id, made, set_photograph)
    return see(f"/routines/{routine_id}/station")


@router.post("/under")
def post_under(session: WriteSession, routine_id: str, typed: TypedForm) -> Response:
    percent = typed.whole_number("under", min(UNDER), max(UNDER))
    typed.check()
    lay_under(session, routine_id, percent)
    return see(f"/routines/{routine_id}/station")


@router.post("/delete")
def post_photograph_delete(held: HeldDatabase, folder: UploadFolder, routine_id: str) -> Response:
    take_away(held, folder, routine_id, remove_photograph)
    return see(f"/routines/{routine_id}/station")


@router.get("/{key}")
def get_photograph(
    session: ReadSession, folder: UploadFolder, asker: HeldAsker, routine_id: str, key: str
) -> Response:
    found = load_photograph(session, routine_id, key)
    gone = "The file of this photograph is gone from the data folder. Send it again."
    return file_under_its_key(folder.path(found.key), found.media_type, asker, gone)


def _kept(folder: MediaFolder, upload: Upload) -> Photograph:
    if isinstance(upload, DomainError):
        raise upload
    return take_photograph(folder, upload.file)
