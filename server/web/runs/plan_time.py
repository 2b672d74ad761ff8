"""A segment that has grown is planned as long as it takes: one touch, undone by another."""

from fastapi import APIRouter, Response

from server.domain.base.durations import LONGEST_S, format_duration
from server.domain.base.errors import InvalidInput
from server.domain.routine.edits import part_of, plan_time
from server.domain.routine.routine import Segment
from server.store.routines import StoredRoutine, edit_routine, load_routine, undo_edit
from server.web.frame.dependencies import NowMs, TypedForm, WriteSession
from server.web.frame.render import see
from server.web.runs.place import runs_url

router = APIRouter(prefix="/routines/{routine_id}/runs/plan-time")


@router.post("")
def post_plan_time(
    session: WriteSession, now_ms: NowMs, routine_id: str, typed: TypedForm
) -> Response:
    """Plan `segment` for so many `seconds`."""
    segment_id = typed.text("segment")
    seconds = typed.number("seconds", 0, LONGEST_S)
    typed.check()
    segment = part_of(load_routine(session, routine_id).routine.segments, segment_id)
    edit_routine(
        session,
        routine_id,
        lambda now: plan_time(now, segment_id, seconds),
        _label(segment, seconds),
        now_ms,
    )
    return see(runs_url(routine_id, typed.text("show"), planned=segment_id))


@router.post("/undo")
def post_undo(session: WriteSession, routine_id: str, typed: TypedForm) -> Response:
    """Take the new time back, unless something else was changed after it."""
    stored = load_routine(session, routine_id)
    if not planned_notice(stored, typed.text("segment")):
        raise InvalidInput.of("segment", "Something else was changed since. Undo it on the plan.")
    undo_edit(session, routine_id)
    return see(runs_url(routine_id))


def planned_notice(stored: StoredRoutine, segment_id: str) -> str:
    """What a page says after the time was taken over; "" once something else was changed."""
    segment = next((each for each in stored.routine.segments if each.id == segment_id), None)
    if segment is None or stored.undo_label != _label(segment, segment.duration.likely_s):
        return ""
    return f"“{segment.name}” is planned {format_duration(segment.duration.likely_s)} now."


def _label(segment: Segment, seconds: float) -> str:
    return f"planned “{segment.name}” {format_duration(seconds)}"
