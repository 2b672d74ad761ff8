"""The presenter's music: one track a routine, a file of its own beside the database.

Files carry random names, so that nothing in a name can lead anywhere, and lie outside what is
served. A file is whole before a row names it, and goes only after no row names it any more.
"""

import errno
import os
import shutil
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from sqlmodel import Session

from server.domain.audio import KINDS, LONGEST_START, AudioKind, audio_kind
from server.domain.errors import InvalidInput, NotFound
from server.store.durable import provide_folder, sync_folder
from server.store.ids import new_id
from server.store.routines import touch_routine
from server.store.tables import TrackRow

MOST_BYTES = 64 * 1024 * 1024
"""A track is held in the memory of the tablet while the stage is open."""

ROOM_LEFT = 100 * 1024 * 1024
"""Bytes that stay free on the disk whatever is uploaded: marks of a run must find room."""

_PIECE = 1024 * 1024
_PART = ".part"
_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}


@dataclass(frozen=True)
class Track:
    """A routine's music: the name it came with, its kind, its size, and where it is kept."""

    key: str
    name: str
    media_type: str
    size: int


class TrackShelf:
    """The folder of the tracks."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def path(self, key: str) -> Path:
        """Where the track of that key lies."""
        return self._folder / key

    def refuse_without_room(self, size: int) -> None:
        """Raise InvalidInput where `size` more bytes would leave too little room on the disk."""
        provide_folder(self._folder)
        if shutil.disk_usage(self._folder).free < size + ROOM_LEFT:
            raise no_room()

    def put(self, content: BinaryIO) -> tuple[str, AudioKind, int]:
        """Keep a file; returns its key, kind and size. Nothing stays of one that is refused.

        Raises InvalidInput for what is too large, is no sound, or finds no room.
        """
        kind = audio_kind(content.read(LONGEST_START))
        if kind is None:
            raise InvalidInput.of("music", f"This is no sound file. {_kinds_taken()}")
        content.seek(0)
        key = new_id() + new_id()
        part = self._folder / f"{key}{_PART}"
        try:
            self.refuse_without_room(0)
            size = _copy(content, part)
            part.rename(self.path(key))
            sync_folder(self._folder)
        except OSError as error:
            raise (no_room() if error.errno in _FULL else error) from error
        finally:
            part.unlink(missing_ok=True)
        return key, kind, size

    def clear(self) -> None:
        """Delete what a crash left of uploads; call it while none is under way."""
        for part in self._folder.glob(f"*{_PART}"):
            part.unlink(missing_ok=True)

    def drop(self, key: str) -> None:
        """Delete a track that no row names any more."""
        with suppress(OSError):  # What cannot be deleted now costs room, nothing else.
            self.path(key).unlink(missing_ok=True)


def no_room() -> InvalidInput:
    """The refusal of an upload that finds no room."""
    return InvalidInput.of(
        "music",
        "The disk of the computer is full. Make room there and try again; nothing was lost.",
    )


def track_of(session: Session, routine_id: str) -> Track | None:
    """The routine's music; None where it has none."""
    row = session.get(TrackRow, routine_id)
    return None if row is None else Track(row.key, row.name, row.media_type, row.size)


def load_track(session: Session, routine_id: str, key: str) -> Track:
    """The routine's music, if it is still the one of that key. Raises NotFound."""
    track = track_of(session, routine_id)
    if track is None or track.key != key:
        raise NotFound("This music is not here any more.")
    return track


def set_track(session: Session, routine_id: str, track: Track) -> str | None:
    """Make a track the routine's music; returns the key of the one it takes the place of."""
    row = session.get(TrackRow, routine_id)
    old = None if row is None else row.key
    if row is not None:
        session.delete(row)
        session.flush()
    session.add(
        TrackRow(
            routine_id=routine_id,
            key=track.key,
            name=track.name,
            media_type=track.media_type,
            size=track.size,
        )
    )
    touch_routine(session, routine_id)
    return old


def remove_track(session: Session, routine_id: str) -> str | None:
    """Take the routine's music away; returns its key, None where there was none."""
    row = session.get(TrackRow, routine_id)
    if row is None:
        return None
    session.delete(row)
    touch_routine(session, routine_id)
    return row.key


def _copy(content: BinaryIO, target: Path) -> int:
    size = 0
    with target.open("xb") as file:
        while piece := content.read(_PIECE):
            size += len(piece)
            if size > MOST_BYTES:
                raise InvalidInput.of("music", too_large())
            file.write(piece)
        file.flush()
        os.fsync(file.fileno())
    return size


def too_large() -> str:
    """What is said of a track that is too large."""
    return f"A track may have {MOST_BYTES // 1024 // 1024} MB. Save it as MP3 or M4A and try again."


def _kinds_taken() -> str:
    return f"Choose {', '.join(kind.name for kind in KINDS[:-1])} or {KINDS[-1].name}."
