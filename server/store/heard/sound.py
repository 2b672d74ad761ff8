"""The sound of a take: announced, and received in parts in their order."""

from dataclasses import dataclass
from typing import Annotated

from pydantic import ConfigDict, Field
from sqlmodel import Session

from server.domain.base.errors import Conflict, InvalidInput
from server.domain.base.media import Kind
from server.domain.heard.decided import LONGEST_TAKE_MS
from server.store.heard.table import TakeRow
from server.store.heard.takes import live_take, save_take
from server.store.uploads.arriving import (
    Counted,
    begin_anew,
    count_nothing,
    require_size,
    take_part,
)
from server.store.uploads.before_writing import Find
from server.store.uploads.media_place import MediaPlace
from server.store.uploads.table import RecordingRow


@dataclass(frozen=True)
class AnnouncedSound:
    """What a browser says of a file before it sends it."""

    __pydantic_config__ = ConfigDict(extra="forbid", strict=True)

    kind: Kind
    size_bytes: Annotated[int, Field(ge=1, le=2**53)]
    lasts_ms: Annotated[int, Field(ge=0, le=2**53)] = 0


@dataclass(frozen=True)
class Arrived:
    """How much of a file is here, in parts, and whether that is all of it."""

    parts: int
    done: bool


def announce_sound(
    session: Session, folder: MediaPlace, take_id: str, told: AnnouncedSound, most_bytes: int
) -> Arrived:
    """Take note of a file that is to come, or find how much of it is here.

    Raises NotFound, Gone, TooLarge and NoRoom, and Conflict where the take has another sound.
    """
    row = live_take(session, take_id)
    if told.lasts_ms > LONGEST_TAKE_MS:
        raise InvalidInput.of("file", "This lasts longer than four hours. Cut it to the run first.")
    if row.file and row.size_bytes == told.size_bytes:
        if not folder.holds(row.file, row.received_bytes):
            begin_anew(folder, row)
            save_take(session, row)
        return _arrived(row)
    if row.recording_id is not None or row.done:
        raise Conflict("This take has its sound already.")
    require_size(folder, told.size_bytes, most_bytes)
    if row.file:
        folder.drop(row.file)
    count_nothing(row)
    row.file, row.kind, row.media_type = folder.new_name(), told.kind, ""
    row.size_bytes, row.lasts_ms = told.size_bytes, told.lasts_ms
    save_take(session, row)
    return _arrived(row)


def append_sound(
    session: Session, folder: MediaPlace, take_id: str, number: int, part: bytes
) -> Arrived:
    """Add part `number`, counted from 0; one that is here already changes nothing.

    Raises what `take_part` does, NotFound and Gone.
    """
    row = live_take(session, take_id)
    if not row.file:
        raise Conflict("This sound was not announced.")
    if take_part(folder, row, number, part):
        save_take(session, row)
    return _arrived(row)


def sound_row(take_id: str) -> Find:
    """Finds how much of the sound of a take is here, that of its recording where it has one, also
    where they were deleted.
    """

    def find(session: Session) -> Counted | None:
        row = session.get(TakeRow, take_id)
        if row is not None and row.recording_id is not None:
            return session.get(RecordingRow, row.recording_id)
        return row

    return find


def arriving_sound(take_id: str) -> Find:
    """Finds how much of a sound that arrives by itself is here. Raises NotFound and Gone."""

    def find(session: Session) -> Counted | None:
        row = live_take(session, take_id)
        return row if row.file else None

    return find


def _arrived(row: TakeRow) -> Arrived:
    return Arrived(row.received_parts, row.done)
