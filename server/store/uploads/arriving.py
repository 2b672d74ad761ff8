"""Files that arrive in parts in their order: how much of one is here, and what it is."""

from typing import Protocol

from server.domain.base.errors import Conflict, InvalidInput, TooLarge
from server.domain.base.media import HEAD_BYTES, Kind, container_of, media_type
from server.store.uploads.media import MB, MediaFolder


class Arriving(Protocol):
    """The row of a file that arrives; `kind` is "sound" or "video"."""

    kind: str
    media_type: str
    file: str
    size_bytes: int
    received_bytes: int
    received_parts: int
    done: bool


def require_size(folder: MediaFolder, size_bytes: int, most_bytes: int) -> None:
    """Raise TooLarge and NoRoom for a file of that size that is to come."""
    if size_bytes > most_bytes:
        raise TooLarge(
            f"A recording may have {most_bytes // MB} MB; this one has "
            f"{-(-size_bytes // MB)} MB. NINEFIFTY_RECORDING_MB sets the limit."
        )
    folder.require_room(size_bytes)


def take_part(folder: MediaFolder, row: Arriving, number: int, part: bytes) -> bool:
    """Add part `number`, counted from 0; False for one that is here already.

    Raises Conflict for a part that comes before its time or where the file lacks some of those
    before it, InvalidInput for what is no sound or video, TooLarge for more than was announced,
    and NoRoom.
    """
    if number < row.received_parts or row.done:
        return False
    if number > row.received_parts:
        raise Conflict(f"Part {row.received_parts} comes first.")
    if not part or row.received_bytes + len(part) > row.size_bytes:
        raise TooLarge("This part does not fit what was announced.")
    if number == 0:
        row.media_type = _type_of(part, row)
    folder.append(row.file, row.received_bytes, part)
    row.received_bytes += len(part)
    row.received_parts += 1
    row.done = row.received_bytes == row.size_bytes
    return True


def begin_anew(row: Arriving) -> None:
    """Count nothing of a file as here."""
    row.received_bytes = row.received_parts = 0
    row.done = False


def _type_of(first_part: bytes, row: Arriving) -> str:
    container = container_of(first_part[:HEAD_BYTES])
    kind: Kind = "video" if row.kind == "video" else "sound"
    found = container and media_type(container, kind)
    if not found:
        raise InvalidInput.of("part", "This is no recording of sound or video.")
    return found
