"""The presenter's music: taken in on the Rehearse page, played there and on stage."""

from collections.abc import AsyncIterator
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import FileResponse
from starlette.datastructures import UploadFile

from server.domain.base.errors import InvalidInput, NotFound
from server.domain.base.numbers import read_whole
from server.domain.base.text import LINE
from server.store.routines import load_routine
from server.store.tracks import (
    Track,
    TrackShelf,
    load_track,
    no_room,
    remove_track,
    set_track,
)
from server.web.frame.dependencies import HeldDatabase, ReadSession
from server.web.frame.render import page, see
from server.web.stage.rehearse import rehearse_context

router = APIRouter(prefix="/music/{routine_id}")

Upload = UploadFile | InvalidInput
"""A file that was sent, or why it is not taken: the page says that beside the field."""


async def _shelf(request: Request) -> TrackShelf:
    return TrackShelf(request.app.state.settings.music_dir)


Shelf = Annotated[TrackShelf, Depends(_shelf)]


async def _upload(request: Request, shelf: Shelf) -> AsyncIterator[Upload]:
    said = request.headers.get("content-length", "")
    try:
        await run_in_threadpool(shelf.refuse_without_room, read_whole(said) or 0)
        form = await request.form()
    except InvalidInput as error:
        yield error
        return
    except OSError:  # While it arrives, it is put down in a temporary file.
        yield no_room()
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
    shelf: Shelf,
    routine_id: str,
    upload: Annotated[Upload, Depends(_upload)],
) -> Response:
    with held.reading() as session:
        stored = load_routine(session, routine_id)
        try:
            track = _kept(shelf, upload)
        except InvalidInput as error:
            context = rehearse_context(session, stored, error.faults)
            return page(request, "rehearse", context, 422)
    _exchange(held, shelf, routine_id, track)
    return see(f"/routines/{routine_id}/rehearse")


@router.post("/delete")
def post_delete(held: HeldDatabase, shelf: Shelf, routine_id: str) -> Response:
    with held.writing() as session:
        load_routine(session, routine_id)
        old = remove_track(session, routine_id)
    if old is not None:
        shelf.drop(old)
    return see(f"/routines/{routine_id}/rehearse")


@router.get("/{key}")
def get_track(session: ReadSession, shelf: Shelf, routine_id: str, key: str) -> Response:
    track = load_track(session, routine_id, key)
    path = shelf.path(track.key)
    if not path.is_file():
        raise NotFound("The file of this music is gone from the data folder. Upload it again.")
    # Another track has another key, so this answer never goes stale: a tablet keeps it.
    headers = {"Cache-Control": "private, max-age=31536000, immutable"}
    return FileResponse(path, media_type=track.media_type, headers=headers, filename=track.name)


def _kept(shelf: TrackShelf, upload: Upload) -> Track:
    """The track on the shelf, or InvalidInput."""
    if isinstance(upload, InvalidInput):
        raise upload
    key, kind, size = shelf.put(upload.file)
    # Of a name only what a person reads is kept; it leads to no file.
    name = " ".join((upload.filename or "").split())[-LINE:]
    return Track(key, name, kind.media_type, size)


def _exchange(held: HeldDatabase, shelf: TrackShelf, routine_id: str, track: Track) -> None:
    """Make `track` the routine's music; committed here, for only then may the old file go."""
    try:
        with held.writing() as session:
            old = set_track(session, routine_id, track)
    except BaseException:
        shelf.drop(track.key)
        raise
    if old is not None:
        shelf.drop(old)
