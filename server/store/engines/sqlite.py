"""SQLite in WAL mode, one process: readers never wait, writers take the lock when they begin."""

import sqlite3
from collections.abc import Callable, Collection
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlmodel import Session

from server.store.copying import copy_database
from server.store.durable import sync_folder

LOOK_AT_LOG_EVERY = 16
"""Writes: how often it is asked whether the write-ahead log is long enough to be put away."""

LONG_LOG_WRITES, LONG_LOG_ROWS = 128, 2000
"""About 1000 pages, at which SQLite would put it away by itself."""


class SqliteEngine:
    """One SQLite file with its reading and writing connections."""

    copy_suffix = ".db"

    def __init__(self, path: Path) -> None:
        self._path = path
        self.name = str(path)
        # They belong together.
        self.files: tuple[str, ...] = (path.name, f"{path.name}-wal", f"{path.name}-shm")
        path.parent.mkdir(parents=True, exist_ok=True)
        self.reader = _engine(path, begin="BEGIN")
        # A transaction that reads first and writes later would fail under load.
        self.writer = _engine(path, begin="BEGIN IMMEDIATE")
        self._put_away_at = 0, 0

    def take_turn(
        self, connect: Callable[[], Connection], runs: Collection[str] | None = None
    ) -> bool:
        """Nothing more: a transaction begins with the lock of the file, which is one for all."""
        return False

    def state_of(self, session: Session) -> None:
        """Nothing: no other process writes to the file."""

    def after_write(self, writes: int) -> None:
        """Put the write-ahead log away before it grows long."""
        if writes % LOOK_AT_LOG_EVERY == 0:
            self._put_log_away_if_long(writes)

    def is_open(self, session: Session) -> bool:
        """Not after a disk that is full: SQLite may have ended the whole transaction."""
        driver = session.connection().connection.driver_connection
        return isinstance(driver, sqlite3.Connection) and driver.in_transaction

    def copy_to(self, target: Path) -> None:
        """Copy the file page by page, with what still stands in its log. Raises sqlite3.Error."""
        copy_database(self._path, target)

    def put_back(self, copy: Path, aside: Path | None) -> None:
        """Give the copy the name of the file, which was moved away."""
        copy.rename(self._path)
        sync_folder(self._path.parent)

    def size_bytes(self) -> int:
        """The size of the file, and of the journal beside it that holds what came last."""
        journal = self._path.with_name(f"{self._path.name}-wal")
        return sum(file.stat().st_size for file in (self._path, journal) if file.exists())

    def unfit(self) -> str:
        """Nothing: every file can."""
        return ""

    def others(self) -> int:
        """Nobody: who serves a data folder holds it."""
        return 0

    def close(self) -> None:
        """Close all connections."""
        self.reader.dispose()
        self.writer.dispose()

    def _put_log_away_if_long(self, writes: int) -> None:
        """Write what stands in the write-ahead log into the database file.

        Only here, under the write lock, and never by SQLite itself: SQLite before 3.51.3 can break
        a database when two connections put the log away and begin it anew at the same moment
        (sqlite.org/wal.html, "The WAL-Reset Bug").
        """
        connection = self.writer.raw_connection()
        try:
            rows = connection.driver_connection.total_changes  # type: ignore[union-attr]
            writes_then, rows_then = self._put_away_at
            due = rows - rows_then >= LONG_LOG_ROWS or writes - writes_then >= LONG_LOG_WRITES
            if due:
                connection.cursor().execute("PRAGMA wal_checkpoint(PASSIVE)")
                self._put_away_at = writes, rows
        finally:
            connection.close()


def _engine(path: Path, begin: str) -> Engine:
    engine = create_engine(
        f"sqlite:///{path}",
        connect_args={"check_same_thread": False},
        hide_parameters=True,  # What fails is logged: without the texts and secrets in it.
    )

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
