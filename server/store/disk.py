"""What a failed read or write says of the disk or of the database, in words for the person."""

import errno
import sqlite3

from sqlalchemy.exc import DBAPIError, InternalError, OperationalError
from sqlalchemy.exc import TimeoutError as NoConnectionFree

from server.domain.base.errors import DomainError, NoRoom, Unreachable

FULL = (
    "The disk of the computer that keeps the app is full. Make room there, then try again; nothing "
    "is lost until then."
)
READ_ONLY = (
    "The folder that keeps the app's data cannot be written to: its disk is read-only, or the "
    "folder belongs to somebody else. Nothing was changed."
)
FAILING = (
    "The disk of the computer that keeps the app does not answer as it should: it may be full, "
    "gone, or failing. Nothing was changed."
)
UNREACHABLE = (
    "The database does not answer just now. Nothing was changed, and marks of a run stay on their "
    "device until they can be sent. Try again in a moment; if it stays so, whoever runs the app "
    "should look whether PostgreSQL runs and can be reached."
)
BUSY = "Too many ask the database at once. Nothing was changed: try again in a moment."

_OF_SYSTEM = {
    errno.ENOSPC: FULL, errno.EDQUOT: FULL, errno.EFBIG: FULL,
    errno.EROFS: READ_ONLY, errno.EACCES: READ_ONLY, errno.EPERM: READ_ONLY,
    errno.EIO: FAILING,
}  # fmt: skip
_OF_SQLITE = {13: FULL, 8: READ_ONLY, 14: READ_ONLY, 10: FAILING}
"""Primary result code of SQLite (FULL, READONLY, CANTOPEN, IOERR) -> the words."""

_OF_POSTGRES: dict[str, tuple[type[DomainError], str]] = {
    "53100": (NoRoom, FULL), "25006": (NoRoom, READ_ONLY), "58030": (NoRoom, FAILING),
    "53300": (Unreachable, BUSY), "55P03": (Unreachable, BUSY),
}  # fmt: skip
"""SQLSTATE (disk full, read only, io error, too many connections, lock not to be had)."""

_LOST = ("08", "57P", "25P03")
"""How states begin in which the connection is lost: it is the server that went, or was stopped."""


def disk_trouble(error: BaseException | None) -> DomainError | None:
    """The refusal of what failed because nothing can be written, or the database not be reached;
    None where that was not it.
    """
    if isinstance(error, NoConnectionFree):
        return Unreachable(BUSY)
    if isinstance(error, DBAPIError) and hasattr(error.orig, "sqlstate"):
        return _of_postgres(error, getattr(error.orig, "sqlstate", None))
    words = None
    if isinstance(error, OperationalError | sqlite3.Error):
        told = error.orig if isinstance(error, OperationalError) else error
        # The low byte is the primary code, the rest says more of it.
        words = _OF_SQLITE.get(getattr(told, "sqlite_errorcode", 0) & 0xFF)
    elif isinstance(error, OSError):
        words = _OF_SYSTEM.get(error.errno or 0)
    return NoRoom(words) if words else None


def said_by(error: BaseException) -> str:
    """What the database or the system itself said, in one line: without the statement that failed,
    which tells nothing to whoever looks after a disk.
    """
    return " ".join(str(getattr(error, "orig", None) or error).split())


def _of_postgres(error: DBAPIError, state: str | None) -> DomainError | None:
    if state is None:  # It never came to a word of the server.
        return Unreachable(UNREACHABLE) if isinstance(error, OperationalError) else None
    if state.startswith(_LOST):
        return Unreachable(UNREACHABLE)
    kind, words = _OF_POSTGRES.get(state, (None, ""))
    return kind(words) if kind else None


ERRORS: tuple[type[Exception], ...] = (OSError, OperationalError, InternalError, NoConnectionFree)
"""What may be trouble with the disk or the database."""
