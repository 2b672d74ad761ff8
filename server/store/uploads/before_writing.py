"""What is asked of a store that is far is asked before the writer is held.

All who mark a run wait for the writer, in a school in all processes, and a part takes as long as
the way to the store is. So a route looks first at what its change will need; the change itself is
the same for both kinds of place, and correct also where another was quicker meanwhile.
"""

from collections.abc import Callable
from contextlib import suppress

from sqlmodel import Session

from server.domain.base.errors import Conflict, DomainError
from server.store.database import Database
from server.store.uploads.arriving import Counted, is_next
from server.store.uploads.media_place import MediaPlace

Find = Callable[[Session], Counted | None]
"""Finds the row of a file; None where there is none."""


def looked_at(database: Database, place: MediaPlace, find: Find) -> MediaPlace:
    """The place for a change that asks how much of a file is here. Raises Unreachable."""
    if not place.is_far:
        return place
    place, row = place.ahead(), _row(database, find)
    if row is not None:
        place.holds(row.file, row.received_bytes)
    return place


def sent_ahead(
    database: Database, place: MediaPlace, find: Find, number: int, part: bytes
) -> MediaPlace:
    """The place for a change that adds part `number`, which is there then.

    What the change will refuse is not sent. Raises Unreachable, and what `find` does.
    """
    if not place.is_far:
        return place
    place, row = place.ahead(), _row(database, find)
    try:
        is_wanted = row is not None and is_next(row, number, part)
    except DomainError:
        return place
    if row is not None and is_wanted:
        with suppress(Conflict):
            place.append(row.file, row.received_bytes, part)
    return place


def _row(database: Database, find: Find) -> Counted | None:
    with database.reading() as session:
        return find(session)
