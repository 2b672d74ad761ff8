"""Marks of many runs, appended with a few statements for all of them.

What is sent for a run nearly always goes the same plain way: the run is there, its log is folded
and kept, the ids are new, the name is the sender's. What does not is left to `runs.append_events`,
which is the rule: nothing is refused or told apart here.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from sqlalchemy import bindparam, select
from sqlmodel import Session, col, func, insert

from server.domain.runs.events import MOST_EVENTS, Event
from server.domain.runs.folding import Folding
from server.domain.whole.exchange import to_json
from server.store.devices import keep_names
from server.store.foldings import give_back, put_back, take_folding_at
from server.store.plans import load_frame
from server.store.routines import touch_routine
from server.store.run_logs import Arrival, derive_all, derived_of
from server.store.runs import Appended
from server.store.tables import EventRow, LogDeviceRow, RunRow

_LAST_REV = (
    select(func.max(EventRow.rev))
    .where(col(EventRow.run_id) == col(RunRow.id))
    .correlate(RunRow)
    .scalar_subquery()
)
_PLACES = (
    select(
        col(RunRow.id), col(RunRow.routine_id), col(RunRow.plan_key), _LAST_REV.label("rev"),
        col(LogDeviceRow.device_id), col(LogDeviceRow.key),
    )
    .outerjoin(LogDeviceRow, col(LogDeviceRow.run_id) == col(RunRow.id))
    .where(col(RunRow.id).in_(bindparam("ids", expanding=True)))
    .where(col(RunRow.deleted_ms).is_(None))
)  # fmt: skip
"""Each run, with one of the names in its log; of several a row each."""

_APPEND = insert(EventRow).returning(col(EventRow.rev), col(EventRow.run_id), col(EventRow.id))


@dataclass(frozen=True)
class Sent:
    """Events that a device sent for a run.

    The names they stand under must be kept under one of `keys`, and new ones are from now on under
    `key`; where that is empty nobody is told apart.
    """

    run_id: str
    events: tuple[Event, ...]
    now_ms: int
    key: str = ""
    keys: frozenset[str] = frozenset()


class _Place(NamedTuple):
    """Where what was sent belongs; `rev` is that of the last event, None where there is none."""

    routine_id: str
    plan_key: str
    rev: int | None


@dataclass(frozen=True)
class _Plain:
    """What goes the plain way, with the documents of its events by their ids."""

    sent: Sent
    place: _Place
    folding: Folding
    documents: dict[str, str]
    new_names: set[str]

    def derived(self, session: Session) -> dict[str, object]:
        """What lists of runs show of it from now on."""
        return derived_of(self.folding.state(), load_frame(session, self.place.plan_key))


def append_together(session: Session, sent: Sequence[Sent]) -> list[Appended | None]:
    """Append what each sent to the log of its run; None for what must be appended alone.

    What fails, fails for all of them.
    """
    session.flush()
    often = Counter(each.run_id for each in sent)
    single = [each for each in sent if often[each.run_id] == 1]
    ids = {"ids": [each.run_id for each in single]}
    places: dict[str, _Place] = {}
    names: dict[str, dict[str, str]] = {}
    for run_id, *place, device_id, key in session.connection().execute(_PLACES, ids):
        places[run_id] = _Place(*place)
        if device_id is not None:
            names.setdefault(run_id, {})[device_id] = key
    found = (
        _plain(session, each, places[each.run_id], names.get(each.run_id, {}))
        for each in single
        if each.run_id in places
    )
    plain = [each for each in found if each is not None]
    appended = _append(session, plain) if plain else {}
    return [appended.get(each.run_id) for each in sent]


def _plain(session: Session, sent: Sent, place: _Place, names: Mapping[str, str]) -> _Plain | None:
    own = {event.device_id for event in sent.events} if sent.key else set()
    if any(names.get(name, sent.key) not in (sent.key, *sent.keys) for name in own):
        return None

    folding = take_folding_at(session, sent.run_id, place.plan_key, place.rev)
    fresh = {event.id for event in sent.events if event.id not in folding}
    if len(fresh) < len(sent.events) or len(folding) + len(fresh) > MOST_EVENTS:
        put_back(session, sent.run_id, place.rev, folding)
        return None
    folding.add(sent.events)
    documents = {event.id: to_json(event) for event in sent.events}
    return _Plain(sent, place, folding, documents, own - names.keys())


def _append(session: Session, plain: Sequence[_Plain]) -> dict[str, Appended]:
    for each in plain:
        keep_names(session, each.sent.run_id, each.new_names, each.sent.key)
    rows = [
        {"run_id": each.sent.run_id, "id": key, "received_ms": each.sent.now_ms, "document": text}
        for each in plain
        for key, text in each.documents.items()
    ]
    stored = session.connection().execute(_APPEND, rows)
    revs = {(run_id, key): rev or 0 for rev, run_id, key in stored}
    derive_all(session, {each.sent.run_id: each.derived(session) for each in plain})
    for routine_id in {each.place.routine_id for each in plain}:
        touch_routine(session, routine_id)
    return {each.sent.run_id: _appended(session, each, revs) for each in plain}


def _appended(session: Session, plain: _Plain, revs: Mapping[tuple[str, str], int]) -> Appended:
    run_id, now_ms = plain.sent.run_id, plain.sent.now_ms
    arrived = tuple(
        Arrival(revs[run_id, key], document, now_ms) for key, document in plain.documents.items()
    )
    give_back(session, run_id, max(each.rev for each in arrived), plain.folding)
    takeovers = tuple(event.id for event in plain.folding.takeovers)
    return Appended(tuple(plain.documents), (), takeovers, arrived)
