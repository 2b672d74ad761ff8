"""The one file of a kind that a routine has: its music, the photograph of its bar."""

from typing import Protocol, TypeVar

from sqlmodel import Session

from server.store.routines import touch_routine


class FileRow(Protocol):
    """What is kept of it; `key` names the file."""

    routine_id: str
    key: str

    def __init__(self, **columns: object) -> None:
        """A row of these columns."""


R = TypeVar("R", bound=FileRow)


def set_file(session: Session, table: type[R], routine_id: str, **columns: object) -> str | None:
    """Make a file that of a routine; returns the key of the one it takes the place of.

    What else a row says of the file before it stays.
    """
    row = session.get(table, routine_id)
    old = None if row is None else row.key
    row = row or table(routine_id=routine_id, **columns)
    for name, value in columns.items():
        setattr(row, name, value)
    session.add(row)
    touch_routine(session, routine_id)
    return old


def remove_file(session: Session, table: type[FileRow], routine_id: str) -> str | None:
    """Take it away; returns the key of the file, None where there was none."""
    row = session.get(table, routine_id)
    if row is None:
        return None
    session.delete(row)
    touch_routine(session, routine_id)
    return row.key
