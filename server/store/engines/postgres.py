"""PostgreSQL: any number of processes, on any number of machines, write to one database.

Who writes holds a lock of the transaction's, so a transaction that reads first and writes later
is right here too. Marks take that lock with others who mark, and one of their run alone, so that
marks of different runs wait for each other in no process. The lock goes with its connection: a
worker that is killed leaves none behind.
"""

from collections.abc import Callable, Collection
from pathlib import Path
from typing import Any
from zlib import crc32

import psycopg
from psycopg.pq import TransactionStatus
from sqlalchemy import Connection, Engine, create_engine, event, make_url, text
from sqlmodel import Session

from server.store.engines.every_table import every_table
from server.store.engines.postgres_tools import dump_to, restore_from

WRITER_LOCK, RUN_LOCK = 950, 951
"""First keys of our advisory locks; the second is 0, and the hash of the run's id."""

READERS, READERS_AT_MOST, WRITERS_AT_MOST = 5, 15, 3
"""Connections of one worker. PostgreSQL takes 100 at first: five such workers find room."""

CONNECT_S = 5
OPTIONS = " ".join(
    f"-c {name}={value}"
    for name, value in {
        # A worker that stands still must not keep all others from writing for ever.
        "idle_in_transaction_session_timeout": "60s",
        "lock_timeout": "15s",
        "client_encoding": "UTF8",
    }.items()
)

_ALONE = text("SELECT pg_advisory_xact_lock(:key, 0)").bindparams(key=WRITER_LOCK)
_WITH_OTHERS = text("SELECT pg_advisory_xact_lock_shared(:key, 0)").bindparams(key=WRITER_LOCK)
_RUN = text(
    "SELECT pg_advisory_xact_lock(:key, run) FROM unnest(CAST(:runs AS integer[])) AS run"
).bindparams(key=RUN_LOCK)
_STATE = text("SELECT pg_current_snapshot()::text")
_SIZE = text("SELECT pg_database_size(current_database())")
_OTHERS = text(
    "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database()"
    " AND backend_type = 'client backend' AND pid <> pg_backend_pid()"
)
_KNOWN_STATE = "state of the database"


class PostgresEngine:
    """One database of a PostgreSQL server with its reading and writing connections."""

    copy_suffix = ".dump"
    files: tuple[str, ...] = ()

    def __init__(self, address: str) -> None:
        self.address = make_url(address).set(drivername="postgresql+psycopg")
        self.name = self.address.render_as_string(hide_password=True)
        self.reader = self._engine(READERS, READERS_AT_MOST, _prepare_reader)
        self.writer = self._engine(1, WRITERS_AT_MOST, _prepare_writer)

    def _engine(self, kept: int, most: int, prepare: Any) -> Engine:  # noqa: ANN401
        engine = create_engine(
            self.address,
            pool_size=kept,
            max_overflow=most - kept,
            hide_parameters=True,  # As with SQLite: what fails is logged.
            pool_pre_ping=True,  # A server that was started anew is simply met again.
            connect_args={
                "connect_timeout": CONNECT_S,
                "application_name": "ninefifty",
                "options": OPTIONS,
            },
        )
        event.listen(engine, "connect", prepare)
        return engine

    def take_turn(
        self, connect: Callable[[], Connection], runs: Collection[str] | None = None
    ) -> bool:
        """Wait for the lock of the writer, or with those who mark other runs for that of `runs`."""
        connection = connect()
        if runs is None:
            connection.execute(_ALONE)
            return False
        connection.execute(_WITH_OTHERS)
        # All in one order, so that no two ever wait for each other.
        connection.execute(_RUN, {"runs": sorted({_signed(run_id) for run_id in runs})})
        return True

    def state_of(self, session: Session) -> str:
        """Which transactions a session sees: equal only while none was committed between."""
        known = session.info.get(_KNOWN_STATE)
        if known is None:
            known = session.info[_KNOWN_STATE] = session.connection().scalar(_STATE)
        return str(known)

    def after_write(self, writes: int) -> None:
        """Nothing: the server looks after its own log."""

    def is_open(self, session: Session) -> bool:
        """Not after the connection was lost."""
        driver = session.connection().connection.driver_connection
        return (
            isinstance(driver, psycopg.Connection)
            and driver.info.transaction_status == TransactionStatus.INTRANS
        )

    def copy_to(self, target: Path) -> None:
        """Have pg_dump write one state of the database to a file. Raises CopyFailed."""
        dump_to(self.address, target)

    def put_back(self, copy: Path, aside: Path | None) -> None:
        """Have psql do it in one transaction, after pg_dump put aside what was there."""
        if aside is not None:
            dump_to(self.address, aside / f"ninefifty{self.copy_suffix}")
        quote = self.writer.dialect.identifier_preparer.quote
        names = ("alembic_version", *(table.name for table in every_table()))
        restore_from(self.address, copy, [quote(name) for name in names])

    def size_bytes(self) -> int:
        """What the server says the database takes."""
        with Session(self.reader) as session:
            return int(session.connection().scalar(_SIZE) or 0)

    def unfit(self) -> str:
        """Whether it was made for other letters than all that people write."""
        with self.reader.connect() as connection:
            encoding = connection.exec_driver_sql("SHOW server_encoding").scalar()
        if encoding == "UTF8":
            return ""
        return (
            f"{self.name} keeps texts as {encoding}, which has no room for all letters. Make one "
            "with: createdb --encoding=UTF8 --template=template0 NAME"
        )

    def others(self) -> int:
        """Connections of other processes to this database, whoever holds them."""
        with self.reader.connect() as connection:
            found = connection.scalar(_OTHERS)
        return int(found or 0)

    def close(self) -> None:
        """Close all connections."""
        self.reader.dispose()
        self.writer.dispose()


def _signed(run_id: str) -> int:
    """The second key of a run's lock; two runs may share one and then wait for each other."""
    return crc32(run_id.encode()) - 2**31


def _prepare_reader(connection: Any, _record: Any) -> None:  # noqa: ANN401
    connection.isolation_level = psycopg.IsolationLevel.REPEATABLE_READ
    connection.read_only = True


def _prepare_writer(connection: Any, _record: Any) -> None:  # noqa: ANN401
    # What it reads is what was committed when it had the lock.
    connection.isolation_level = psycopg.IsolationLevel.READ_COMMITTED
    # A server may be set to lose the last moments; a higher setting than ours stands.
    connection.execute(
        "SELECT set_config('synchronous_commit', 'on', false)"
        " WHERE current_setting('synchronous_commit') = 'off'"
    )
    connection.commit()
