"""Small changes of many at once, written together: one transaction, one wait for the disk.

A mark that is stored alone waits for the disk alone, and fifty that come at the same moment wait
one after the other. Here all that wait when the writer comes free go into one transaction. Each
is answered when it is durable, and each stands or falls by itself.
"""

import logging
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future
from functools import partial
from queue import SimpleQueue
from threading import Lock, Thread
from typing import Any, TypeVar

from sqlmodel import Session

from server.store.database import Database, after_commit, undo_tellings_after

_log = logging.getLogger(__name__)

MOST_TOGETHER = 64
"""Other writers wait for a group as a whole: so many marks take some 50 ms."""

T = TypeVar("T")


Together = Callable[[Session, Sequence[object]], Sequence[object | None]]
"""Makes what many changes ask for at once; None stands for one that must be made alone. If it
raises, none of them was made."""


Tell = Callable[[Any, BaseException | None], object]
"""Told once what became of a change: its answer, or what it raised."""


class _Change:
    """A change that waits to be made, and who is told of it."""

    def __init__(
        self, make: Callable[[Session], object], run_id: str, asked: object, tell: Tell
    ) -> None:
        self.make = make
        self.run_id = run_id
        self.asked = asked
        self.is_told = False
        self._tell = tell

    def tell(self, answer: object, error: BaseException | None = None) -> None:
        """Say what became of it."""
        self.is_told = True
        try:
            self._tell(answer, error)
        except Exception:
            _log.exception("Who waits for a change could not be told of it.")


_Made = tuple[_Change, object]
"""A change that was made, and the answer to it."""


def _none_together(_session: Session, asked: Sequence[object]) -> list[None]:
    return [None] * len(asked)


class _NoneMade(Exception):
    """What was to be made together was not."""


class GroupedWriter:
    """Takes changes from any thread and writes those that wait together."""

    def __init__(self, database: Database, together: Together | None = None) -> None:
        self._database = database
        self._make_together = together or _none_together
        self._waiting: SimpleQueue[_Change | None] = SimpleQueue()
        self._closed = False
        self._lock = Lock()
        self._thread = Thread(target=self._work, name="grouped writer", daemon=True)

    def submit(
        self, make: Callable[[Session], T], run_id: str = "", asked: object = None
    ) -> "Future[T]":
        """As `take`; the future has what becomes of it."""
        future: Future[T] = Future()
        future.set_running_or_notify_cancel()
        self.take(make, partial(_settle, future), run_id, asked)
        return future

    def take(
        self, make: Callable[[Session], T], tell: Tell, run_id: str = "", asked: object = None
    ) -> None:
        """Have `make` change something; its answer is told when that is durable, on any thread.

        What only appends to the log of a run says of which: see `Database.writing`. `asked` says
        what that is where it may be made together with others; `make` makes it alone.

        What `make` raises is told to its caller alone: the others' changes stand. Nobody may
        wait long in it, because everybody waits for it.
        """
        with self._lock:
            if self._closed:
                raise RuntimeError("the server is closing")
            if self._thread.ident is None:  # The first one begins it.
                self._thread.start()
            self._waiting.put(_Change(make, run_id, asked, tell))

    def close(self) -> None:
        """Write what waits, then end."""
        with self._lock:
            self._closed = True
            self._waiting.put(None)
        if self._thread.ident is not None:
            self._thread.join()

    def _work(self) -> None:
        while (first := self._waiting.get()) is not None:
            group, ends = self._group(first)
            self._write(group)
            if ends:
                return

    def _group(self, first: _Change) -> tuple[list[_Change], bool]:
        """What waits together with the first, and whether nothing comes after it."""
        group = [first]
        while len(group) < MOST_TOGETHER and not self._waiting.empty():
            change = self._waiting.get()
            if change is None:
                return group, True
            group.append(change)
        return group, False

    def _write(self, group: list[_Change]) -> None:
        together = [each for each in group if each.asked is not None]
        try:
            try:
                self._written(group, together)
            except _NoneMade:
                # Each is made alone then, and who is at fault is told.
                self._written(group, [])
        except BaseException as error:  # Those who wait are told, whatever it is.
            if all(each.is_told for each in group):
                _log.exception("All was written, but not what is done after it.")
            for each in group:
                if not each.is_told:
                    each.tell(None, error)

    def _written(self, group: list[_Change], together: list[_Change]) -> None:
        """Write a group in one transaction, some of it together. Raises _NoneMade."""
        runs = {each.run_id for each in group}
        with self._database.writing(None if "" in runs else runs) as session:
            made = self._made_together(session, together) if together else []
            done = {change for change, _ in made}
            for change in (each for each in group if each not in done):
                made.extend(self._made(session, change, alone=len(group) == 1))
            after_commit(session, partial(_tell_all, made))

    def _made_together(self, session: Session, changes: list[_Change]) -> list[_Made]:
        """Make changes at once, first in their transaction: where that fails it ends with them."""
        try:
            answers = self._make_together(session, [change.asked for change in changes])
        except Exception as error:
            raise _NoneMade from error
        pairs = zip(changes, answers, strict=True)
        return [(change, answer) for change, answer in pairs if answer is not None]

    def _made(self, session: Session, change: _Change, alone: bool) -> Iterator[_Made]:
        """Make one change of a group; one that fails is undone, and its caller told."""
        if alone:
            yield change, change.make(session)
            return
        try:
            with undo_tellings_after(session), session.begin_nested():
                answer = change.make(session)
        except Exception as error:
            # A disk that is full may end the whole transaction: then what the others wrote is gone.
            if not self._database.engine.is_open(session):
                raise
            change.tell(None, error)
        else:
            yield change, answer


def _tell_all(made: Sequence[_Made]) -> None:
    for change, answer in made:
        change.tell(answer)


def _settle(future: "Future[T]", answer: T, error: BaseException | None) -> None:
    if error is None:
        future.set_result(answer)
    else:
        future.set_exception(error)
