"""What a failed write says of the disk, in words for the person."""

import errno
import sqlite3

from sqlalchemy.exc import OperationalError

from server.domain.base.errors import NoRoom

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

_OF_SYSTEM = {
    errno.ENOSPC: FULL, errno.EDQUOT: FULL, errno.EFBIG: FULL,
    errno.EROFS: READ_ONLY, errno.EACCES: READ_ONLY, errno.EPERM: READ_ONLY,
    errno.EIO: FAILING,
}  # fmt: skip
_OF_SQLITE = {13: FULL, 8: READ_ONLY, 14: READ_ONLY, 10: FAILING}
"""Primary result code of SQLite (FULL, READONLY, CANTOPEN, IOERR) -> the words."""


def disk_trouble(error: BaseException | None) -> NoRoom | None:
    """The refusal of what failed because nothing can be written; None where that was not it."""
    words = None
    if isinstance(error, OperationalError | sqlite3.Error):
        told = error.orig if isinstance(error, OperationalError) else error
        # The low byte is the primary code, the rest says more of it.
        words = _OF_SQLITE.get(getattr(told, "sqlite_errorcode", 0) & 0xFF)
    elif isinstance(error, OSError):
        words = _OF_SYSTEM.get(error.errno or 0)
    return NoRoom(words) if words else None


ERRORS: tuple[type[Exception], ...] = (OSError, OperationalError)
"""What may be trouble with the disk."""
