"""Marks of many runs, appended with a few statements for all of them.

What is sent for a run nearly always goes the same plain way: the run is there, its log is folded
and kept, the ids are new, the name is the sender's. What does not is left to `runs.append_events`,
which is the rule: nothing is refused or told apart here.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from sqlalchemy import Connection, bindparam, select
from sqlmodel import Session, col, func

from server.domain.runs.events import MOST_EVENTS, Event
from server.domain.runs.folding import Folding
from server.domain.whole.exchange import to_json
from server.store.database import after_commit
from server.store.devices import keep_names
from server.store.engines.driver_rows import NumberedRows
from server.store.foldings import KeptLogs, kept_logs, take_folding
from server.store.plans import load_frame
from server.store.routines import touch_routines
from server.store.run_logs import Arrival, derive_all, derived_of
from server.store.runs import Appended
from server.store.tables import EventRow, LogDeviceRow, RunRow

_LAST_REV = (
    select(func.max(EventRow.rev))
    .where(col(EventRow.run_id) == col(RunRow.id))
    .correlate(RunRow)
    .scalar_subquery()
)
# Whether a run was deleted is looked at here: asked for those that were not, SQLite goes through
# all of them that there are.
_PLACES = (
    select(
        col(RunRow.id), col(RunRow.deleted_ms), col(RunRow.routine_id), col(RunRow.plan_key),
        _LAST_REV.label("rev"), col(LogDeviceRow.device_id), col(LogDeviceRow.key),
    )
    .outerjoin(LogDeviceRow, col(LogDeviceRow.run_id) == col(RunRow.id))
    .where(col(RunRow.id).in_(bindparam("ids", expanding=True)))
)  # fmt: skip
"""Each run, with one of the names in its log; of several a row each."""

_APPEND = NumberedRows(EventRow, "rev", "run_id", "id", "received_ms", "document")


class Sent(NamedTuple):
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
    """Where what was sent belongs; `rev` is that of the last event, None where there is none.

    `names` are those in the log of the run, with the key that each is kept under.
    """

    routine_id: str
    plan_key: str
    rev: int | None
    names: dict[str, str]


class _Plain(NamedTuple):
    """What goes the plain way; `folding` holds it already."""

    sent: Sent
    place: _Place
    folding: Folding
    new_names: set[str]


def append_together(session: Session, sent: Sequence[Sent]) -> list[Appended | None]:
    """Append what each sent to the log of its run; None for what must be appended alone.

    What fails, fails for all of them.
    """
    session.flush()
    often = Counter(each.run_id for each in sent)
    single = [each for each in sent if often[each.run_id] == 1]
    places = _places(session.connection(), [each.run_id for each in single])
    kept = kept_logs(session)
    found = (
        _plain(session, kept, each, places[each.run_id]) for each in single if each.run_id in places
    )
    plain = [each for each in found if each is not None]
    appended = _append(session, kept, plain) if plain else {}
    return [appended.get(each.run_id) for each in sent]


def _places(connection: Connection, run_ids: Sequence[str]) -> dict[str, _Place]:
    """Run -> its place, for those that are there and not deleted."""
    places: dict[str, _Place] = {}
    for run_id, deleted_ms, routine_id, plan_key, rev, name, key in connection.execute(
        _PLACES, {"ids": run_ids}
    ).all():
        if deleted_ms is not None:
            continue
        place = places.get(run_id)
        if place is None:
            place = places[run_id] = _Place(routine_id, plan_key, rev, {})
        if name is not None:
            place.names[name] = key
    return places


def _plain(session: Session, kept: KeptLogs, sent: Sent, place: _Place) -> _Plain | None:
    own = {event.device_id for event in sent.events} if sent.key else set()
    if any(place.names.get(name, sent.key) not in (sent.key, *sent.keys) for name in own):
        return None

    folding = kept.take_at(sent.run_id, place.rev)
    if folding is None:
        _, folding = take_folding(session, sent.run_id, place.plan_key)
    fresh = {event.id for event in sent.events if event.id not in folding}
    if len(fresh) < len(sent.events) or len(folding) + len(fresh) > MOST_EVENTS:
        kept.put(sent.run_id, place.rev or 0, folding)
        return None
    folding.add(sent.events)
    return _Plain(sent, place, folding, own - place.names.keys())


def _append(session: Session, kept: KeptLogs, plain: Sequence[_Plain]) -> dict[str, Appended]:
    for each in plain:
        if each.new_names:
            keep_names(session, each.sent.run_id, each.new_names, each.sent.key)
    rows: list[dict[str, Any]] = [
        {"run_id": run_id, "id": event.id, "received_ms": now_ms, "document": to_json(event)}
        for (run_id, events, now_ms, *_), *_ in plain
        for event in events
    ]
    arrived: dict[str, list[Arrival]] = {each.sent.run_id: [] for each in plain}
    for rev, row in zip(_APPEND.put(session.connection(), rows), rows, strict=True):
        arrived[row["run_id"]].append(Arrival(rev, row["document"], row["received_ms"]))
    derive_all(session, {each.sent.run_id: _derived(session, each) for each in plain})
    touch_routines(session, {each.place.routine_id for each in plain})
    after_commit(session, lambda: _keep(kept, plain, arrived))
    return {each.sent.run_id: _appended(each, arrived[each.sent.run_id]) for each in plain}


def _derived(session: Session, plain: _Plain) -> dict[str, object]:
    """What lists of runs show of it from now on."""
    return derived_of(plain.folding.state(), load_frame(session, plain.place.plan_key))


def _keep(
    kept: KeptLogs, plain: Sequence[_Plain], arrived: Mapping[str, Sequence[Arrival]]
) -> None:
    for each in plain:
        kept.put(each.sent.run_id, arrived[each.sent.run_id][-1].rev, each.folding)


def _appended(plain: _Plain, arrived: Sequence[Arrival]) -> Appended:
    return Appended(
        accepted=tuple(event.id for event in plain.sent.events),
        differing=(),
        takeovers=tuple(event.id for event in plain.folding.takeovers),
        arrived=tuple(arrived),
    )
