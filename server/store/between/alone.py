"""What only one process may do at a time, and what only the first one that starts may.

On SQLite there is one process, so a lock in it is enough. On PostgreSQL locks are the server's:
they go with the connection of the process that holds them, however that ends.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock
from typing import TYPE_CHECKING
from zlib import crc32

from sqlalchemy.exc import OperationalError

from server.store.database import Database

if TYPE_CHECKING:
    import psycopg

RUNS_LOCK = (952, 0)
"""Held with others by every process that runs; one that can have it for itself is the first."""

ALONE_LOCK = 953

_TRY = "SELECT pg_try_advisory_lock(%s, %s)"
_WAIT = "SELECT pg_advisory_lock(%s, %s)"
_LEAVE = "SELECT pg_advisory_unlock(%s, %s)"
_JOIN = "SELECT pg_advisory_lock_shared(%s, %s)"

_locks: dict[str, Lock] = {}


@contextmanager
def alone_at(database: Database, what: str, *, wait: bool) -> Iterator[bool]:
    """Whether, within this block, this is the only one of all processes at `what`.

    With `wait` it is, after the others are through.
    """
    if database.path is not None:
        lock = _locks.setdefault(f"{what} of {database.path}", Lock())
        is_ours = lock.acquire(blocking=wait)
        try:
            yield is_ours
        finally:
            if is_ours:
                lock.release()
        return
    with bare_connection(database) as connection:
        key = ALONE_LOCK, crc32(what.encode()) - 2**31
        is_ours = _has(connection, _TRY, key) if not wait else _waited(connection, key)
        try:
            yield is_ours
        finally:
            if is_ours:
                # It would go with the connection, but only when the server sees that end.
                connection.execute(_LEAVE, key)


@contextmanager
def starting(database: Database) -> Iterator[bool]:
    """A start of the app. Whether no other process serves the database just now.

    Others that start meanwhile wait until the first is through.
    """
    if database.path is not None:
        yield True
        return
    with bare_connection(database) as connection:
        is_first = _has(connection, _TRY, RUNS_LOCK)
        if not is_first:
            connection.execute(_JOIN, RUNS_LOCK)
        yield is_first


def stay(connection: "psycopg.Connection") -> None:
    """Count as one that serves the database for as long as a connection stands."""
    connection.execute(_JOIN, RUNS_LOCK)


def bare_connection(database: Database) -> "psycopg.Connection":
    """A connection to the server of its own, in no transaction, which may wait for any lock.

    A server that is not there is told as all of the store tells it: raises OperationalError.
    """
    import psycopg

    from server.store.engines.postgres import PostgresEngine

    engine = database.engine
    assert isinstance(engine, PostgresEngine), "its locks are within this process"  # noqa: S101
    plain = engine.address.set(drivername="postgresql")
    # A server whose network is gone must not be waited for as long as the system would.
    try:
        return psycopg.connect(
            plain.render_as_string(hide_password=False),
            autocommit=True,
            connect_timeout=5,
            keepalives_idle=5,
            keepalives_interval=5,
            keepalives_count=3,
            tcp_user_timeout=15_000,
        )
    except psycopg.OperationalError as error:
        raise OperationalError("connect", None, error) from error


def _has(connection: "psycopg.Connection", asked: str, key: tuple[int, int]) -> bool:
    row = connection.execute(asked, key).fetchone()
    return bool(row and row[0])


def _waited(connection: "psycopg.Connection", key: tuple[int, int]) -> bool:
    connection.execute(_WAIT, key)
    return True
