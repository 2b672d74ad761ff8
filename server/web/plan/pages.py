"""The plan: segments and parallel processes in the slot, edited in place."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.errors import InvalidInput
from server.domain.risk.processes import expected_processes
from server.domain.routine.edits import (
    move_segment,
    part_of,
    put_process,
    put_segment,
    remove_process,
    remove_segment,
)
from server.domain.routine.plan import Layout
from server.domain.routine.plan import layout as plain_layout
from server.domain.routine.routine import LANES, Process, Routine
from server.domain.whole.process_time import WorkedOut, worked_out
from server.domain.whole.talk import spoken_words
from server.domain.whole.tryouts import all_tried, lengthen, move
from server.store.routines import StoredRoutine, load_routine
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import (
    NEW,
    Context,
    ContextOf,
    Edit,
    id_or_new,
    is_new,
    label_of_save,
    routine_context,
    start_of_form,
)
from server.web.frame.forms import Form
from server.web.frame.guard import Values
from server.web.frame.render import page
from server.web.plan.forms import (
    link_names,
    plan_values,
    process_from,
    reading_numbers,
    segment_from,
)
from server.web.plan.outlook import HeldOutlooks, Outlook, Outlooks
from server.web.plan.tape import tape_of, timed_layout

router = APIRouter(prefix="/routines/{routine_id}")

LONGEST_STEP_S = 86_400.0


@router.get("/plan")
def plan_page(
    request: Request, session: ReadSession, outlooks: HeldOutlooks, routine_id: str, edit: str = ""
) -> Response:
    stored = load_routine(session, routine_id)
    form = start_of_form(edit, plan_values(stored.routine, edit))
    return page(request, "plan", plan_context(session, stored, form, edit, outlooks))


@router.post("/segments/{segment_id}")
def post_segment(edit: Edit, outlooks: HeldOutlooks, segment_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        known_id = id_or_new(routine.segments, segment_id)
        return put_segment(routine, segment_from(edit.typed, known_id))

    label = label_of_save(segment_id, edit.typed.text("name"))
    then = "segment-new" if segment_id == NEW else ""
    name = f"segment-{segment_id}"
    return edit.save(change, label, "plan", _showing(name, outlooks), then, against=_shown_of(name))


@router.post("/segments/{segment_id}/move")
def post_segment_move(edit: Edit, outlooks: HeldOutlooks, segment_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        return move_segment(routine, segment_id, edit.typed.position())

    name = part_of(edit.routine.segments, segment_id).name
    return edit.save(change, f"moved “{name}”", "plan", _showing("move", outlooks))


@router.post("/plan/block")
def post_block(edit: Edit, outlooks: HeldOutlooks) -> Response:
    """A block of the tape was let go: so many seconds longer, at a place in the order."""
    routine, segment_id = edit.routine, edit.typed.text("segment")
    name = part_of(routine.segments, segment_id).name
    place = [each.id for each in routine.segments].index(segment_id)
    seconds = edit.typed.number("seconds", -LONGEST_STEP_S, LONGEST_STEP_S)
    to = edit.typed.position()
    steps = [lengthen(routine, segment_id, seconds)] if seconds else []
    steps += [move(routine, segment_id, to)] if to != place else []
    label = ", ".join(step.words for step in steps) or f"changed “{name}”"
    return edit.save(
        lambda before: all_tried(before, steps),
        label,
        "plan",
        _showing("move", outlooks),
        stays=True,
    )


@router.post("/segments/{segment_id}/delete")
def post_segment_delete(edit: Edit, outlooks: HeldOutlooks, segment_id: str) -> Response:
    name = part_of(edit.routine.segments, segment_id).name
    return edit.save(
        lambda routine: remove_segment(routine, segment_id),
        f"deleted “{name}”", "plan", _showing("", outlooks),
    )  # fmt: skip


@router.post("/processes/{process_id}")
def post_process(edit: Edit, outlooks: HeldOutlooks, process_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        known_id = id_or_new(routine.processes, process_id)
        return put_process(routine, process_from(edit.typed, known_id))

    label = label_of_save(process_id, edit.typed.text("name"))
    name = f"process-{process_id}"
    return edit.save(change, label, "plan", _showing(name, outlooks), against=_shown_of(name))


@router.post("/processes/{process_id}/take-time")
def post_process_time(edit: Edit, outlooks: HeldOutlooks, process_id: str) -> Response:
    """Plan a process for the time that its readings or temperatures give."""

    def change(routine: Routine) -> Routine:
        process = part_of(routine.processes, process_id)
        found = worked_out(routine, process)
        if found is None:
            raise InvalidInput.of("readings", "There are no readings to work a time out from.")
        return put_process(routine, _with_time(process, found))

    name = part_of(edit.routine.processes, process_id).name
    label = f"took over the time of “{name}”"
    return edit.save(change, label, "plan", _showing("move", outlooks))


@router.post("/processes/{process_id}/delete")
def post_process_delete(edit: Edit, outlooks: HeldOutlooks, process_id: str) -> Response:
    name = part_of(edit.routine.processes, process_id).name
    return edit.save(
        lambda routine: remove_process(routine, process_id),
        f"deleted “{name}”", "plan", _showing("", outlooks),
    )  # fmt: skip


def plan_context(
    session: Session, stored: StoredRoutine, form: Form, edit: str, outlooks: Outlooks
) -> Context:
    """What the plan page shows; `edit` names the part whose form is open."""
    context = routine_context(session, stored, "plan")
    routine, rules = stored.routine, context["rules"]
    outlook = outlooks.of(session, stored, rules)
    planned, placed = plain_layout(routine), timed_layout(routine, outlook.model)
    return {
        **context,
        "layout": placed,
        "planned_s": planned.total_s,
        "planned": {each.segment.id: each for each in planned.segments},
        "planned_processes": {each.process.id: each for each in planned.processes},
        "spoken_words": {
            each.id: spoken_words(each, routine.language) for each in routine.segments
        },
        "tape": tape_of(placed, outlook.model, rules),
        "times": outlook.model.plan.times,
        "process_times": {each.id: each for each in expected_processes(outlook.model)},
        "longer_words": _longer_words(placed, outlook),
        "pace": outlook.paces.common,
        "measured": len(outlook.paces.own),
        "untold": outlook.untold,
        "worked_out": {each.id: _worked_out(routine, each) for each in routine.processes},
        "edit": edit,
        "form": form,
        "empty_form": Form(),
        "link_names": link_names(dict(form.values)),
        "reading_numbers": reading_numbers(dict(form.values)),
        "lanes": LANES,
        "drink_names": {drink.id: drink.name for drink in routine.drinks},
        "segment_names": {part.id: part.name for part in routine.segments},
    }


def _showing(edit: str, outlooks: Outlooks) -> ContextOf:
    return partial(plan_context, edit=edit, outlooks=outlooks)


def _shown_of(edit: str) -> Callable[[Routine], Values] | None:
    """What the form of that part starts with; None for a part still to be made."""
    return None if is_new(edit) else partial(plan_values, edit=edit)


def _longer_words(placed: Layout, outlook: Outlook) -> list[str]:
    """The segments whose words take longer than is planned for them."""
    likely_s = outlook.model.parts.likely_s
    return [
        each.segment.name
        for each in placed.segments
        if likely_s[each.segment.id] > each.segment.duration.likely_s + 0.5
    ]


def _worked_out(routine: Routine, process: Process) -> WorkedOut | str | None:
    """The time by the readings, or in words why there is none."""
    try:
        return worked_out(routine, process)
    except InvalidInput as error:
        return error.message


def _with_time(process: Process, found: WorkedOut) -> Process:
    return replace(process, duration=found.spread)
