"""The presenter's music: taken in on the Rehearse page, played there and on stage."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from fastapi.responses import FileResponse

from server.domain.base.errors import DomainError, Fault, NotFound
from server.store.routines import load_routine
from server.store.tracks import Track, load_track, remove_track, set_track, take_track
from server.store.uploads.media import MediaFolder
from server.web.frame.dependencies import HeldDatabase, ReadSession
from server.web.frame.door import HeldAsker
from server.web.frame.offered.links import kept_for_good
from server.web.frame.render import page, see
from server.web.frame.uploaded import Upload, UploadFolder, upload_in
from server.web.stage.rehearse import rehearse_page_of

router = APIRouter(prefix="/music/{routine_id}")


SentMusic = Annotated[Upload, Depends(upload_in("music", "Choose a file first."))]


@router.post("")
def post_track(
    request: Request,
    held: HeldDatabase,
    folder: UploadFolder,
    routine_id: str,
    upload: SentMusic,
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
def post_delete(held: HeldDatabase, folder: UploadFolder, routine_id: str) -> Response:
    with held.writing() as session:
        load_routine(session, routine_id)
        old = remove_track(session, routine_id)
    if old is not None:
        folder.drop(old)
    return see(f"/routines/{routine_id}/rehearse")


@router.get("/{key}")
def get_track(
    session: ReadSession, folder: UploadFolder, asker: HeldAsker, routine_id: str, key: str
) -> Response:
    track = load_track(session, routine_id, key)
    path = folder.path(track.key)
    if not path.is_file():
        raise NotFound("The file of this music is gone from the data folder. Upload it again.")
    # Another track has another key, so this answer never goes stale: a tablet keeps it.
    headers = {"Cache-Control": kept_for_good(asker)}
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
