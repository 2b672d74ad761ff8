"""The photograph of the real bar: taken in on the page of the station, shown there."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from fastapi.responses import FileResponse

from server.domain.base.errors import DomainError, Fault, NotFound
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
from server.web.frame.offered.links import kept_for_good
from server.web.frame.render import page, see
from server.web.frame.uploaded import Upload, UploadFolder, upload_in
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
    try:
        with held.writing() as session:
            load_routine(session, routine_id)
            old = set_photograph(session, routine_id, made)
    except BaseException:
        folder.drop(made.key)
        raise
    if old is not None:
        folder.drop(old)
    return see(f"/routines/{routine_id}/station")


@router.post("/under")
def post_under(session: WriteSession, routine_id: str, typed: TypedForm) -> Response:
    percent = typed.whole_number("under", min(UNDER), max(UNDER))
    typed.check()
    lay_under(session, routine_id, percent)
    return see(f"/routines/{routine_id}/station")


@router.post("/delete")
def post_photograph_delete(held: HeldDatabase, folder: UploadFolder, routine_id: str) -> Response:
    with held.writing() as session:
        load_routine(session, routine_id)
        old = remove_photograph(session, routine_id)
    if old is not None:
        folder.drop(old)
    return see(f"/routines/{routine_id}/station")


@router.get("/{key}")
def get_photograph(
    session: ReadSession, folder: UploadFolder, asker: HeldAsker, routine_id: str, key: str
) -> Response:
    found = load_photograph(session, routine_id, key)
    path = folder.path(found.key)
    if not path.is_file():
        raise NotFound("The file of this photograph is gone from the data folder. Send it again.")
    # Another photograph has another key, so this answer never goes stale.
    headers = {"Cache-Control": kept_for_good(asker)}
    return FileResponse(path, media_type=found.media_type, headers=headers)


def _kept(folder: MediaFolder, upload: Upload) -> Photograph:
    if isinstance(upload, DomainError):
        raise upload
    return take_photograph(folder, upload.file)
