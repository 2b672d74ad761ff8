"""Files that are sent with a form: one as it came, or why it is not taken; its place, and back."""

from collections.abc import AsyncIterator, Callable
from typing import Annotated, Protocol, TypeVar

from fastapi import Depends, Request, Response
from fastapi.concurrency import run_in_threadpool
from sqlmodel import Session
from starlette.datastructures import UploadFile

from server.domain.base.errors import DomainError, InvalidInput, NoRoom, Unreachable
from server.domain.base.numbers import read_whole
from server.store.disk import disk_trouble
from server.store.routines import load_routine
from server.store.uploads.media_place import MediaPlace, place_at
from server.web.frame.dependencies import HeldDatabase, HeldSettings, made_of
from server.web.frame.door import Asker
from server.web.frame.offered.links import kept_for_good
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.frame.uploads.placed_file import placed_file


class KeptFile(Protocol):
    """What is known of a file that is kept under a key."""

    @property
    def key(self) -> str:
        """The key."""


K = TypeVar("K", bound=KeptFile)

Upload = UploadFile | DomainError
"""A file that was sent, or why it is not taken: the page says that beside the field."""


async def _folder(settings: HeldSettings) -> MediaPlace:
    # What is uploaded for a routine is one folder, and goes into backups as one.
    return place_at(settings.files, settings.music_dir)


UploadFolder = Annotated[MediaPlace, Depends(_folder)]


async def recordings_folder(settings: HeldSettings) -> MediaPlace:
    """Where recordings and the sounds of takes lie."""
    return place_at(settings.files, settings.recordings_folder)


RecordingsFolder = Annotated[MediaPlace, Depends(recordings_folder)]


async def _part_number(number: int) -> int:
    if number < 0:
        raise InvalidInput.of("number", "Parts are counted from 0.")
    return number


PartNumber = Annotated[int, Depends(_part_number)]
"""Which part of a file that is sent in parts."""


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


class FilePlace:
    """The place of the one file of a kind that a routine has: filled, exchanged, emptied."""

    def __init__(
        self, request: Request, held: HeldDatabase, folder: UploadFolder, routine_id: str
    ) -> None:
        self._request = request
        self._held = held
        self._folder = folder
        self._routine_id = routine_id

    def take_in(
        self,
        upload: Upload,
        take: Callable[[MediaPlace, UploadFile], K],
        put: Callable[[Session, str, K], str | None],
        again: Callable[[Session, str], Page],
        then: str,
    ) -> Response:
        """Keep what was sent as `take` says, make it the routine's with `put`, go on to `then`.

        Where it is not taken, the page `again` says why. `put` returns the key of the file before.
        """
        try:
            if isinstance(upload, DomainError):
                raise upload
            made = take(self._folder, upload)
        except DomainError as error:
            with self._held.reading() as session:
                shown = again(session, error.message)
            status = 503 if isinstance(error, Unreachable) else 422
            return page(self._request, shown, status)
        try:
            old = self._changed(lambda session: put(session, self._routine_id, made))
        except BaseException:
            self._folder.drop(made.key)
            raise
        self._drop(old)
        return see(then)

    def take_away(self, take: Callable[[Session, str], str | None], then: str) -> Response:
        """Let the routine have none, go on to `then`; `take` returns the key of the one it had."""
        self._drop(self._changed(lambda session: take(session, self._routine_id)))
        return see(then)

    def _changed(self, change: Callable[[Session], str | None]) -> str | None:
        with self._held.writing() as session:
            load_routine(session, self._routine_id)
            return change(session)

    def _drop(self, old: str | None) -> None:
        # Only once the change is committed may the old file go.
        if old is not None:
            self._folder.drop(old)


HeldFile = Annotated[FilePlace, Depends(made_of(FilePlace))]


def file_under_its_key(
    request: Request,
    place: MediaPlace,
    key: str,
    media_type: str,
    asker: Asker,
    gone: str,
    name: str | None = None,
) -> Response:
    """A file as a page shows or plays it; raises NotFound, which says `gone`, where it is none.

    Another one has another key, so this answer never goes stale: a tablet keeps it.
    """
    headers = {"Cache-Control": kept_for_good(asker)}
    return placed_file(
        request, place.ahead(), key, gone, media_type=media_type, headers=headers, filename=name
    )
