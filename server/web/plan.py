"""The plan: segments and parallel processes in the slot, edited in place."""

from functools import partial

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.durations import format_duration
from server.domain.edits import (
    move_segment,
    part_of,
    put_process,
    put_segment,
    remove_process,
    remove_segment,
)
from server.domain.plan import layout
from server.domain.routine import LANES, Lane, Process, Routine, Segment, Spread
from server.store.routines import StoredRoutine, load_routine
from server.web.dependencies import ReadSession
from server.web.editing import (
    NEW,
    Context,
    ContextOf,
    Edit,
    id_or_new,
    label_of_save,
    routine_context,
)
from server.web.forms import Form, Typed
from server.web.render import page
from server.web.tape import plan_tape

router = APIRouter(prefix="/routines/{routine_id}")


@router.get("/plan")
def plan_page(request: Request, session: ReadSession, routine_id: str, edit: str = "") -> Response:
    stored = load_routine(session, routine_id)
    form = Form(_values(stored.routine, edit))
    return page(request, "plan", plan_context(session, stored, form, edit))


@router.post("/segments/{segment_id}")
def post_segment(edit: Edit, segment_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        known_id = id_or_new(routine.segments, segment_id)
        return put_segment(routine, segment_from(edit.typed, known_id))

    label = label_of_save(segment_id, edit.typed.text("name"))
    then = "segment-new" if segment_id == NEW else ""
    return edit.save(change, label, "plan", _showing(f"segment-{segment_id}"), then)


@router.post("/segments/{segment_id}/move")
def post_segment_move(edit: Edit, segment_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        return move_segment(routine, segment_id, edit.typed.position())

    name = part_of(edit.routine.segments, segment_id).name
    return edit.save(change, f"moved “{name}”", "plan", _showing("move"))


@router.post("/segments/{segment_id}/delete")
def post_segment_delete(edit: Edit, segment_id: str) -> Response:
    name = part_of(edit.routine.segments, segment_id).name
    return edit.save(
        lambda routine: remove_segment(routine, segment_id),
        f"deleted “{name}”", "plan", _showing(""),
    )  # fmt: skip


@router.post("/processes/{process_id}")
def post_process(edit: Edit, process_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        known_id = id_or_new(routine.processes, process_id)
        return put_process(routine, process_from(edit.typed, known_id))

    label = label_of_save(process_id, edit.typed.text("name"))
    return edit.save(change, label, "plan", _showing(f"process-{process_id}"))


@router.post("/processes/{process_id}/delete")
def post_process_delete(edit: Edit, process_id: str) -> Response:
    name = part_of(edit.routine.processes, process_id).name
    return edit.save(
        lambda routine: remove_process(routine, process_id),
        f"deleted “{name}”", "plan", _showing(""),
    )  # fmt: skip


def segment_from(typed: Typed, segment_id: str) -> Segment:
    """The segment that a form describes; raises InvalidInput with every fault."""
    duration = _spread(typed)
    both: Lane = "both"
    return typed.built(
        lambda: Segment(
            id=segment_id,
            name=typed.text("name"),
            duration=duration,
            lane=typed.chosen("lane", LANES, both),
            hands=typed.text("hands"),
            said=typed.text("said"),
            drink_id=typed.choice("drink"),
            auto_advance=typed.ticked("auto_advance"),
        )
    )


def process_from(typed: Typed, process_id: str) -> Process:
    """The parallel process that a form describes; raises InvalidInput with every fault."""
    duration = _spread(typed)
    if not typed.text("after"):
        typed.fault("after", "Choose the segment at whose end it starts.")
    if not typed.text("before"):
        typed.fault("before", "Choose the segment that needs it ready.")
    return typed.built(
        lambda: Process(
            id=process_id,
            name=typed.text("name"),
            duration=duration,
            after_segment_id=typed.choice("after"),
            before_segment_id=typed.choice("before"),
            fallback=typed.text("fallback"),
        )
    )


def plan_context(session: Session, stored: StoredRoutine, form: Form, edit: str) -> Context:
    """What the plan page shows; `edit` names the part whose form is open."""
    context = routine_context(session, stored, "plan")
    placed = layout(stored.routine)
    return {
        **context,
        "layout": placed,
        "tape": plan_tape(placed, context["rules"]),
        "edit": edit,
        "form": form,
        "empty_form": Form(),
        "lanes": LANES,
        "drink_names": {drink.id: drink.name for drink in stored.routine.drinks},
        "segment_names": {part.id: part.name for part in stored.routine.segments},
    }


def _showing(edit: str) -> ContextOf:
    return partial(plan_context, edit=edit)


def _spread(typed: Typed) -> Spread:
    likely_s = typed.duration("likely")
    low_s, high_s = typed.optional_duration("low"), typed.optional_duration("high")
    if typed.failed("likely", "low", "high"):
        return Spread(0.0)
    return typed.take(lambda: Spread(likely_s, low_s, high_s), Spread(0.0))


def _values(routine: Routine, edit: str) -> dict[str, str]:
    """The texts with which the open form starts."""
    kind, _, part_id = edit.partition("-")
    if part_id in ("", NEW):
        return {"lane": "both"}
    if kind == "process":
        return _process_values(part_of(routine.processes, part_id))
    return _segment_values(part_of(routine.segments, part_id))


def _segment_values(segment: Segment) -> dict[str, str]:
    return {
        "name": segment.name,
        "lane": segment.lane,
        "hands": segment.hands,
        "said": segment.said,
        "drink": segment.drink_id or "",
        "auto_advance": "yes" if segment.auto_advance else "",
        **_spread_values(segment.duration),
    }


def _process_values(process: Process) -> dict[str, str]:
    return {
        "name": process.name,
        "after": process.after_segment_id or "",
        "before": process.before_segment_id or "",
        "fallback": process.fallback,
        **_spread_values(process.duration),
    }


def _spread_values(spread: Spread) -> dict[str, str]:
    times = {"low": spread.low_s, "likely": spread.likely_s, "high": spread.high_s}
    return {name: format_duration(time) for name, time in times.items() if time is not None}
