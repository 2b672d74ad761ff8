"""Files that are sent with a form: one as it came, or why it is not taken; its place, and back."""

from collections.abc import AsyncIterator, Callable
from pathlib import Path
from typing import Annotated, Protocol, TypeVar

from fastapi import Depends, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import FileResponse
from sqlmodel import Session
from starlette.datastructures import UploadFile

from server.domain.base.errors import DomainError, InvalidInput, NoRoom, NotFound
from server.domain.base.numbers import read_whole
from server.store.database import Database
from server.store.disk import disk_trouble
from server.store.routines import load_routine
from server.store.uploads.media import MediaFolder
from server.web.frame.door import Asker
from server.web.frame.offered.links import kept_for_good


class KeptFile(Protocol):
    """What is known of a file that is kept under a key."""

    @property
    def key(self) -> str:
        """The key."""


K = TypeVar("K", bound=KeptFile)

Upload = UploadFile | DomainError
"""A file that was sent, or why it is not taken: the page says that beside the field."""


async def _folder(request: Request) -> MediaFolder:
    # What is uploaded for a routine is one folder, and goes into backups as one.
    return MediaFolder(request.app.state.settings.music_dir)


UploadFolder = Annotated[MediaFolder, Depends(_folder)]


def upload_in(name: str, missing: str) -> Callable[..., AsyncIterator[Upload]]:
    """A dependency: the file in the field `name` of a form; `missing` is said where none is."""

    async def _upload(request: Request, folder: UploadFolder) -> AsyncIterator[Upload]:
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
        file = form.get(name)
        try:
            if isinstance(file, UploadFile) and file.filename:
                yield file
            else:
                yield InvalidInput.of(name, missing)
        finally:
            await form.close()

    return _upload


def exchange(
    held: Database,
    folder: MediaFolder,
    routine_id: str,
    made: K,
    put: Callable[[Session, str, K], str | None],
) -> None:
    """Put a file that was just kept in the place of the one a routine has, whose key `put` returns.

    Committed here, for only then may the old file go. Raises NotFound.
    """
    try:
        with held.writing() as session:
            load_routine(session, routine_id)
            old = put(session, routine_id, made)
    except BaseException:
        folder.drop(made.key)
        raise
    if old is not None:
        folder.drop(old)


def take_away(
    held: Database,
    folder: MediaFolder,
    routine_id: str,
    take: Callable[[Session, str], str | None],
) -> None:
    """Take away the file that a routine has, whose key `take` returns. Raises NotFound."""
    with held.writing() as session:
        load_routine(session, routine_id)
        old = take(session, routine_id)
    if old is not None:
        folder.drop(old)


def file_under_its_key(
    path: Path, media_type: str, asker: Asker, gone: str, name: str | None = None
) -> Response:
    """A file as a page shows or plays it; raises NotFound, which says `gone`, where it is none.

    Another one has another key, so this answer never goes stale: a tablet keeps it.
    """
    if not path.is_file():
        raise NotFound(gone)
    headers = {"Cache-Control": kept_for_good(asker)}
    return FileResponse(path, media_type=media_type, headers=headers, filename=name)
