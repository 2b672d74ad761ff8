"""A database as a file: copied while it is in use, and looked through for damage.

Only the standard library: this also runs where nothing else of the app is loaded.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

DAMAGE_TOLD = 3
"""The first places say where it is; hundreds more say nothing more."""

_DOCUMENTS = (
    "SELECT count(*) FROM routine JOIN revision"
    " ON routine_id = id AND number = head WHERE NOT json_valid(document)",
    "SELECT count(*) FROM rule_sheet WHERE NOT json_valid(document)",
    "SELECT count(*) FROM plan WHERE NOT json_valid(document)",
    "SELECT count(*) FROM event WHERE NOT json_valid(document)",
)
"""Counts of what is kept as text and is no document any more."""


def copy_database(source: Path, target: Path) -> None:
    """Copy a database as it is after its last commit; others may go on writing.

    Raises sqlite3.Error.
    """
    with connected(source) as held, connected(target, mode="rwc") as copy:
        held.backup(copy)


def damage_in(path: Path) -> list[str]:
    """What SQLite finds wrong with a database; nothing where it is sound. Raises sqlite3.Error."""
    with connected(path) as connection:
        rows = connection.execute(f"PRAGMA quick_check({DAMAGE_TOLD})").fetchall()
    return [line for (line,) in rows if line != "ok"]


def unreadable_documents(path: Path) -> int:
    """How many documents of a sound database cannot be read. Raises sqlite3.Error."""
    with connected(path) as connection:
        return sum(connection.execute(query).fetchone()[0] for query in _DOCUMENTS)


def step_of(path: Path) -> str | None:
    """The migration that a database is at; None where it has no tables. Raises sqlite3.Error."""
    with connected(path) as connection:
        known = connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'alembic_version'")
        if known.fetchone() is None:
            return None
        row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    return None if row is None else str(row[0])


@contextmanager
def connected(
    path: Path, mode: str = "rw", patience_s: float = 5.0
) -> Iterator[sqlite3.Connection]:
    """A bare connection to a file that is there already; with mode "rwc" it need not be."""
    uri = f"{path.absolute().as_uri()}?mode={mode}"
    connection = sqlite3.connect(uri, uri=True, timeout=patience_s)
    connection.isolation_level = None
    try:
        yield connection
    finally:
        connection.close()
