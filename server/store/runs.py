"""Runs: frozen plans, appended events, and what is derived from them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Row, bindparam
from sqlmodel import Session, col, func, select

from server.domain.base.errors import Gone, InvalidInput, NotFound
from server.domain.routine.plan import Plan
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.runs.about import about_of
from server.domain.runs.events import MOST_EVENTS, MOST_IN_BATCH, Event
from server.domain.runs.run import RunState, fold, outline_of
from server.domain.runs.summary import RunLine
from server.domain.whole.exchange import RunRecord, Source, to_json
from server.store.away_runs import provide_run
from server.store.database import row_there
from server.store.engines.insert_new import InsertNew
from server.store.foldings import give_back, take_folding
from server.store.ids import new_id
from server.store.plans import freeze_plan, load_plan
from server.store.readable import readable
from server.store.routines import touch_routine
from server.store.run_logs import Arrival, derive, event_of, events_of
from server.store.run_rows import (
    LINE_COLUMNS,
    line_of,
    line_of_row,
    new_row,
    record_of,
    take_over,
)
from server.store.tables import EventRow, PlanRow, RunRow

# What runs for every mark is prepared: to build a statement costs as much as to run it.
_PLACE = select(RunRow.routine_id, RunRow.plan_key, RunRow.deleted_ms).where(
    RunRow.id == bindparam("run_id")
)
_SENT = select(EventRow.rev, EventRow.id, EventRow.document).where(
    EventRow.run_id == bindparam("run_id"), col(EventRow.id).in_(bindparam("ids", expanding=True))
)
_APPEND = InsertNew(EventRow, "run_id", "id")


FULL = (
    f"A run holds {MOST_EVENTS:,} marks and remarks at most, and this one is full. What is marked "
    "from here on stays on this device only: finish the run and begin another."
)


@dataclass(frozen=True)
class StoredRun:
    """A run with the plan it was run against, its events and the state they fold to."""

    record: RunRecord
    routine_id: str
    plan: Plan
    state: RunState
    line: RunLine
    deleted: bool


@dataclass(frozen=True)
class Appended:
    """What became of a batch of events.

    `accepted` are the ids that are stored now, `differing` those stored with other content,
    `takeovers` those of all events by which another device took the clock; `arrived` are the
    events that were not stored before.
    """

    accepted: tuple[str, ...]
    differing: tuple[str, ...]
    takeovers: tuple[str, ...] = ()
    arrived: tuple[Arrival, ...] = field(default=(), compare=False)


def create_run(
    session: Session, routine: Routine, rules: RuleSheet, now_ms: int, source: Source = "stage"
) -> str:
    """Freeze the plan and open a run of it; returns the run's id."""
    return create_run_of(session, Plan(routine, rules), now_ms, source)


def create_run_of(session: Session, plan: Plan, now_ms: int, source: Source = "stage") -> str:
    """The same for a plan, which may be that of a part."""
    run_id = new_id()
    key = freeze_plan(session, plan)
    _add_run(session, plan.routine.id, RunRecord(run_id, key, now_ms, source))
    return run_id


def append_events(
    session: Session,
    run_id: str,
    events: Sequence[Event],
    now_ms: int,
    most: int = MOST_EVENTS,
) -> Appended:
    """Add the events that are new to a run's log; sending one again changes nothing.

    An event whose id is stored with other content is reported in `differing`; the stored one
    stands. A run that a device began while it was away is made by its start. Raises NotFound for
    an unknown run, Gone for a deleted one, and InvalidInput for more
    events than `most` in the log.
    """
    appended = _append(session, run_id, events, now_ms, most)
    said = {each.id for each in events if each.kind == "about"}
    arrived = [event_of(each.document).id for each in appended.arrived] if said else []
    if said.intersection(arrived):
        _take_about(session, run_id, set(arrived))
    return appended


def _take_about(session: Session, run_id: str, arrived: set[str]) -> None:
    """Keep what the events that just arrived say of the run as a whole."""
    events = events_of(session, run_id)
    row = live_row(session, run_id)
    # The statements before this one wrote past the session.
    session.refresh(row)
    before = about_of(event for event in events if event.id not in arrived)
    take_over(row, before, about_of(events))
    save_row(session, row)
    session.flush()


def _append(
    session: Session, run_id: str, events: Sequence[Event], now_ms: int, most: int
) -> Appended:
    session.flush()
    provide_run(session, run_id, events, now_ms)
    routine_id, plan_key = _live_place(session, run_id)
    rev, folding = take_folding(session, run_id, plan_key)
    fresh = {event.id: event for event in reversed(events) if event.id not in folding}
    if len(folding) + len(fresh) > most:
        raise InvalidInput.of("events", FULL)
    sent = [(event.id, to_json(event)) for event in events]
    rows = [
        {"run_id": run_id, "id": key, "received_ms": now_ms, "document": document}
        for key, document in sent
    ]
    _APPEND.put(session, rows)
    keys = tuple(dict.fromkeys(key for key, _ in sent))
    stored = _stored(session, run_id, keys)
    if fresh:
        folding.add(fresh.values())
        rev = max(stored[key].rev for key in fresh)
        derive(session, run_id, plan_key, folding.state())
        touch_routine(session, routine_id)
    give_back(session, run_id, rev, folding)
    differing = (key for key, document in sent if stored[key].document != document)
    return Appended(
        accepted=keys,
        differing=tuple(dict.fromkeys(differing)),
        takeovers=tuple(event.id for event in folding.takeovers),
        arrived=tuple(
            Arrival(stored[key].rev, stored[key].document, now_ms) for key in keys if key in fresh
        ),
    )


