"""Where uploaded files lie: in a folder of the data folder, or in a bucket of an S3-compatible
store, which several machines reach without sharing a disk.

Both keep what was answered: a part is on disk, or acknowledged by the store, before the database
counts it. In both a file is what came in order from its first byte, and nothing names it before.
"""

from collections.abc import Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from typing import BinaryIO, Literal, Protocol, cast

from server.domain.base.errors import Unreachable
from server.store.uploads.media import MediaFolder


class MediaPlace(Protocol):
    """One kind of uploaded files, wherever they lie. All but `new_name` may raise Unreachable."""

    is_far: bool
    """Whether each question travels, so that none is to be asked while others wait to write."""

    @property
    def free(self) -> int | None:
        """Bytes that uploads may still take; None where nobody can tell."""

    def require_room(self, size_bytes: int) -> None:
        """Raise NoRoom where there is none for so much more."""

    def new_name(self) -> str:
        """A name for a file that is yet to come."""

    def name_anew(self, name: str) -> str:
        """The name under which a file that lacks some of what was counted comes anew."""

    def size(self, name: str) -> int | None:
        """How much of a file is here, from its first byte; None for nothing of it."""

    def holds(self, name: str, size_bytes: int) -> bool:
        """Whether the first `size_bytes` of a file are here."""

    def put(self, content: BinaryIO, most_bytes: int) -> tuple[str, int]:
        """Keep a file that comes whole; returns its name and size in bytes.

        Raises TooLarge beyond `most_bytes`, and NoRoom; nothing then stays of it.
        """

    def append(self, name: str, held_bytes: int, part: bytes) -> None:
        """Add a part behind the first `held_bytes` of a file; it is kept for good on return.

        Raises Conflict where the file does not hold that much, and NoRoom.
        """

    def at_hand(self, name: str) -> AbstractContextManager[Path]:
        """A file of this computer with the content, within this block; it may be missing there."""

    def files(self) -> Iterator[tuple[str, int]]:
        """Names and sizes of all files, also of those that nothing names any more."""

    def remove(self, name: str) -> None:
        """Delete a file; it need not be there. Raises OSError."""

    def drop(self, name: str) -> None:
        """Delete a file that nothing names any more, if that can be done now."""

    def clear(self) -> None:
        """Delete what a crash left of files that came whole; call it while none is under way."""

    def ahead(self) -> "MediaPlace":
        """This place as one request sees it: what it was asked or given once is not sent again.

        So what travels is done before the writer is held, and what is done then needs no change.
        """


class FarPlace(MediaPlace, Protocol):
    """A place in a store, from which files are read through the app."""

    def read(self, name: str, start: int, stop: int) -> Iterator[bytes]:
        """The bytes of a file from `start` to before `stop`. Raises FileNotFoundError."""

    def trouble(self) -> str:
        """Why files cannot be had just now, "" where they can."""


def far(place: MediaPlace) -> FarPlace | None:
    """A place as one in a store; None where it is a folder."""
    return cast(FarPlace, place) if place.is_far else None


def place_at(address: str, folder: Path) -> MediaPlace:
    """The place for the files of one kind: the folder, or where there is an address a bucket."""
    if not address:
        return MediaFolder(folder)
    # Its library is loaded only where it is used.
    from server.store.uploads.bucket import MediaBucket, bucket_at

    return MediaBucket(bucket_at(address), folder.name)


Whereabouts = Literal["here", "missing", "unreachable"]


def whereabouts(place: MediaPlace, name: str, size_bytes: int) -> Whereabouts:
    """Whether a file can be played, for a page that opens whatever is so."""
    try:
        return "here" if place.holds(name, size_bytes) else "missing"
    except Unreachable:
        return "unreachable"
