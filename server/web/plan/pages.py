"""The plan: segments and parallel processes in the slot, looked at and edited beside the tape."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import JSONResponse
from sqlmodel import Session

from server.domain.base.durations import LONGEST_S
from server.domain.base.errors import InvalidInput
from server.domain.risk.outcome import Forecast
from server.domain.risk.processes import expected_processes
from server.domain.routine.edits import (
    move_segment,
    part_of,
    put_process,
    put_segment,
    remove_process,
    remove_segment,
)
from server.domain.routine.plan import layout
from server.domain.routine.routine import LANES, Routine
from server.domain.whole.process_time import worked_out
from server.domain.whole.talk import spoken_words
from server.domain.whole.tryouts import all_tried, lengthen, move
from server.store.routines import StoredRoutine, load_routine
from server.store.rule_sheets import load_rule_sheet
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import (
    NEW,
    ContextOf,
    Edit,
    Editor,
    id_or_new,
    routine_context,
    start_of_form,
)
from server.web.frame.forms import Form
from server.web.frame.render import page
from server.web.frame.tape import drink_classes
from server.web.frame.telling import told
from server.web.plan.followed import Followed, followed
from server.web.plan.forms import (
    link_names,
    plan_values,
    process_from,
    reading_numbers,
    segment_from,
)
from server.web.plan.outlook import RISK, HeldOutlooks, Outlook, Outlooks
from server.web.plan.product import product_names
from server.web.plan.readers import seen_outlook
from server.web.plan.tape import tape_of
from server.web.plan.view import (
    PlanPage,
    ProcessPanel,
    ProcessRow,
    SegmentLine,
    SegmentPanel,
    first_of,
    headline_of,
    process_panel,
    process_rows,
    rows_of,
    segment_panel,
)

router = APIRouter(prefix="/routines/{routine_id}")

LONGEST_STEP_S = LONGEST_S


@router.get("/plan")
def plan_page(
    request: Request,
    session: ReadSession,
    outlooks: HeldOutlooks,
    routine_id: str,
    edit: str = "",
    looked_at: Annotated[str, Query(alias="open")] = "",
) -> Response:
    stored = load_routine(session, routine_id)
    form = start_of_form(edit, plan_values(stored.routine, edit))
    context = plan_context(session, stored, form, edit, outlooks, looked_at)
    return page(request, context)


@router.post("/segments/{segment_id}")
def post_segment(edit: Edit, outlooks: HeldOutlooks, segment_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        known_id = id_or_new(routine.segments, segment_id)
        return put_segment(routine, segment_from(edit.typed, known_id))

    then = "segment-new" if segment_id == NEW else ""
    return _saved(edit, change, segment_id, f"segment-{segment_id}", outlooks, then)


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
    # Asked before it is saved: what the runs have taught of the plan as it stands is at hand.
    follow = _follower(edit, outlooks) if edit.typed.text("span") else None
    answer = edit.save(
        lambda before: all_tried(before, steps),
        label,
        "plan",
        _showing("move", outlooks),
        stays=True,
    )
    if follow is None or answer.status_code != 303:
        return answer
    shown, untold = told(RISK, lambda: follow(all_tried(routine, steps), segment_id).values)
    return JSONResponse(shown or {"told": untold})


def _follower(edit: Edit, outlooks: Outlooks) -> Callable[[Routine, str], Followed]:
    """What tells a page that stays as it is what follows a change, on the scale it was drawn in."""
    span_s = edit.typed.number("span", 1, 1_000_000)
    edit.typed.check()
    stored = load_routine(edit.session, edit.routine.id)
    rules = load_rule_sheet(edit.session, stored.routine.rule_sheet_id)
    outlook = outlooks.of(edit.session, stored, rules)
    return lambda changed, segment_id: followed(outlook, changed, segment_id, span_s)


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

    return _saved(edit, change, process_id, f"process-{process_id}", outlooks)


@router.post("/processes/{process_id}/take-time")
def post_process_time(edit: Edit, outlooks: HeldOutlooks, process_id: str) -> Response:
    """Plan a process for the time that its readings or temperatures give."""

    def change(routine: Routine) -> Routine:
        process = part_of(routine.processes, process_id)
        found = worked_out(routine, process)
        if found is None:
            raise InvalidInput.of("readings", "There are no readings to work a time out from.")
        return put_process(routine, replace(process, duration=found.spread))

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


def _is_there(routine: Routine, edit: str) -> bool:
    """Whether the part whose form is asked for is there still, or yet to be made."""
    kind, _, part_id = edit.partition("-")
    known = {"", NEW, *(each.id for each in routine.segments)}
    known |= {each.id for each in routine.processes}
    return kind not in ("segment", "process") or part_id in known


def plan_context(
    session: Session,
    stored: StoredRoutine,
    form: Form,
    edit: str,
    outlooks: Outlooks,
    looked_at: str = "",
) -> PlanPage:
    """What the plan page shows; `edit` names the part whose form is open, `looked_at` a part."""
    context = routine_context(session, stored, "plan")
    routine, rules = stored.routine, context["rules"]
    outlook = seen_outlook(outlooks, session, stored, rules)
    parts = _Parts.of(outlook, outlook.known)
    edit = edit if _is_there(routine, edit) else ""
    is_new_segment = edit == f"segment-{NEW}"
    return PlanPage(
        **context,
        head=headline_of(outlook, layout(routine), "", with_chance=outlook.known is not None),
        tape=tape_of(routine, outlook.model, rules, outlook.known, outlook.takes),
        rows=parts.rows,
        processes=parts.processes,
        looked_at=None if edit else parts.panel(looked_at),
        first=None if edit or looked_at else parts.first(),
        edit=edit,
        form=form,
        quick=form if is_new_segment else Form(),
        link_names=link_names(dict(form.values)),
        reading_numbers=reading_numbers(dict(form.values)),
        lanes=LANES,
        drink_names={drink.id: drink.name for drink in routine.drinks},
        segment_names={part.id: part.name for part in routine.segments},
        product_names=product_names(routine),
    )


@dataclass(frozen=True)
class _Parts:
    """The parts of a plan as lines, and each of them as a panel."""

    outlook: Outlook
    rows: tuple[SegmentLine, ...]
    processes: tuple[ProcessRow, ...]

    @classmethod
    def of(cls, outlook: Outlook, forecast: Forecast | None) -> "_Parts":
        routine = outlook.routine
        placed = layout(routine)
        rows = rows_of(placed, outlook.takes, drink_classes(routine))
        return cls(outlook, rows, process_rows(placed, forecast))

    def panel(self, name: str) -> SegmentPanel | ProcessPanel | None:
        """The panel of "segment-…" or "process-…"; None for what is not here (any more)."""
        parts = {f"segment-{each.id}": each for each in self.rows}
        row = parts.get(name) or next(
            (each for each in self.processes if f"process-{each.id}" == name), None
        )
        return None if row is None else self._panel_of(row)

    def first(self) -> SegmentPanel | ProcessPanel | None:
        """The panel of what needs the person first."""
        row = first_of(self.rows, self.outlook.takes, self.processes)
        return None if row is None else self._panel_of(row)

    def _panel_of(self, row: SegmentLine | ProcessRow) -> SegmentPanel | ProcessPanel:
        routine = self.outlook.routine
        if isinstance(row, SegmentLine):
            words = spoken_words(routine.segments[row.number - 1], routine.language)
            return segment_panel(routine, self.outlook, row, self.outlook.takes[row.id], words)
        times = {each.id: each for each in expected_processes(self.outlook.model)}
        placed = {each.process.id: each for each in layout(routine).processes}
        return process_panel(routine, row, placed[row.id], times.get(row.id))


def _showing(edit: str, outlooks: Outlooks) -> ContextOf:
    return partial(plan_context, edit=edit, outlooks=outlooks)


def _saved(
    edit: Editor, change: Callable[[Routine], Routine], part_id: str, form: str,
    outlooks: Outlooks, then: str = "",
) -> Response:  # fmt: skip
    """Save the form of a part and show the plan."""
    showing = partial(plan_context, outlooks=outlooks)
    return edit.save_form(change, edit.label_of(part_id), "plan", showing, plan_values, form, then)
