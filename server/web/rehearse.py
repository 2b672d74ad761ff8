"""Before the stage: start a run, or go on with one that is still open."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.errors import InvalidInput
from server.domain.plan import layout
from server.domain.summary import RunLine
from server.store.routines import StoredRoutine, load_routine
from server.store.rule_sheets import load_rule_sheet
from server.store.runs import create_run, list_runs
from server.store.watchers import open_to_watchers
from server.web.dependencies import NowMs, ReadSession, TypedForm, WriteSession
from server.web.editing import Context, routine_context
from server.web.render import page, see

router = APIRouter(prefix="/routines/{routine_id}")


@dataclass(frozen=True)
class Readiness:
    """Whether a routine can be rehearsed, and what would make the run worth more."""

    missing: str
    hints: tuple[str, ...]


@router.get("/rehearse")
def rehearse_page(request: Request, session: ReadSession, routine_id: str) -> Response:
    stored = load_routine(session, routine_id)
    return page(request, "rehearse", _context(session, stored))


@router.post("/rehearse")
def post_run(session: WriteSession, now_ms: NowMs, routine_id: str, typed: TypedForm) -> Response:
    routine = load_routine(session, routine_id).routine
    if not routine.segments:
        raise InvalidInput.of("segments", "Add a segment first: the stage has nothing to show yet.")
    rules = load_rule_sheet(session, routine.rule_sheet_id)
    run_id = create_run(session, routine, rules, now_ms)
    if typed.ticked("watchers"):
        open_to_watchers(session, run_id, now_ms)
        return see(f"/runs/{run_id}/watchers")
    return see(f"/runs/{run_id}/stage")


def _context(session: Session, stored: StoredRoutine) -> Context:
    placed = layout(stored.routine)
    return {
        **routine_context(session, stored, "rehearse"),
        "layout": placed,
        "readiness": _readiness(stored),
        "running": _running(session, stored.routine.id),
    }


def _readiness(stored: StoredRoutine) -> Readiness:
    routine = stored.routine
    if not routine.segments:
        return Readiness("The plan has no segments yet. Add at least one with a duration.", ())
    hints = []
    silent = sum(not segment.said.strip() for segment in routine.segments)
    if silent:
        hints.append(f"{silent} of {len(routine.segments)} segments have no words yet.")
    loose = [
        each for each in routine.processes if not (each.after_segment_id and each.before_segment_id)
    ]
    hints += [f"“{each.name}” hangs on no segment; it will not be timed." for each in loose]
    return Readiness("", tuple(hints))


def _running(session: Session, routine_id: str) -> list[RunLine]:
    return [run for run in list_runs(session, routine_id) if run.status == "running"]
