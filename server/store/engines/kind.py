"""What the store asks of an engine."""

from collections.abc import Callable, Collection, Hashable
from pathlib import Path
from typing import Protocol

from sqlalchemy import Connection, Engine
from sqlmodel import Session


class StoreEngine(Protocol):
    """Connections to one database, and what each engine does in a way of its own.

    Sessions of `reader` see one committed state and change nothing. `name` is what a person knows
    the database by; no password is in it. `copy_suffix` is that of the file `copy_to` writes;
    `files` are names in the data folder that are the database itself.
    """

    reader: Engine
    writer: Engine
    name: str
    copy_suffix: str
    files: tuple[str, ...]

    def take_turn(
        self, connect: Callable[[], Connection], runs: Collection[str] | None = None
    ) -> bool:
        """Wait for the writer's turn, in all processes; with `runs` that of these runs alone.

        Whether others may write other runs meanwhile. The turn ends with the transaction.
        """

    def state_of(self, session: Session) -> Hashable | None:
        """A key of what a session sees, equal only while nobody at all has written; None where
        nobody but this process writes, so that it counts by itself.
        """

    def after_write(self, writes: int) -> None:
        """Look after the database, after so many writes of this process."""

    def is_open(self, session: Session) -> bool:
        """Whether the transaction of a session can go on after what failed in it."""

    def copy_to(self, target: Path) -> None:
        """Copy the database as it is after its last commit to a file; others may go on writing.

        Raises OSError, and sqlite3.Error or CopyFailed.
        """

    def put_back(self, copy: Path, aside: Path | None) -> None:
        """Put a copy that this engine made in the place of the database: all of it or nothing.

        What the database held is first put into the folder `aside`, where it is no file of the data
        folder. Raises OSError and CopyFailed.
        """

    def size_bytes(self) -> int:
        """What the database takes on its disk."""

    def unfit(self) -> str:
        """Why the database cannot keep what the app gives it, in words; "" where it can."""

    def others(self) -> int:
        """How many connections to the database others hold; 0 where a file's lock tells that."""

    def close(self) -> None:
        """Close all connections."""


class CopyFailed(Exception):
    """The engine's own tools could not copy a database or bring it back; says why."""
