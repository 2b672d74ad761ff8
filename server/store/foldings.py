"""The logs of the runs under way, folded and kept in the process from one mark to the next."""

from collections import OrderedDict
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


class KeptLogs:
    """What is kept of one database: run -> rev of its last event, and its folded log.

    A log that is taken out is the taker's until it is put back: what a failed transaction added to
    it is in no database.
    """

    def __init__(self) -> None:
        self.logs: OrderedDict[str, tuple[int, Folding]] = OrderedDict()
        # In all of them. Counted along: with fifty presenters it would cost more to go through all
        # logs for each mark than to write the mark.
        self.events = 0
        self._lock = Lock()

    def put(self, run_id: str, rev: int, folding: Folding) -> None:
        """Keep a log as the latest; the oldest go where it gets too much."""
        with self._lock:
            self._take(run_id)
            self.logs[run_id] = rev, folding
            self.events += len(folding)
            while self.events > MOST_EVENTS_KEPT and len(self.logs) > 1:
                self._take(next(iter(self.logs)))

    def take(self, run_id: str) -> tuple[int, Folding | None]:
        """Give a log out of hand; 0 and None where it is not kept."""
        with self._lock:
            return self._take(run_id)

    def take_at(self, run_id: str, rev: int | None) -> Folding | None:
        """Give a log out of hand that was kept when its last event had this rev; None where none
        was."""
        with self._lock:
            is_latest = rev is not None and self.logs.get(run_id, (None,))[0] == rev
            return self._take(run_id)[1] if is_latest else None

    def _take(self, run_id: str) -> tuple[int, Folding | None]:
        rev, folding = self.logs.pop(run_id, (0, None))
        self.events -= len(folding) if folding is not None else 0
        return rev, folding


_kept: WeakKeyDictionary[Engine, KeptLogs] = WeakKeyDictionary()
_lock = Lock()


def kept_logs(session: Session) -> KeptLogs:
    """What is kept of the database of a session."""
    bind = session.get_bind()
    engine = bind.engine if isinstance(bind, Connection) else bind
    with _lock:
        kept = _kept.get(engine)
        if kept is None:
            kept = _kept[engine] = KeptLogs()
        return kept


def take_folding(session: Session, run_id: str, plan_key: str) -> tuple[int, Folding]:
    """The log of a run as it is stored, folded, and the rev of its last event.

    It is the caller's until it is given back.
    """
    rev, folding = kept_logs(session).take(run_id)
    arrived = arrivals_after(session, run_id, rev)
    events = [event_of(each.document) for each in arrived]
    if folding is None:
        folding = Folding(load_frame(session, plan_key).outline, events)
    else:
        folding.add(events)
    return (arrived[-1].rev if arrived else rev), folding


def give_back(session: Session, run_id: str, rev: int, folding: Folding) -> None:
    """Keep a folded log for the next mark, once what it holds is durable."""
    kept = kept_logs(session)
    after_commit(session, lambda: kept.put(run_id, rev, folding))
