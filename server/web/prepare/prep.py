"""What is made ahead: tasks from the moment on stage backwards, day by day."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.errors import InvalidInput
from server.domain.prepare.proposals import proposals
from server.domain.prepare.timetable import timetable, without_task
from server.domain.routine.edits import part_of, put
from server.domain.routine.preparing import Task
from server.domain.routine.routine import Routine
from server.store.packing import done_tasks
from server.store.routines import StoredRoutine, load_routine
from server.store.rule_sheets import load_rule_sheet
from server.web.frame.dependencies import NowMs, ReadSession
from server.web.frame.editing import Edit, Editor, id_or_new, routine_context, start_of_form
from server.web.frame.forms import Form
from server.web.frame.local_zone import LOCAL
from server.web.frame.render import page
from server.web.prepare.prep_forms import (
    JOURNEY,
    WHERE,
    journey_from,
    prep_values,
    task_from,
    with_journey,
)
from server.web.prepare.prep_view import PrepPage, ruled_of, shown_of

router = APIRouter(prefix="/routines/{routine_id}")

PLACE = "prep"


@router.get("/prep")
def prep_page(
    request: Request, session: ReadSession, now_ms: NowMs, routine_id: str, edit: str = ""
) -> Response:
    stored = load_routine(session, routine_id)
    offered = proposals(stored.routine)
    known = {f"task-{each.id}" for each in stored.routine.preparation.tasks}
    known |= {f"task-new-{each.key}" for each in offered} | {JOURNEY, "task-new"}
    edit = edit if edit in known else ""
    rules = load_rule_sheet(session, stored.routine.rule_sheet_id)
    values = prep_values(stored.routine, rules, edit, offered) if edit else {}
    form = Form(values) if edit.startswith("task-new") else start_of_form(edit, values)
    return page(request, prep_context(session, stored, form, edit, now_ms))


@router.get("/prep/timetable.ics")
def get_calendar(session: ReadSession, now_ms: NowMs, routine_id: str) -> Response:
    """The timetable for the calendar of a phone; with no time on stage there is none."""
    # It loads a library that no page needs.
    from server.domain.prepare.calendar import calendar_file

    routine = load_routine(session, routine_id).routine
    if routine.preparation.journey.stage_ms is None:
        raise InvalidInput.of("stage", "Say when you are on stage first.")
    done = done_tasks(session, routine.id)
    table = timetable(routine.preparation.tasks, routine.preparation.journey, LOCAL, done)
    rules = load_rule_sheet(session, routine.rule_sheet_id)
    content = calendar_file(routine, rules, table, now_ms / 1000)
    name = {"Content-Disposition": 'attachment; filename="made-ahead.ics"'}
    return Response(content, media_type="text/calendar; charset=utf-8", headers=name)


@router.post("/prep/journey")
def post_journey(edit: Edit) -> Response:
    def change(routine: Routine) -> Routine:
        return with_journey(routine, journey_from(edit.typed, edit.now_ms))

    return _saved(edit, change, "changed when the stage is", JOURNEY)


@router.post("/prep/tasks/{task_id}")
def post_task(edit: Edit, task_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        tasks = routine.preparation.tasks
        task = task_from(edit.typed, id_or_new(tasks, task_id))
        return _with_tasks(routine, put(tasks, task))

    return _saved(edit, change, edit.label_of(task_id), f"task-{task_id}")


@router.post("/prep/tasks/{task_id}/delete")
def post_task_delete(edit: Edit, task_id: str) -> Response:
    name = part_of(edit.routine.preparation.tasks, task_id).name

    def change(routine: Routine) -> Routine:
        return _with_tasks(routine, without_task(routine.preparation.tasks, task_id))

    return _saved(edit, change, f"deleted “{name}”")


def prep_context(
    session: Session, stored: StoredRoutine, form: Form, edit: str, now_ms: int
) -> PrepPage:
    """What the page of what is made ahead shows; `edit` names the open form."""
    routine = stored.routine
    done = done_tasks(session, routine.id)
    shown = shown_of(routine, done, now_ms / 1000)
    context = routine_context(session, stored, PLACE)
    return PrepPage(
        **context,
        shown=shown,
        proposals=proposals(routine),
        edit=edit,
        form=form,
        ruled=ruled_of(context["rules"]),
        where=WHERE,
        helpers=tuple(sorted({task.who for task in routine.preparation.tasks if task.who})),
        now_ms=now_ms,
    )


def _with_tasks(routine: Routine, tasks: tuple[Task, ...]) -> Routine:
    return replace(routine, preparation=replace(routine.preparation, tasks=tasks))


def _saved(
    edit: Editor, change: Callable[[Routine], Routine], label: str, form: str = ""
) -> Response:
    """Save and show the page, the form open again where it was refused."""
    showing = partial(prep_context, now_ms=edit.now_ms)
    rules = load_rule_sheet(edit.session, edit.routine.rule_sheet_id)
    return edit.save_form(change, label, PLACE, showing, partial(prep_values, rules=rules), form)
