"""The photograph of the real bar: taken in on the page of the station, shown there."""

from collections.abc import AsyncIterator
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from fastapi.responses import FileResponse
from starlette.datastructures import UploadFile

from server.domain.base.errors import DomainError, Fault, InvalidInput, NotFound
from server.store.disk import disk_trouble
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
from server.web.frame.forms import Form
from server.web.frame.render import page, see
from server.web.prepare.station import station_context
from server.web.prepare.station_forms import PHOTOGRAPH

router = APIRouter(prefix="/photographs/{routine_id}")

Upload = UploadFile | DomainError
"""A file that was sent, or why it is not taken: the page says that beside the field."""


async def _folder(request: Request) -> MediaFolder:
    # Beside the music: what is uploaded for a routine is one folder, and goes into backups as one.
    return MediaFolder(request.app.state.settings.music_dir)


Folder = Annotated[MediaFolder, Depends(_folder)]


async def _upload(request: Request) -> AsyncIterator[Upload]:
    try:
        form = await request.form()
    except OSError as error:  # While it arrives, it is put down in a temporary file.
        trouble = disk_trouble(error)
        if trouble is None:
            raise
        yield trouble
        return
    file = form.get("photograph")
    try:
        if isinstance(file, UploadFile) and file.filename:
            yield file
        else:
            yield InvalidInput.of("photograph", "Choose a photograph first.")
    finally:
        await form.close()


@router.post("")
def post_photograph(
    request: Request,
    held: HeldDatabase,
    folder: Folder,
    routine_id: str,
    upload: Annotated[Upload, Depends(_upload)],
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
def post_photograph_delete(held: HeldDatabase, folder: Folder, routine_id: str) -> Response:
    with held.writing() as session:
        load_routine(session, routine_id)
        old = remove_photograph(session, routine_id)
    if old is not None:
        folder.drop(old)
    return see(f"/routines/{routine_id}/station")


@router.get("/{key}")
def get_photograph(session: ReadSession, folder: Folder, routine_id: str, key: str) -> Response:
    found = load_photograph(session, routine_id, key)
    path = folder.path(found.key)
    if not path.is_file():
        raise NotFound("The file of this photograph is gone from the data folder. Send it again.")
    # Another photograph has another key, so this answer never goes stale.
    headers = {"Cache-Control": "private, max-age=31536000, immutable"}
    return FileResponse(path, media_type=found.media_type, headers=headers)


def _kept(folder: MediaFolder, upload: Upload) -> Photograph:
    if isinstance(upload, DomainError):
        raise upload
    return take_photograph(folder, upload.file)
