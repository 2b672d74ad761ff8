"""Whether the database of a data folder can be used, told before a start in plain sentences."""

import sqlite3
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from server.domain.base.number_words import count
from server.keeping.moved_aside import REPLACED, move_aside, with_its_log
from server.keeping.trouble import Trouble, told
from server.settings import DATABASE_NAME, Settings
from server.store.copying import connected, damage_in

MAGIC = b"SQLite format 3\0"
PATIENCE_S = 2.0
_PAGE_SIZE, _PAGES = slice(16, 18), slice(28, 32)
"""Where a database file says how long it is (sqlite.org/fileformat2.html, 1.3)."""


def require_usable(settings: Settings) -> None:
    """Raise Trouble where the app must not start on the database as it is; change nothing.

    A database that is missing or empty is fine where nothing else is kept: it is the first start.
    """
    try:
        wrong = _what_is_wrong(settings)
    except OSError as error:
        raise told(str(settings.database_file), error) from error
    if wrong:
        raise Trouble("\n".join([wrong, "Nothing was changed.", *_ways_on(settings)]))


def begin_anew(settings: Settings, now: datetime) -> Path | None:
    """Move a database that cannot be used aside, so that a new one can begin; returns where to.

    Raises Trouble where the database can be used: nothing is begun anew over it.
    """
    if settings.database:
        raise Trouble("--new begins anew in a data folder. Of PostgreSQL name a new database.")
    try:
        if _exists(settings) and not _what_is_wrong(settings):
            raise Trouble(
                f"{settings.database_file} is sound, and --new begins nothing over it. "
                "For a second set of data start with: ./run --data OTHER-FOLDER"
            )
        return move_aside(settings.data_dir, with_its_log(DATABASE_NAME), now)
    except OSError as error:
        raise told(str(settings.database_file), error) from error


def _exists(settings: Settings) -> bool:
    path = settings.database_file
    return path.exists() and (path.is_dir() or path.stat().st_size > 0)


def _what_is_wrong(settings: Settings) -> str:
    path = settings.database_file
    if path.is_dir():
        return f"In the place of the database there is a folder: {path}."
    if not _exists(settings):
        how = "empty" if path.exists() else "missing"
        beside = _beside(settings)
        return f"The database is {how}: {path}. Yet beside it lie {beside}." if beside else ""
    with path.open("rb") as file:
        head = file.read(100)
    if not head.startswith(MAGIC):
        return f"{path} is no database: {_looks_like(head)}."
    return _damage(path, head)


def _damage(path: Path, head: bytes) -> str:
    try:
        with connected(path, patience_s=PATIENCE_S) as connection:
            connection.execute("BEGIN IMMEDIATE")
            connection.execute("ROLLBACK")
        found = damage_in(path)
    except sqlite3.OperationalError as error:
        if "locked" in str(error):
            raise Trouble(
                f"Another program holds {path} locked, such as a tool for databases. "
                "Close it, then start again. Nothing was changed."
            ) from error
        raise told(str(path), error) from error
    except sqlite3.DatabaseError as error:
        found = [str(error)]
    return f"The database {path} is damaged: {_cut(path, head) or found[0]}." if found else ""


def _cut(path: Path, head: bytes) -> str:
    said = int.from_bytes(head[_PAGE_SIZE], "big")
    should = (65536 if said == 1 else said) * int.from_bytes(head[_PAGES], "big")
    size = path.stat().st_size
    return f"it is cut, {size:,} of {should:,} bytes are there" if size < should else ""


def _looks_like(head: bytes) -> str:
    if not head.strip(b"\0"):
        return "it begins with zeros only"
    try:
        return f"it begins with the text “{head[:24].decode().strip()}”"
    except UnicodeDecodeError:
        return "it begins as another kind of file"


def _ways_on(settings: Settings) -> Iterator[str]:
    if _exists(settings):
        there = ", ".join(filter(None, (_readable(settings.database_file), _beside(settings))))
        yield f"What still is there: {there}." if there else "Nothing else is there."
    # Loaded where something is wrong alone: every start asks whether it is.
    from server.keeping.copies import newest_good_copy

    copy = newest_good_copy(settings.backups_folder)
    where = "" if settings.data_dir == Settings().data_dir else f" --data {settings.data_dir}"
    if copy is None:
        yield f"There is no good copy in {settings.backups_folder}."
        yield f"If you have a backup elsewhere: ./run restore{where} FILE"
    else:
        yield f"The newest good copy: {copy}."
        yield f"Bring it back with: ./run restore{where} {copy.file}"
    yield f"Or begin anew, what is there is moved aside and kept: ./run --new{where}"


def _readable(path: Path) -> str:
    """What a damaged database still tells, in words; nothing where it tells nothing."""
    try:
        with connected(path) as connection:
            routines, runs = (
                connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0]  # noqa: S608
                for table in ("routine", "run")
            )
    except sqlite3.Error:
        return ""
    return f"the list of {count(routines, 'routine')} and {count(runs, 'run')}"


def _beside(settings: Settings) -> str:
    """What a data folder holds besides its database, in words; nothing where it holds nothing."""
    found = [
        (_count(settings.recordings_folder, "*"), "recording"),
        (_count(settings.music_dir, "*"), "uploaded file"),
        (_count(settings.backups_folder, "*"), "backup"),
        (_count(settings.data_dir, f"{REPLACED}-*"), "replaced folder"),
        (_count(settings.data_dir, f"{DATABASE_NAME}-wal"), "log of a database"),
    ]
    return ", ".join(count(number, noun) for number, noun in found if number)


def _count(folder: Path, pattern: str) -> int:
    return sum(1 for path in folder.glob(pattern) if path.is_dir() or path.stat().st_size)
