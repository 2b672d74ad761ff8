"""The one file of a kind that a routine has: its music, the photograph of its bar."""

from typing import Protocol

from sqlmodel import Session

from server.store.routines import touch_routine


class FileRow(Protocol):
    """What is kept of it; `key` names the file."""

    routine_id: str
    key: str


def remove_file(session: Session, row: FileRow | None) -> str | None:
    """Take it away; returns the key of the file, None where there was none."""
    if row is None:
        return None
    session.delete(row)
    touch_routine(session, row.routine_id)
    return row.key
