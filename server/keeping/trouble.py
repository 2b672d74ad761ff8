"""What stops a command, in sentences for the terminal."""

import sqlite3

from sqlalchemy.exc import DBAPIError

from server.store.disk import FULL, disk_trouble, said_by


class Trouble(Exception):
    """A command cannot go on; the message says what is wrong and what to do next."""


def told(what: str, error: OSError | sqlite3.Error, cannot_be: str = "used") -> Trouble:
    """The trouble with `what` (a file or folder) that an error of the system or of SQLite tells.

    >>> print(told("/data/x", OSError(13, "Permission denied")))
    /data/x cannot be used: Permission denied.
    """
    refusal = disk_trouble(error)
    if refusal is not None and (isinstance(error, sqlite3.Error) or refusal.message == FULL):
        return Trouble(f"{what} cannot be {cannot_be}. {refusal.message}")
    reason = error.strerror if isinstance(error, OSError) else str(error)
    return Trouble(f"{what} cannot be {cannot_be}: {reason or error}.")


def told_of_database(name: str, error: DBAPIError, cannot_be: str = "used") -> Trouble:
    """The trouble with the database called `name` that its engine tells, whichever it is."""
    if isinstance(error.orig, sqlite3.Error):
        return told(name, error.orig, cannot_be)
    said = said_by(error).rstrip(".")
    return Trouble(
        f"{name} cannot be {cannot_be}: {said}. Look whether PostgreSQL runs, and whether address, "
        "name and password in NINEFIFTY_DATABASE are right."
    )
