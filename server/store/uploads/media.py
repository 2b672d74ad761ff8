"""Uploaded sound and video on disk: under random names, in one folder, with room left over.

Names are ours and say nothing, and nothing in one can lead anywhere; what a file is, is told by
its first bytes (`server.domain.base`). A file that comes whole is whole before anything names it.
One that arrives in parts is on disk with each part before the database counts it, and is cut
back to what was counted before the next one: a crash between the two leaves no gap and no double.
One that is shorter than what was counted is never lengthened: it has to come anew.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext, suppress
from pathlib import Path
from secrets import token_hex
from typing import BinaryIO

from server.domain.base.errors import Conflict, NoRoom, TooLarge
from server.store.disk import disk_trouble
from server.store.durable import provide_folder, sync_folder

KEPT_FREE = 200_000_000
"""Bytes that no upload may take: the database must be able to go on."""

MB = 1024 * 1024
_PART = ".part"


def free_bytes(folder: Path) -> int:
    """How many bytes the disk under a folder has left."""
    return shutil.disk_usage(folder).free


def random_name() -> str:
    """A name that says nothing and was never given before."""
    return token_hex(16)


class MediaFolder:
    """A folder of uploaded files: the `MediaPlace` that needs nothing else."""

    is_far = False

    def __init__(self, folder: Path, free: Callable[[Path], int] = free_bytes) -> None:
        self.folder = folder
        self._free = free

    @property
    def free(self) -> int:
        """Bytes that uploads may still take."""
        self._provide()
        return max(self._free(self.folder) - KEPT_FREE, 0)

    def require_room(self, size_bytes: int) -> None:
        """Raise NoRoom where `size_bytes` more would leave the disk too full."""
        if size_bytes > self.free:
            raise NoRoom(
                "The disk of the computer that keeps the app is too full for this. Make room "
                "there, then try again; nothing is lost until then."
            )

    def new_name(self) -> str:
        """A name for a file that is yet to come."""
        return random_name()

    def name_anew(self, name: str) -> str:
        """The same: with its first part a file is cut back to nothing."""
        return name

    def path(self, name: str) -> Path:
        """Where the file of a name is."""
        return self.folder / name

    def size(self, name: str) -> int | None:
        """How much of a file is here; None for nothing of it."""
        path = self.path(name)
        return path.stat().st_size if path.is_file() else None

    def holds(self, name: str, size_bytes: int) -> bool:
        """Whether the first `size_bytes` of a file are here."""
        return size_bytes == 0 or (self.size(name) or 0) >= size_bytes

    def put(self, content: BinaryIO, most_bytes: int) -> tuple[str, int]:
        """Keep a file that comes whole; returns its name and size in bytes.

        Raises TooLarge beyond `most_bytes`, and NoRoom; nothing then stays of it.
        """
        self.require_room(0)
        name = self.new_name()
        part = self.path(f"{name}{_PART}")
        try:
            with _kept():
                size = _copy(content, part, most_bytes)
                part.rename(self.path(name))
                sync_folder(self.folder)
        finally:
            part.unlink(missing_ok=True)
        return name, size

    def append(self, name: str, held_bytes: int, part: bytes) -> None:
        """Add a part behind the first `held_bytes` of a file; it is on disk on return.

        Raises Conflict where the file does not hold that much, and NoRoom where the disk is too
        full, also when that shows only while writing.
        """
        if not self.holds(name, held_bytes):
            raise Conflict("Some of what was sent is missing here: it has to be sent anew.")
        self.require_room(len(part))
        with _kept():
            handle = os.open(self.path(name), os.O_RDWR | os.O_CREAT, 0o600)
            with os.fdopen(handle, "r+b") as file:
                file.truncate(held_bytes)
                file.seek(held_bytes)
                file.write(part)
                _sync(file)
            if held_bytes == 0:
                sync_folder(self.folder)

    def at_hand(self, name: str) -> AbstractContextManager[Path]:
        """The file itself, within this block."""
        return nullcontext(self.path(name))

    def files(self) -> Iterator[tuple[str, int]]:
        """Names and sizes of all files."""
        for path in sorted(self.folder.glob("*")):
            with suppress(FileNotFoundError):  # It was deleted meanwhile.
                if path.is_file():
                    yield path.name, path.stat().st_size

    def ahead(self) -> "MediaFolder":
        """The same: what is asked of a disk takes no time."""
        return self

    def remove(self, name: str) -> None:
        """Delete a file; it need not be there."""
        self.path(name).unlink(missing_ok=True)

    def drop(self, name: str) -> None:
        """Delete a file that nothing names any more, if that can be done now."""
        with suppress(OSError):  # What cannot be deleted costs room, nothing else.
            self.remove(name)

    def clear(self) -> None:
        """Delete what a crash left of files that came whole; call it while none is under way."""
        for part in self.folder.glob(f"*{_PART}"):
            part.unlink(missing_ok=True)

    def _provide(self) -> None:
        provide_folder(self.folder, 0o700)


@contextmanager
def _kept() -> Iterator[None]:
    """A stretch that writes to the disk; what fails in it is told in words."""
    try:
        yield
    except OSError as error:
        told = disk_trouble(error) or NoRoom(f"It could not be kept: {error.strerror}.")
        raise told from error


def _copy(content: BinaryIO, target: Path, most_bytes: int) -> int:
    size = 0
    with os.fdopen(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        while piece := content.read(MB):
            size += len(piece)
            if size > most_bytes:
                raise TooLarge(f"A file may have {most_bytes // MB} MB here.")
            file.write(piece)
        _sync(file)
    return size


def _sync(file: BinaryIO) -> None:
    file.flush()
    os.fsync(file.fileno())
