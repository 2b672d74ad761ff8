"""Uploaded sound and video on disk: under random names, in one folder, with room left over.

Names are ours and say nothing; what a file is, is told by its first bytes (`server.domain.media`).
A file that arrives in parts is on disk with each part before the database counts it, and is cut
back to what was counted before the next one: a crash between the two leaves no gap and no double.
One that is shorter than what was counted is never lengthened: it has to come anew.
"""

import os
import shutil
from collections.abc import Callable
from pathlib import Path
from secrets import token_hex

from server.domain.errors import Conflict, NoRoom
from server.store.durable import provide_folder, sync_folder

KEPT_FREE = 200_000_000
"""Bytes that no upload may take: the database must be able to go on."""


def free_bytes(folder: Path) -> int:
    """How many bytes the disk under a folder has left."""
    return shutil.disk_usage(folder).free


class MediaFolder:
    """A folder of uploaded files."""

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
        return token_hex(16)

    def path(self, name: str) -> Path:
        """Where the file of a name is."""
        return self.folder / name

    def holds(self, name: str, size_bytes: int) -> bool:
        """Whether the first `size_bytes` of a file are here."""
        path = self.path(name)
        return size_bytes == 0 or (path.is_file() and path.stat().st_size >= size_bytes)

    def append(self, name: str, held_bytes: int, part: bytes) -> None:
        """Add a part behind the first `held_bytes` of a file; it is on disk on return.

        Raises Conflict where the file does not hold that much, and NoRoom where the disk is too
        full, also when that shows only while writing.
        """
        if not self.holds(name, held_bytes):
            raise Conflict("Some of what was sent is missing here: it has to be sent anew.")
        self.require_room(len(part))
        try:
            handle = os.open(self.path(name), os.O_RDWR | os.O_CREAT, 0o600)
            with os.fdopen(handle, "r+b") as file:
                file.truncate(held_bytes)
                file.seek(held_bytes)
                file.write(part)
                file.flush()
                os.fsync(file.fileno())
            if held_bytes == 0:
                sync_folder(self.folder)
        except OSError as error:
            raise NoRoom(f"The part could not be kept: {error.strerror}.") from error

    def remove(self, name: str) -> None:
        """Delete a file; it need not be there."""
        self.path(name).unlink(missing_ok=True)

    def _provide(self) -> None:
        provide_folder(self.folder, 0o700)
