"""The presenter's music: one track a routine, a file of its own beside the database.

A file is whole before a row names it, and goes only after no row names it any more.
"""

from dataclasses import asdict, dataclass
from typing import BinaryIO

from sqlmodel import Session

from server.domain.base.audio import KINDS, LONGEST_START, audio_kind
from server.domain.base.errors import InvalidInput, NotFound, TooLarge
from server.domain.base.text import LINE
from server.store.tables import TrackRow
from server.store.uploads.media import MB
from server.store.uploads.media_place import MediaPlace
from server.store.uploads.single_file import remove_file, set_file

MOST_BYTES = 64 * MB
"""A track is held in the memory of the tablet while the stage is open."""


@dataclass(frozen=True)
class Track:
    """A routine's music: the name it came with, its kind, its size, and where it is kept."""

    key: str
    name: str
    media_type: str
    size: int


def take_track(folder: MediaPlace, content: BinaryIO, called: str) -> Track:
    """Keep a file of music, called so where it came from, in the folder of the tracks.

    Raises InvalidInput for what is no sound, TooLarge and NoRoom; nothing then stays of it.
    """
    kind = audio_kind(content.read(LONGEST_START))
    if kind is None:
        raise InvalidInput.of("music", f"This is no sound file. {_kinds_taken()}")
    content.seek(0)
    try:
        key, size = folder.put(content, MOST_BYTES)
    except TooLarge as error:
        raise TooLarge(
            f"A track may have {MOST_BYTES // MB} MB. Save it as MP3 or M4A and try again."
        ) from error
    # Of a name only what a person reads is kept; it leads to no file.
    return Track(key, " ".join(called.split())[-LINE:], kind.media_type, size)


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
    return set_file(session, TrackRow, routine_id, **asdict(track))


def remove_track(session: Session, routine_id: str) -> str | None:
    """Take the routine's music away; returns its key, None where there was none."""
    return remove_file(session, TrackRow, routine_id)


def _kinds_taken() -> str:
    return f"Choose {', '.join(kind.name for kind in KINDS[:-1])} or {KINDS[-1].name}."
