"""Files that are sent with a form: one as it came, or why it is not taken."""

from collections.abc import AsyncIterator, Callable
from typing import Annotated

from fastapi import Depends, Request
from fastapi.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile

from server.domain.base.errors import DomainError, InvalidInput, NoRoom
from server.domain.base.numbers import read_whole
from server.store.disk import disk_trouble
from server.store.uploads.media import MediaFolder

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
