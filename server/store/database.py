"""The database: connections, transactions and bringing the tables up to date.

Two engines keep it (`store/engines`): SQLite in the data folder, or a PostgreSQL server. For both,
writers have their turn one after the other and are queued in the process; readers see the last
committed state and never wait.
"""

import re
from collections.abc import Callable, Collection, Hashable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from threading import Lock
from typing import TypeVar

from sqlalchemy import Connection, inspect
from sqlmodel import Session, SQLModel

from server.domain.base.errors import Conflict, NotFound
from server.store.engines import engine_at

BACKUPS_KEPT = 10

MOST_ROWS = 2000
"""Rows that one transaction puts in or takes out where there are many: some 50 ms on a small
computer, and then others have their turn."""

MIGRATIONS = Path(__file__).parent / "migrations"
COLUMNS = MIGRATIONS / "columns.txt"
"""What the steps lead to, a line for each table: its name, then its columns. A start holds the
database to it, for it loads no table that the first page can do without."""

R = TypeVar("R", bound=SQLModel)

Change = Callable[[Session, Sequence[str]], None]
"""Changes rows, known by their keys, in the order of these."""

_AFTER_COMMIT = "after_commit"
_AT_THE_END = "at the end"
_WRITES = "writes"
_holds_the_writer: ContextVar[bool] = ContextVar("holds the writer", default=False)
_STEP = re.compile(r'^revision = "(.+)"$', re.MULTILINE)
_FOLLOWS = re.compile(r'^down_revision = "(.+)"$', re.MULTILINE)


class Database:
    """One database with its reading and writing connections.

    `place` is a file for SQLite, an address for PostgreSQL; `folder` is where copies of it are put
    in a folder `backups`: that of the file, where no other is named.
    """

    def __init__(
        self, place: Path | str, migrations: Path = MIGRATIONS, folder: Path | None = None
    ) -> None:
        self.path = place if isinstance(place, Path) else None
        self.migrations = migrations
        self.engine = engine_at(place)
        self._folder = folder or (self.path.parent if self.path else Path.cwd())
        # One writer at a time even within the process: cheaper than waiting in the engine, and what
        # is told after a commit is told in the order of writing.
        self._write_lock = Lock()
        self._writes = 0

    @property
    def name(self) -> str:
        """What a person knows this database by."""
        return self.engine.name

    @property
    def writes(self) -> int:
        """How often this process has perhaps written."""
        return self._writes

    @property
    def state(self) -> Hashable | None:
        """As `state_of` a session that would begin now, where that is known without asking."""
        return self._writes if self.path else None

    def state_of(self, session: Session) -> Hashable:
        """A key of what a reading session sees: while it is equal, all that was read still holds,
        whichever process writes.
        """
        told = self.engine.state_of(session)
        return session.info[_WRITES] if told is None else told

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that sees one committed state and changes nothing."""
        with Session(self.engine.reader) as session:
            # Before the state it will see: what is written meanwhile only makes it look older.
            session.info[_WRITES] = self._writes
            yield session

    @contextmanager
    def writing(self, of_runs: Collection[str] | None = None) -> Iterator[Session]:
        """A session whose changes are durable when the block ends, or gone if it raises.

        Nobody else writes meanwhile. Whoever only appends to the logs of some runs names them:
        then other processes may write to others where the engine can tell them apart.
        """
        with self._write_lock, holding_the_writer(), Session(self.engine.writer) as session:
            try:
                if self.engine.take_turn(session.connection, of_runs):
                    session.info[_AT_THE_END] = {}
                yield session
                _make_last_changes(session)
                session.commit()
            finally:
                self._writes += 1
            for tell in session.info.get(_AFTER_COMMIT, ()):
                tell()
            # Nobody waits for this who waited for their own change.
            self.engine.after_write(self._writes)

    def migrate(self) -> None:
        """Bring the tables up to date; a database that has some is copied aside first.

        Raises Conflict for one that a later version of the app has changed, or that cannot keep
        what people write.
        """
        if unfit := self.engine.unfit():
            self.close()
            raise Conflict(unfit)
        step = self._step()
        if step is not None and step == _last_step(self.migrations):
            return
        from server.store.migrating import upgrade

        upgrade(self, step)

    def backup(self, target: Path) -> None:
        """Copy the whole database to `target` while it is in use."""
        self.engine.copy_to(target)

    @contextmanager
    def connected(self) -> Iterator[Connection]:
        """A bare connection of the writer, whose turn it is: for migrations."""
        with self.engine.writer.connect() as connection:
            self.engine.take_turn(lambda: connection)
            yield connection

    def close(self) -> None:
        """Close all connections."""
        self.engine.close()

    def keep_backup(self, step: str) -> None:
        """Copy the database aside before the step it is at is left; the oldest copies go."""
        folder = self._folder / "backups"
        folder.mkdir(parents=True, exist_ok=True)
        stem, suffix = self.path.stem if self.path else "ninefifty", self.engine.copy_suffix
        self.backup(folder / f"{stem}-before-{step}-is-left{suffix}")
        # Only what was put here by this: a person may keep copies of their own beside it.
        ours = folder.glob(f"{stem}-before-*-is-left{suffix}")
        kept = sorted(ours, key=lambda file: file.stat().st_mtime)
        for old in kept[:-BACKUPS_KEPT]:
            old.unlink()

    def _step(self) -> str | None:
        """The migration that the database is at; None for a new one."""
        with self.engine.reader.connect() as connection:
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


def in_order_at_the_end(session: Session, keys: Collection[str], change: Change) -> None:
    """Make a change that several who mark at once make to the same rows, known by `keys`.

    Where others mark meanwhile it is made once, last, and in the order of keys: the rows are held
    for no longer than the commit takes, and no two ever wait for each other.
    """
    waiting = session.info.get(_AT_THE_END)
    if waiting is None:
        change(session, sorted(keys))
    else:
        waiting.setdefault(change, set()).update(keys)


def _make_last_changes(session: Session) -> None:
    waiting: dict[Change, set[str]] = session.info.pop(_AT_THE_END, {})
    for change, keys in waiting.items():
        change(session, sorted(keys))


def _last_step(migrations: Path) -> str | None:
    """The migration that no other follows, read from the files; None if that is not clear."""
    texts = [file.read_text(encoding="utf-8") for file in (migrations / "versions").glob("*.py")]
    own = {match[1] for text in texts if (match := _STEP.search(text))}
    followed = {match[1] for text in texts if (match := _FOLLOWS.search(text))}
    last = own - followed
    return last.pop() if len(last) == 1 else None


def row_there(
    session: Session, table: type[R], key: str | tuple[str | int, ...], missing: str
) -> R:
    """The row of that key. Raises NotFound, which says what is `missing`, where there is none."""
    row = session.get(table, key)
    if row is None:
        raise NotFound(missing)
    return row
