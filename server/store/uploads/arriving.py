"""Files that arrive in parts in their order: how much of one is here, and what it is."""

from typing import Protocol

from server.domain.base.errors import Conflict, InvalidInput, TooLarge
from server.domain.base.media import HEAD_BYTES, Kind, container_of, media_type
from server.store.uploads.media import MB
from server.store.uploads.media_place import MediaPlace


class Counted(Protocol):
    """How much of a file is counted as here; `kind` is "sound" or "video"."""

    @property
    def kind(self) -> str:
        """What it is of."""

    @property
    def file(self) -> str:
        """The name it lies under, "" for none."""

    @property
    def size_bytes(self) -> int:
        """How much was announced."""

    @property
    def received_bytes(self) -> int:
        """How much is here."""

    @property
    def received_parts(self) -> int:
        """The same in parts."""

    @property
    def done(self) -> bool:
        """Whether that is all of it."""


class Arriving(Protocol):
    """The row of a file that arrives; `kind` is "sound" or "video"."""

    kind: str
    media_type: str
    file: str
    size_bytes: int
    received_bytes: int
    received_parts: int
    done: bool


def require_size(folder: MediaPlace, size_bytes: int, most_bytes: int) -> None:
    """Raise TooLarge and NoRoom for a file of that size that is to come."""
    if size_bytes > most_bytes:
        raise TooLarge(
            f"A recording may have {most_bytes // MB} MB; this one has "
            f"{-(-size_bytes // MB)} MB. NINEFIFTY_RECORDING_MB sets the limit."
        )
    folder.require_room(size_bytes)


def is_next(row: Counted, number: int, part: bytes) -> bool:
    """Whether part `number`, counted from 0, is the next to be added; not if it is here already.

    Raises Conflict for a part that comes before its time, InvalidInput for what is no sound or
    video, and TooLarge for more than was announced.
    """
    if number < row.received_parts or row.done:
        return False
    if number > row.received_parts:
        raise Conflict(f"Part {row.received_parts} comes first.")
    if not part or row.received_bytes + len(part) > row.size_bytes:
        raise TooLarge("This part does not fit what was announced.")
    if number == 0:
        _type_of(part, row)
    return True


def take_part(folder: MediaPlace, row: Arriving, number: int, part: bytes) -> bool:
    """Add part `number`, counted from 0; False for one that is here already.

    Raises what `is_next` does, Conflict where the file lacks some of the parts before it, NoRoom
    and Unreachable.
    """
    if not is_next(row, number, part):
        return False
    if number == 0:
        row.media_type = _type_of(part, row)
    folder.append(row.file, row.received_bytes, part)
    row.received_bytes += len(part)
    row.received_parts += 1
    row.done = row.received_bytes == row.size_bytes
    return True


def begin_anew(folder: MediaPlace, row: Arriving) -> None:
    """Count nothing of a file as here, and make room for it where the rest cannot do harm."""
    row.file = folder.name_anew(row.file)
    count_nothing(row)


def count_nothing(row: Arriving) -> None:
    """Count nothing of a file as here."""
    row.received_bytes = row.received_parts = 0
    row.done = False


def _type_of(first_part: bytes, row: Counted) -> str:
    container = container_of(first_part[:HEAD_BYTES])
    kind: Kind = "video" if row.kind == "video" else "sound"
    found = container and media_type(container, kind)
    if not found:
        raise InvalidInput.of("part", "This is no recording of sound or video.")
    return found
