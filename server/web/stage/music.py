"""The presenter's music: taken in on the Rehearse page, played there and on stage."""

from collections.abc import AsyncIterator
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import FileResponse
from starlette.datastructures import UploadFile

from server.domain.base.errors import DomainError, Fault, InvalidInput, NoRoom, NotFound
from server.domain.base.numbers import read_whole
from server.store.disk import disk_trouble
from server.store.routines import load_routine
from server.store.tracks import Track, load_track, remove_track, set_track, take_track
from server.store.uploads.media import MediaFolder
from server.web.frame.dependencies import HeldDatabase, ReadSession
from server.web.frame.door import HeldAsker
from server.web.frame.offered.links import kept_for
from server.web.frame.render import page, see
from server.web.stage.rehearse import rehearse_page_of

router = APIRouter(prefix="/music/{routine_id}")

Upload = UploadFile | DomainError
"""A file that was sent, or why it is not taken: the page says that beside the field."""


async def _folder(request: Request) -> MediaFolder:
    return MediaFolder(request.app.state.settings.music_dir)


Folder = Annotated[MediaFolder, Depends(_folder)]


async def _upload(request: Request, folder: Folder) -> AsyncIterator[Upload]:
    said = request.headers.get("content-length", "")
    try:
        await run_in_threadpool(folder.require_room, read_whole(said) or 0)
        form = await request.form()
    except NoRoom as error:
        yield error
        return
    except OSError as error:  # While it arrives, it is put down in a temporary file.
        trouble = disk_trouble(error)
        if trouble is None:
            raise
        yield trouble
        return
    file = form.get("music")
    try:
        if isinstance(file, UploadFile) and file.filename:
            yield file
        else:
            yield InvalidInput.of("music", "Choose a file first.")
    finally:
        await form.close()


@router.post("")
def post_track(
    request: Request,
    held: HeldDatabase,
    folder: Folder,
    routine_id: str,
    upload: Annotated[Upload, Depends(_upload)],
) -> Response:
    with held.reading() as session:
        stored = load_routine(session, routine_id)
        try:
            track = _kept(folder, upload)
        except DomainError as error:
            shown = rehearse_page_of(session, stored, [Fault("music", error.message)])
            return page(request, "rehearse", shown, 422)
    _exchange(held, folder, routine_id, track)
    return see(f"/routines/{routine_id}/rehearse")


@router.post("/delete")
def post_delete(held: HeldDatabase, folder: Folder, routine_id: str) -> Response:
    with held.writing() as session:
        load_routine(session, routine_id)
        old = remove_track(session, routine_id)
    if old is not None:
        folder.drop(old)
    return see(f"/routines/{routine_id}/rehearse")


@router.get("/{key}")
def get_track(
    session: ReadSession, folder: Folder, asker: HeldAsker, routine_id: str, key: str
) -> Response:
    track = load_track(session, routine_id, key)
    path = folder.path(track.key)
    if not path.is_file():
        raise NotFound("The file of this music is gone from the data folder. Upload it again.")
    # Another track has another key, so this answer never goes stale: a tablet keeps it.
    is_alone = asker.person is None
    kept = "private, max-age=31536000, immutable" if is_alone else kept_for(asker)
    headers = {"Cache-Control": kept}
    return FileResponse(path, media_type=track.media_type, headers=headers, filename=track.name)


def _kept(folder: MediaFolder, upload: Upload) -> Track:
    """The track in its folder, or why it is refused, raised."""
    if isinstance(upload, DomainError):
        raise upload
    return take_track(folder, upload.file, upload.filename or "")


def _exchange(held: HeldDatabase, folder: MediaFolder, routine_id: str, track: Track) -> None:
    """Make `track` the routine's music; committed here, for only then may the old file go."""
    try:
        with held.writing() as session:
            old = set_track(session, routine_id, track)
    except BaseException:
        folder.drop(track.key)
        raise
    if old is not None:
        folder.drop(old)
