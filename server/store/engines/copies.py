"""Copies of a database as files, of either engine: what is in them, and whether they are whole."""

import sqlite3
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

from server.store.copying import damage_in, step_of, unreadable_documents
from server.store.engines.kind import CopyFailed
from server.store.engines.postgres_tools import read_through, script_of

DUMP_MAGIC = b"PGDMP"
"""How a file of pg_dump's own form begins (pg_backup_archiver.c)."""

_BY_CHANCE = (b"\\restrict", b"\\unrestrict", b"--")
"""Lines of a script that differ each time, or say which version wrote it."""


def is_dump(file: Path) -> bool:
    """Whether a file is a copy of a PostgreSQL database. Raises OSError."""
    with file.open("rb") as start:
        return start.read(len(DUMP_MAGIC)) == DUMP_MAGIC


def damage_of(file: Path) -> list[str]:
    """What is wrong with a copy; nothing where it is sound. Raises OSError."""
    try:
        if is_dump(file):
            read_through(file)
            return []
        return damage_in(file)
    except (CopyFailed, sqlite3.Error) as error:
        return [str(error)]


def unreadable_in(file: Path) -> int:
    """How many documents of a sound copy cannot be read. Raises sqlite3.Error.

    PostgreSQL reads every page against its checksum when it copies: what came through is whole.
    """
    return 0 if is_dump(file) else unreadable_documents(file)


def step_in(file: Path) -> str | None:
    """The migration that a sound copy is at; None where it is no database of this app.

    Raises CopyFailed and sqlite3.Error.
    """
    if not is_dump(file):
        return step_of(file)
    lines = iter(script_of(file, "--data-only", "--table=alembic_version"))
    for line in lines:
        if line.startswith(b"COPY ") and b"alembic_version" in line:
            return next(lines, b"").decode().strip() or None
    return None


def content_hash(file: Path) -> str:
    """A hash of what a dump holds, whenever it was made; "" for a file, whose bytes tell it.

    Raises CopyFailed.
    """
    if not is_dump(file):
        return ""
    digest = sha256()
    for line in _telling(script_of(file)):
        digest.update(line)
    return digest.hexdigest()


def _telling(lines: Iterator[bytes]) -> Iterator[bytes]:
    return (line for line in lines if not line.startswith(_BY_CHANCE))
