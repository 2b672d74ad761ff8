"""The photograph of the real bar: one a routine, a file beside its music.

A file is whole before a row names it, and goes only after no row names it any more.
"""

from dataclasses import dataclass
from io import BytesIO
from typing import BinaryIO

from sqlmodel import Session

from server.domain.base.errors import InvalidInput, NotFound, TooLarge
from server.domain.base.photographs import MOST_OF_PHOTOGRAPH, bare, kind_of
from server.store.routines import touch_routine
from server.store.uploads.media import MB
from server.store.uploads.media_place import MediaPlace
from server.store.uploads.single_file import remove_file, set_file
from server.store.uploads.table import PhotographRow

UNDER = (0, 25, 50, 75)
"""How strongly it may lie under the plan, per cent; 0 for beside it only."""


@dataclass(frozen=True)
class Photograph:
    """A routine's photograph: its file, what it is, and how strongly it lies under the plan."""

    key: str
    media_type: str
    under_percent: int = 0


def take_photograph(folder: MediaPlace, content: BinaryIO) -> Photograph:
    """Keep a photograph without what it tells of place, time and camera.

    Raises InvalidInput for what is none, TooLarge and NoRoom; nothing then stays of it.
    """
    sent = content.read(MOST_OF_PHOTOGRAPH + 1)
    if len(sent) > MOST_OF_PHOTOGRAPH:
        raise TooLarge(f"A photograph may have {MOST_OF_PHOTOGRAPH // MB} MB. Send a smaller one.")
    made = bare(sent)
    key, _ = folder.put(BytesIO(made), MOST_OF_PHOTOGRAPH)
    return Photograph(key, kind_of(made) or "")


def photograph_of(session: Session, routine_id: str) -> Photograph | None:
    """The photograph of a routine's bar; None where there is none."""
    row = session.get(PhotographRow, routine_id)
    return None if row is None else Photograph(row.key, row.media_type, row.under_percent)


def load_photograph(session: Session, routine_id: str, key: str) -> Photograph:
    """The photograph, if it is still the one of that key. Raises NotFound."""
    found = photograph_of(session, routine_id)
    if found is None or found.key != key:
        raise NotFound("This photograph is not here any more.")
    return found


def set_photograph(session: Session, routine_id: str, photograph: Photograph) -> str | None:
    """Make it the photograph of a routine's bar; returns the key of the one before it."""
    file = {"key": photograph.key, "media_type": photograph.media_type}
    return set_file(session, PhotographRow, routine_id, **file)


def lay_under(session: Session, routine_id: str, percent: int) -> None:
    """Say how strongly it lies under the plan. Raises InvalidInput, and NotFound without one."""
    if percent not in UNDER:
        raise InvalidInput.of("under", "Choose how strongly it is shown.")
    row = session.get(PhotographRow, routine_id)
    if row is None:
        raise NotFound("This photograph is not here any more.")
    row.under_percent = percent
    session.add(row)
    touch_routine(session, routine_id)


def remove_photograph(session: Session, routine_id: str) -> str | None:
    """Take the photograph away; returns its key, None where there was none."""
    return remove_file(session, PhotographRow, routine_id)
