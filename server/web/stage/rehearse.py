"""Before the stage: start a run, or go on with one that is still open."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from sqlmodel import Session

from server.domain.base.audio import KINDS
from server.domain.base.errors import Fault, InvalidInput
from server.domain.routine.part import plan_of_part, plan_of_phase
from server.domain.routine.plan import PHASES, Layout, Plan, layout
from server.domain.runs.summary import RunLine
from server.domain.whole.talk import wordless
from server.store.routines import StoredRoutine, load_routine
from server.store.rule_sheets import load_rule_sheet
from server.store.runs import create_run_of, list_runs
from server.store.uploads.tracks import MOST_BYTES, Track, track_of
from server.store.watchers import open_to_watchers
from server.web.frame.dependencies import NowMs, ReadSession, TypedForm, WriteSession
from server.web.frame.editing import routine_context
from server.web.frame.render import page, see
from server.web.frame.shown import RoutinePage
from server.web.stage.run_data import track_url

router = APIRouter(prefix="/routines/{routine_id}")


@dataclass(frozen=True)
class Readiness:
    """Whether a routine can be rehearsed, and what would make the run worth more."""

    missing: str
    hints: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class RehearsePage(RoutinePage, folder="rehearse"):
    """What can be started or gone on with; `music_faults` is what is wrong with a track sent.

    `part_from` is the segment from which a part shall be practised, empty where none was asked for.
    """

    layout: Layout
    readiness: Readiness
    running: list[RunLine]
    track: Track | None
    track_url: str | None
    part_from: str = ""
    music_faults: Sequence[Fault] = ()
    music_types: str = ",".join(f"{kind.suffix},{kind.media_type}" for kind in KINDS)
    music_most: int = MOST_BYTES


@router.get("/rehearse")
def rehearse_page(
    request: Request,
    session: ReadSession,
    routine_id: str,
    part_from: Annotated[str, Query(alias="from")] = "",
) -> Response:
    stored = load_routine(session, routine_id)
    known = {each.id for each in stored.routine.segments}
    begin = part_from if part_from in known else ""
    return page(request, rehearse_page_of(session, stored, part_from=begin))


@router.post("/rehearse")
def post_run(session: WriteSession, now_ms: NowMs, routine_id: str, typed: TypedForm) -> Response:
    routine = load_routine(session, routine_id).routine
    if not routine.segments and not typed.text("phase"):
        raise InvalidInput.of("segments", "Add a segment first: the stage has nothing to show yet.")
    plan = Plan(routine, load_rule_sheet(session, routine.rule_sheet_id))
    if typed.text("phase"):
        plan = plan_of_phase(plan, typed.chosen("phase", PHASES, next(iter(PHASES))))
    elif typed.text("from") or typed.text("to"):
        plan = plan_of_part(plan, typed.text("from"), typed.text("to"))
    run_id = create_run_of(session, plan, now_ms)
    if typed.ticked("watchers"):
        open_to_watchers(session, run_id, now_ms)
        return see(f"/runs/{run_id}/watchers")
    return see(f"/runs/{run_id}/stage")


def rehearse_page_of(
    session: Session,
    stored: StoredRoutine,
    music_faults: Sequence[Fault] = (),
    part_from: str = "",
) -> RehearsePage:
    """What the page shows; `music_faults` is what is wrong with a track that was sent."""
    track = track_of(session, stored.routine.id)
    return RehearsePage(
        **routine_context(session, stored, "rehearse"),
        layout=layout(stored.routine),
        readiness=_readiness(stored),
        running=_running(session, stored.routine.id),
        track=track,
        track_url=None if track is None else track_url(stored.routine.id, track),
        part_from=part_from,
        music_faults=music_faults,
    )


def _readiness(stored: StoredRoutine) -> Readiness:
    routine = stored.routine
    if not routine.segments:
        return Readiness("The plan has no segments yet. Add at least one with a duration.", ())
    hints = []
    if silent := len(wordless(routine.segments)):
        have = "segment has" if silent == 1 else "segments have"
        hints.append(f"{silent} {have} no words yet.")
    loose = [
        each for each in routine.processes if not (each.after_segment_id and each.before_segment_id)
    ]
    hints += [f"“{each.name}” hangs on no segment; it will not be timed." for each in loose]
    return Readiness("", tuple(hints))


def _running(session: Session, routine_id: str) -> list[RunLine]:
    return [run for run in list_runs(session, routine_id) if run.is_open]
