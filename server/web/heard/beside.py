"""A run marked by hand beside what was heard of it."""

from dataclasses import dataclass

from sqlmodel import Session

from server.domain.base.errors import InvalidInput
from server.domain.heard.marks import HEARD, BesideRow, run_events, side_by_side
from server.domain.runs.run import RunState, fold, outline_of
from server.store.heard.takes import Take
from server.store.ids import new_id
from server.store.runs import list_runs, load_run
from server.web.frame.filters import clock_ms, run_name
from server.web.heard.reading import Reading, accepted

OFFERED = 20


@dataclass(frozen=True)
class BesideRun:
    """The run that was marked by hand, segment by segment; no rows where times are missing."""

    run_id: str
    name: str
    rows: tuple[BesideRow, ...]
    hand_total_ms: int | None
    heard_total_ms: int | None


def beside_run(session: Session, reading: Reading) -> BesideRun | None:
    """The run beside a take; None where there is none, or where it was deleted."""
    run_id = reading.take.beside_run_id
    if run_id is None:
        return None
    run = load_run(session, run_id)
    if run.deleted:
        return None
    heard = _state(reading)
    same = run.record.plan_key == reading.take.plan_key
    rows = side_by_side(reading.plan.routine, run.state, heard) if heard and same else ()
    return BesideRun(
        run_id,
        run_name(run.line),
        rows,
        run.state.total_ms,
        heard.total_ms if heard else None,
    )


def runs_by_hand(session: Session, take: Take) -> tuple[tuple[str, str], ...]:
    """The latest runs that may be laid beside a take: id, and its name with its time."""
    lines = [
        each
        for each in list_runs(session, take.routine_id)
        if each.status == "finished" and each.source != HEARD
    ]
    return tuple(
        (each.id, f"{run_name(each)}, {clock_ms(each.total_ms)}")
        for each in reversed(lines[-OFFERED:])
    )


def _state(reading: Reading) -> RunState | None:
    if not reading.transcript.timed:
        return None
    routine = reading.plan.routine
    try:
        events = run_events(routine, accepted(reading), 0, new_id)
    except InvalidInput:
        return None
    return fold(events, outline_of(routine))
