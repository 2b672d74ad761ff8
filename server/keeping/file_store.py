"""Music and recordings in a store (NINEFIFTY_FILES), for those who keep the data as a whole."""

import logging
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from server.domain.base.errors import Unreachable
from server.keeping.trouble import Trouble
from server.settings import MUSIC_NAME, RECORDINGS_NAME, Settings
from server.store.uploads.media_place import MediaPlace, far, place_at

UPLOADED = (MUSIC_NAME, RECORDINGS_NAME)
PIECE = 4 * 1024 * 1024

_log = logging.getLogger(__name__)


def require_file_store(settings: Settings) -> None:
    """Raise Trouble where the store of the settings can never be used.

    One that does not answer just now is told in the log: without it the app serves all the same.
    """
    if not settings.files:
        return
    try:
        from server.store.uploads.bucket import missing_variables
    except ImportError as error:
        raise Trouble(
            f"NINEFIFTY_FILES needs what is not installed: {error}. ./run installs it by itself; "
            "elsewhere: pip install '.[files]'"
        ) from error
    if missing := missing_variables():
        raise Trouble(
            f"NINEFIFTY_FILES is “{settings.files}”, and {', '.join(missing)} must say where that "
            "store is and who asks it."
        )
    if place := far(place_at(settings.files, settings.recordings_folder)):
        place.trouble()  # The log says it.


def far_files(settings: Settings, parts: tuple[str, ...]) -> Iterator[tuple[Path, str]]:
    """The files of some parts that lie in a store, with the names they have in a backup.

    Each is a copy, there until the next is asked for. Raises Trouble.
    """
    for part, place in _places(settings, parts):
        with _told(settings):
            for name, _ in place.files():
                with place.at_hand(name) as path:
                    yield path, f"{part}/{name}"


def listed_far(settings: Settings, taken: tuple[str, ...]) -> tuple[str, dict[str, int] | None]:
    """The store, and names and sizes of what lies in it in parts that are not `taken` from there.

    None for a store that cannot be asked: a backup without the list is better than none.
    """
    left = tuple(part for part in UPLOADED if part not in taken)
    if not settings.files or not left:
        return "", {}
    try:
        places = _places(settings, left)
        return settings.files, {
            f"{part}/{name}": size for part, place in places for name, size in place.files()
        }
    except Unreachable:
        return settings.files, None


def lost_far(settings: Settings, listed: Mapping[str, int]) -> list[str] | None:
    """Which of the files that a backup lists are not whole in the store; None where it cannot be
    asked. Where there is no store all of them are.
    """
    there = listed_far(settings, ())[1]
    if there is None:
        return None
    return sorted(name for name, size in listed.items() if there.get(name, -1) < size)


def put_far(settings: Settings, room: Path, parts: tuple[str, ...]) -> tuple[str, ...]:
    """Put what was unpacked into the store, where there is one; returns the parts that stay here.

    A name stands for one content, so what is there stays. Raises Trouble.
    """
    far_parts = dict(_places(settings, parts))
    for part, place in far_parts.items():
        with _told(settings):
            for path in sorted((room / part).glob("*")):
                _put(place, path)
    return tuple(part for part in parts if part not in far_parts)


def near(settings: Settings, parts: tuple[str, ...]) -> tuple[str, ...]:
    """Those parts that lie in the data folder."""
    return tuple(part for part in parts if not (settings.files and part in UPLOADED))


def _put(place: MediaPlace, path: Path) -> None:
    size, held = path.stat().st_size, 0
    if place.size(path.name) == size:
        return
    with path.open("rb") as file:
        while piece := file.read(PIECE):
            place.append(path.name, held, piece)
            held += len(piece)


def _places(settings: Settings, parts: tuple[str, ...]) -> Iterator[tuple[str, MediaPlace]]:
    for part in parts:
        if settings.files and part in UPLOADED:
            yield part, place_at(settings.files, settings.data_dir / part)


@contextmanager
def _told(settings: Settings) -> Iterator[None]:
    try:
        yield
    except Unreachable as error:
        raise Trouble(
            f"{settings.files} cannot be reached, or refuses what it is asked: see the line of the "
            "log above. Nothing was changed here."
        ) from error