def _stored(session: Session, run_id: str, keys: Sequence[str]) -> dict[str, Row[Any]]:
    """Event id -> rev, id and document, for these of a run's events."""
    found: dict[str, Row[Any]] = {}
    for first in range(0, len(keys), MOST_IN_BATCH):
        some = {"run_id": run_id, "ids": keys[first : first + MOST_IN_BATCH]}
        found |= {row.id: row for row in session.connection().execute(_SENT, some)}
    return found


def load_run(session: Session, run_id: str) -> StoredRun:
    """A run with everything that is known of it, deleted or not. Raises NotFound."""
    row = row_of(session, run_id)
    plan = load_plan(session, row.plan_key)
    events = events_of(session, run_id)
    return StoredRun(
        record=record_of(row, events),
        routine_id=row.routine_id,
        plan=plan,
        state=fold(events, outline_of(plan.routine)),
        line=line_of_row(row),
        deleted=row.deleted_ms is not None,
    )


def list_runs(session: Session, routine_id: str) -> list[RunLine]:
    """The runs of a routine that are not deleted, oldest first."""
    # Narrow columns, not entities: this list may hold hundreds of runs.
    statement = (
        select(*LINE_COLUMNS)
        .where(RunRow.routine_id == routine_id)
        .where(col(RunRow.deleted_ms).is_(None))
    )
    rows = session.connection().execute(statement)
    lines = (line_of(tuple(row)) for row in rows)
    # By when each was made, which no column says: a device's clock may be a year off.
    return sorted(lines, key=lambda line: (line.started_ms or 0, line.created_ms, line.id))


def segment_names(session: Session, routine_id: str) -> dict[str, str]:
    """Segment id -> its last name, over all plans that a routine's runs were run against."""
    statement = (
        select(PlanRow.document)
        .join(RunRow, col(RunRow.plan_key) == col(PlanRow.key))
        .where(RunRow.routine_id == routine_id)
        .group_by(col(PlanRow.key))
        .order_by(func.max(RunRow.created_ms))
    )
    names: dict[str, str] = {}
    for document in session.exec(statement):
        plan = readable(Plan, document, routine_id)
        names |= {segment.id: segment.name for segment in plan.routine.segments} if plan else {}
    return names


def run_records(session: Session, routine_id: str) -> Iterator[RunRecord]:
    """All runs of a routine that are not deleted, with their events, read one after the other."""
    rows = session.exec(
        select(RunRow)
        .where(RunRow.routine_id == routine_id)
        .where(col(RunRow.deleted_ms).is_(None))
        .order_by(col(RunRow.created_ms), RunRow.id)
    ).all()
    return (record_of(row, events_of(session, row.id)) for row in rows)


def _add_run(session: Session, routine_id: str, record: RunRecord) -> None:
    session.add(new_row(routine_id, record))
    touch_routine(session, routine_id)
    session.flush()


def save_row(session: Session, row: RunRow) -> str:
    """Keep a changed row and count it as a change of its routine; returns the routine's id."""
    session.add(row)
    touch_routine(session, row.routine_id)
    return row.routine_id


def row_of(session: Session, run_id: str) -> RunRow:
    """The row of a run, deleted or not. Raises NotFound."""
    return row_there(session, RunRow, run_id, "There is no such run.")


def load_live_run(session: Session, run_id: str) -> StoredRun:
    """A run with its log. Raises NotFound, and Gone for a deleted one."""
    run = load_run(session, run_id)
    if run.deleted:
        raise Gone("This run was deleted.")
    return run


def _live_place(session: Session, run_id: str) -> tuple[str, str]:
    """The routine and the plan of a run. Raises NotFound and Gone."""
    found = session.connection().execute(_PLACE, {"run_id": run_id}).first()
    if found is None:
        raise NotFound("There is no such run.")
    routine_id, plan_key, deleted_ms = found
    if deleted_ms is not None:
        raise Gone("This run was deleted.")
    return routine_id, plan_key


def require_run(session: Session, run_id: str) -> None:
    """Raises NotFound for an unknown run and Gone for a deleted one."""
    _live_place(session, run_id)


def require_run_of(session: Session, routine_id: str, run_id: str) -> None:
    """Raises NotFound where there is no such run of this routine, deleted or not."""
    if row_of(session, run_id).routine_id != routine_id:
        raise NotFound("There is no such run.")


def live_row(session: Session, run_id: str) -> RunRow:
    """The row of a run. Raises NotFound, and Gone for a deleted one."""
    row = row_of(session, run_id)
    if row.deleted_ms is not None:
        raise Gone("This run was deleted.")
    return row
