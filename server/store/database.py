"""The database: connections, transactions and bringing the tables up to date.

SQLite in WAL mode, one process. Writers take the write lock at BEGIN (a transaction that reads
first and writes later would fail under load) and are queued in the process; readers see the last
committed state and never wait.
"""

import re
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from threading import Lock
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, inspect
from sqlmodel import Session

from server.store.copying import copy_database

BACKUPS_KEPT = 10
LOOK_AT_LOG_EVERY = 16
"""Writes: how often it is asked whether the write-ahead log is long enough to be put away."""

LONG_LOG_WRITES, LONG_LOG_ROWS = 128, 2000
"""About 1000 pages, at which SQLite would put it away by itself."""

MIGRATIONS = Path(__file__).parent / "migrations"

_AFTER_COMMIT = "after_commit"
_holds_the_writer: ContextVar[bool] = ContextVar("holds the writer", default=False)
_STEP = re.compile(r'^revision = "(.+)"$', re.MULTILINE)
_FOLLOWS = re.compile(r'^down_revision = "(.+)"$', re.MULTILINE)


class Database:
    """One SQLite file with its reading and writing connections."""

    def __init__(self, path: Path, migrations: Path = MIGRATIONS) -> None:
        self.path = path
        self.migrations = migrations
        path.parent.mkdir(parents=True, exist_ok=True)
        self._reader = _engine(path, begin="BEGIN")
        self._writer = _engine(path, begin="BEGIN IMMEDIATE")
        # One writer at a time even within the process: cheaper than SQLite's busy waiting.
        self._write_lock = Lock()
        self._writes = 0
        self._put_away_at = 0, 0

    @property
    def writes(self) -> int:
        """How often this process has perhaps written: what was read under one count still holds
        while it stands.
        """
        return self._writes

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that sees one committed state and changes nothing."""
        with Session(self._reader) as session:
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session whose changes are durable when the block ends, or gone if it raises."""
        with self._write_lock, holding_the_writer(), Session(self._writer) as session:
            try:
                yield session
                session.commit()
            finally:
                self._writes += 1
            if self._writes % LOOK_AT_LOG_EVERY == 0:
                self._put_log_away_if_long()
            for tell in session.info.get(_AFTER_COMMIT, ()):
                tell()

    def migrate(self) -> None:
        """Bring the tables up to date; an existing file is copied aside first.

        Raises Conflict for a file that a later version of the app has changed.
        """
        step = self._step()
        if step is not None and step == _last_step(self.migrations):
            return
        from server.store.migrating import upgrade

        upgrade(self, step)

    def backup(self, target: Path) -> None:
        """Copy the whole database to `target` while it is in use."""
        copy_database(self.path, target)

    @contextmanager
    def connected(self) -> Iterator[Connection]:
        """A bare connection of the writer, for migrations."""
        with self._writer.connect() as connection:
            yield connection

    def close(self) -> None:
        """Close all connections."""
        self._reader.dispose()
        self._writer.dispose()

    def keep_backup(self, step: str) -> None:
        """Copy the database aside before the step it is at is left; the oldest copies go."""
        folder = self.path.parent / "backups"
        folder.mkdir(exist_ok=True)
        self.backup(folder / f"{self.path.stem}-before-{step}-is-left.db")
        # Only what was put here by this: a person may keep copies of their own beside it.
        ours = folder.glob(f"{self.path.stem}-before-*-is-left.db")
        kept = sorted(ours, key=lambda file: file.stat().st_mtime)
        for old in kept[:-BACKUPS_KEPT]:
            old.unlink()

    def _put_log_away_if_long(self) -> None:
        """Write what stands in the write-ahead log into the database file.

        Only here, under the write lock, and never by SQLite itself: SQLite before 3.51.3 can break
        a database when two connections put the log away and begin it anew at the same moment
        (sqlite.org/wal.html, "The WAL-Reset Bug").
        """
        connection = self._writer.raw_connection()
        try:
            rows = connection.driver_connection.total_changes  # type: ignore[union-attr]
            writes_then, rows_then = self._put_away_at
            due = rows - rows_then >= LONG_LOG_ROWS or self._writes - writes_then >= LONG_LOG_WRITES
            if due:
                connection.cursor().execute("PRAGMA wal_checkpoint(PASSIVE)")
                self._put_away_at = self._writes, rows
        finally:
            connection.close()

    def _step(self) -> str | None:
        """The migration that the file is at; None for a new file."""
        with self.connected() as connection:
            if not inspect(connection).has_table("alembic_version"):
                return None
            return connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()


@contextmanager
def holding_the_writer() -> Iterator[None]:
    """Within this block `refuse_while_writing` refuses; so it does in threads started from it."""
    _holds_the_writer.set(True)
    try:
        yield
    finally:
        # No token is kept: a dependency may be left in another thread than it was entered in.
        _holds_the_writer.set(False)


def refuse_while_writing(what: str) -> None:
    """Raise RuntimeError where `what`, which may take long, would be done while others wait.

    A mark of a run is stored at once only if nobody keeps the writer for longer than it takes to
    write: pages are drawn and words checked before that, or after it.
    """
    if _holds_the_writer.get():
        raise RuntimeError(f"{what} while all other writers wait")


def after_commit(session: Session, tell: Callable[[], None]) -> None:
    """Call `tell` once the changes of a writing session are durable; never if they fail to be.

    It is called before the next writer begins, so what is told is told in the order of writing.
    """
    session.info.setdefault(_AFTER_COMMIT, []).append(tell)


@contextmanager
def undo_tellings_after(session: Session) -> Iterator[None]:
    """If this block raises, what it asked to be told after the commit is forgotten."""
    before = len(session.info.setdefault(_AFTER_COMMIT, []))
    try:
        yield
    except BaseException:
        del session.info[_AFTER_COMMIT][before:]
        raise


def _engine(path: Path, begin: str) -> Engine:
    engine = create_engine(f"sqlite:///{path}", connect_args={"check_same_thread": False})

    @event.listens_for(engine, "connect")
    def _prepare(connection: sqlite3.Connection, _record: Any) -> None:  # noqa: ANN401
        # The driver would open transactions by itself, and never as we want them.
        connection.isolation_level = None
        # A flipped bit in a text is one odd letter, not a page that fails.
        connection.text_factory = _text
        for pragma in (
            "journal_mode=WAL",
            "synchronous=FULL",
            "foreign_keys=ON",
            "busy_timeout=5000",
            "wal_autocheckpoint=0",
        ):
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        connection.exec_driver_sql(begin)

    @event.listens_for(engine, "checkin")
    def _end(connection: sqlite3.Connection | None, _record: Any) -> None:  # noqa: ANN401
        # SQLite keeps the transaction of a failed commit open. The pool would hand it on, and no
        # transaction could ever begin again.
        if connection is not None and connection.in_transaction:
            connection.rollback()

    return engine


def _text(stored: bytes) -> str:
    return stored.decode("utf-8", "replace")


def _last_step(migrations: Path) -> str | None:
    """The migration that no other follows, read from the files; None if that is not clear."""
    texts = [file.read_text(encoding="utf-8") for file in (migrations / "versions").glob("*.py")]
    own = {match[1] for text in texts if (match := _STEP.search(text))}
    followed = {match[1] for text in texts if (match := _FOLLOWS.search(text))}
    last = own - followed
    return last.pop() if len(last) == 1 else None
