"""The presenter's music: taken in on the Rehearse page, played there and on stage."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from server.domain.base.errors import DomainError, Fault
from server.store.routines import load_routine
from server.store.tracks import Track, load_track, remove_track, set_track, take_track
from server.store.uploads.media import MediaFolder
from server.web.frame.dependencies import HeldDatabase, ReadSession
from server.web.frame.door import HeldAsker
from server.web.frame.render import page, see
from server.web.frame.uploaded import (
    Upload,
    UploadFolder,
    exchange,
    file_under_its_key,
    take_away,
    upload_in,
)
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
    exchange(held, folder, routine_id, track, set_track)
    return see(f"/routines/{routine_id}/rehearse")


@router.post("/delete")
def post_delete(held: HeldDatabase, folder: UploadFolder, routine_id: str) -> Response:
    take_away(held, folder, routine_id, remove_track)
    return see(f"/routines/{routine_id}/rehearse")


@router.get("/{key}")
def get_track(
    session: ReadSession, folder: UploadFolder, asker: HeldAsker, routine_id: str, key: str
) -> Response:
    track = load_track(session, routine_id, key)
    gone = "The file of this music is gone from the data folder. Upload it again."
    path = folder.path(track.key)
    return file_under_its_key(path, track.media_type, asker, gone, track.name)


def _kept(folder: MediaFolder, upload: Upload) -> Track:
    """The track in its folder, or why it is refused, raised."""
    if isinstance(upload, DomainError):
        raise upload
    return take_track(folder, upload.file, upload.filename or "")
