"""The logs of the runs under way, folded and kept in the process from one mark to the next."""

from collections import OrderedDict
from dataclasses import dataclass, field
from threading import Lock
from weakref import WeakKeyDictionary

from sqlalchemy import Connection, Engine
from sqlmodel import Session

from server.domain.runs.folding import Folding
from server.store.database import after_commit
from server.store.plans import load_frame
from server.store.run_logs import arrivals_after, event_of

MOST_EVENTS_KEPT = 20_000
"""Of all runs that are kept: some tens of megabytes. A school has fifty short logs at a time."""


@dataclass
class _Kept:
    """What is kept of one database: run -> rev of its last event, and its folded log."""

    logs: OrderedDict[str, tuple[int, Folding]] = field(default_factory=OrderedDict)
    events: int = 0
    """In all of them. Counted along: to go through all the logs for each mark cost more of fifty
    presenters than to write the mark."""

    def put(self, run_id: str, rev: int, folding: Folding) -> None:
        """Keep a log as the latest; the oldest go where it gets too much."""
        self.take(run_id)
        self.logs[run_id] = rev, folding
        self.events += len(folding)
        while self.events > MOST_EVENTS_KEPT and len(self.logs) > 1:
            self.take(next(iter(self.logs)))

    def take(self, run_id: str) -> tuple[int, Folding | None]:
        """Give a log out of hand; 0 and None where it is not kept."""
        rev, folding = self.logs.pop(run_id, (0, None))
        self.events -= len(folding) if folding is not None else 0
        return rev, folding


_kept: WeakKeyDictionary[Engine, _Kept] = WeakKeyDictionary()
_lock = Lock()


def take_folding(session: Session, run_id: str, plan_key: str) -> tuple[int, Folding]:
    """The log of a run as it is stored, folded, and the rev of its last event.

    It is the caller's until it is given back: what a failed transaction added is in no database.
    """
    with _lock:
        rev, folding = _of(_engine(session)).take(run_id)
    arrived = arrivals_after(session, run_id, rev)
    events = [event_of(each.document) for each in arrived]
    if folding is None:
        folding = Folding(load_frame(session, plan_key).outline, events)
    else:
        folding.add(events)
    return (arrived[-1].rev if arrived else rev), folding


def take_folding_at(session: Session, run_id: str, plan_key: str, rev: int | None) -> Folding:
    """The same where the rev of the last event is known: then nothing is asked for what is kept."""
    with _lock:
        kept = _of(_engine(session))
        if rev is not None and kept.logs.get(run_id, (None, None))[0] == rev:
            _, folding = kept.take(run_id)
            if folding is not None:
                return folding
    return take_folding(session, run_id, plan_key)[1]


def put_back(session: Session, run_id: str, rev: int | None, folding: Folding) -> None:
    """Keep a folded log as it was taken, to which nothing was added."""
    _keep(_engine(session), run_id, rev or 0, folding)


def give_back(session: Session, run_id: str, rev: int, folding: Folding) -> None:
    """Keep a folded log for the next mark, once what it holds is durable."""
    engine = _engine(session)
    after_commit(session, lambda: _keep(engine, run_id, rev, folding))


def _keep(engine: Engine, run_id: str, rev: int, folding: Folding) -> None:
    with _lock:
        _of(engine).put(run_id, rev, folding)


def _of(engine: Engine) -> _Kept:
    return _kept.setdefault(engine, _Kept())


def _engine(session: Session) -> Engine:
    bind = session.get_bind()
    return bind.engine if isinstance(bind, Connection) else bind
