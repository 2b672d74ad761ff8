"""What if: changes tried on the plan without saving them, before and after side by side."""

from collections.abc import Callable
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.errors import Fault, InvalidInput, NotFound
from server.domain.base.numbers import read_whole
from server.domain.claims.pace import Paces, WordPace, costs
from server.domain.routine.routine import Routine, Segment
from server.domain.whole.tryouts import (
    Tryout,
    add_helper,
    all_tried,
    drop_sentence,
    lengthen,
    set_fallback,
    start_after,
    swap,
    wait_for,
)
from server.store.ids import new_id
from server.store.routines import StoredRoutine, load_routine
from server.store.rule_sheets import load_rule_sheet
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import Edit, routine_context
from server.web.frame.forms import Form, Typed
from server.web.frame.render import page
from server.web.frame.shown import RoutinePage
from server.web.frame.telling import told
from server.web.plan.chances import chances_of
from server.web.plan.finish_picture import FinishPicture, finish_picture
from server.web.plan.outlook import HeldOutlooks, Outlook, Outlooks
from server.web.plan.tape import PlanTape, tape_of

router = APIRouter(prefix="/routines/{routine_id}/plan")


FIELDS = ("sentence", "longer", "seconds", "swap", "with", "help", "until", "late", "how",
          "patience", "by", "cost", "start", "after")  # fmt: skip
"""The fields of the form, all of which stay in the address."""

_LEADS: dict[str, tuple[str, ...]] = {
    "longer": ("Choose the segment that this is for.", "seconds"),
    "swap": ("Choose both segments.", "with"),
    "help": ("Choose the segment that a helper does.", "until"),
    "start": ("Choose the process that starts there.", "after"),
    "late": ("Choose the process that is late.", "patience", "by", "cost"),
}
"""Field that says what is changed -> what to say where it is empty, and the fields that need it."""

_NOTHING = (
    "Nothing is chosen yet. Choose a sentence, a segment or a process on at least one of the lines."
)

LATE = {"wait": "wait for it, however long", "fall": "use plan B"}


@dataclass(frozen=True)
class BeforeAndAfter:
    """A figure as it is and as it would be; `id` is what it is called where it stands alone."""

    id: str
    name: str
    before: str
    after: str


@dataclass(frozen=True)
class Tried:
    """What came of the changes: figures and both drawings on one scale."""

    words: list[str]
    figures: tuple[BeforeAndAfter, ...]
    before: FinishPicture
    after: FinishPicture
    tape: PlanTape
    share: float


@dataclass(frozen=True, kw_only=True)
class WhatIfPage(RoutinePage, folder="what_if"):
    """Changes to try; `tried` is None until something is chosen."""

    form: Form
    tried: Tried | None
    tape: PlanTape
    untold: str
    fields: dict[str, str]
    sentences: list[tuple[str, str]]
    segment_names: list[tuple[str, str]]
    with_hands: list[tuple[str, str]]
    process_names: list[tuple[str, str]]
    late: list[tuple[str, str]]


@router.get("/what-if")
def what_if_page(
    request: Request, session: ReadSession, outlooks: HeldOutlooks, routine_id: str
) -> Response:
    stored = load_routine(session, routine_id)
    form = Form(dict(request.query_params))
    shown = what_if_context(session, stored, form, outlooks)
    return page(request, shown, 422 if shown.form.faults else 200)


@router.post("/what-if")
def post_what_if(edit: Edit, outlooks: HeldOutlooks) -> Response:
    """Take the changes over into the plan, all as one edit."""
    stored = load_routine(edit.session, edit.routine.id)
    rules = load_rule_sheet(edit.session, stored.routine.rule_sheet_id)
    outlook = outlooks.of(edit.session, stored, rules)

    def change(routine: Routine) -> Routine:
        tryouts = tryouts_from(edit.typed, routine, outlook)
        if not tryouts:
            raise InvalidInput.of("form", "Nothing was changed: there is nothing to use.")
        return all_tried(routine, tryouts)

    def context(session: Session, stored: StoredRoutine, form: Form) -> WhatIfPage:
        return what_if_context(session, stored, form, outlooks)

    return edit.save(change, _label(edit.typed, stored.routine, outlook), "plan", context)


def what_if_context(
    session: Session, stored: StoredRoutine, form: Form, outlooks: Outlooks
) -> WhatIfPage:
    """What the page shows: the form, and what comes of it where something was changed."""
    context = routine_context(session, stored, "plan")
    routine = stored.routine
    outlook = outlooks.of(session, stored, context["rules"])
    tried, untold = None, ""
    if not form.faults:
        typed = form
        found, untold = told("What comes of these changes", lambda: _tried(typed, outlook))
        form, tried = found or (form, None)
    span_s = tried.tape.base.span_s if tried else None
    forecast = outlook.full if tried else outlook.known
    return WhatIfPage(
        **context,
        form=form,
        tried=tried,
        tape=tape_of(routine, outlook.model, context["rules"], forecast, outlook.takes, span_s),
        untold=untold,
        fields={name: form.value(name) for name in FIELDS if form.value(name)},
        sentences=_sentences(routine, outlook.paces),
        segment_names=[(each.id, each.name) for each in routine.segments],
        with_hands=[
            (each.id, each.name)
            for each in routine.segments
            if each.lane != "voice" and not each.helper
        ],
        process_names=[(each.id, each.name) for each in routine.processes],
        late=list(LATE.items()),
    )


def tryouts_from(typed: Typed, routine: Routine, outlook: Outlook) -> list[Tryout]:
    """The changes that a form describes, in the order of the form; raises with every fault."""
    found: list[Tryout] = []

    def read(field: str, make: Callable[[], Tryout]) -> None:
        if not typed.text(field):
            return
        try:
            found.append(make())
        except NotFound:
            typed.fault(field, "That part is no longer in the plan. Choose again.")
        except InvalidInput as error:
            typed.fault(field, error.message)

    read("sentence", lambda: _dropped(typed, routine, outlook.paces))
    read("longer", lambda: _lengthened(typed, routine, outlook))
    read("swap", lambda: swap(routine, typed.text("swap"), typed.text("with")))
    read("help", lambda: add_helper(
        routine, typed.text("help"), typed.choice("until"), new_id(),
        outlook.paces.of(typed.text("help")),
    ))  # fmt: skip
    read("late", lambda: _late(typed, routine))
    read("start", lambda: start_after(routine, typed.text("start"), typed.text("after")))
    for lead, (words, *further) in _LEADS.items():
        if not typed.text(lead) and any(map(typed.text, further)):
            typed.fault(lead, words)
    typed.check()
    return found


def _lengthened(typed: Typed, routine: Routine, outlook: Outlook) -> Tryout:
    segment_id, step_s = typed.text("longer"), _step(typed)
    if step_s < 0:
        return outlook.shortened(routine, segment_id, -step_s)
    return lengthen(routine, segment_id, step_s)


def _dropped(typed: Typed, routine: Routine, paces: Paces) -> Tryout:
    segment_id, _, text = typed.text("sentence").rpartition(":")
    index = read_whole(text)
    if index is None:
        raise InvalidInput.of("sentence", "Choose a sentence from the list.")
    return drop_sentence(routine, segment_id, index, paces.of(segment_id))


def _step(typed: Typed) -> float:
    text = typed.text("seconds").replace("−", "-").removesuffix("s").strip()
    seconds = Typed({"seconds": text})
    step_s = seconds.number("seconds", -3600, 3600)
    try:
        seconds.check()
    except InvalidInput as error:
        typed.fault("seconds", error.message)
        return 0.0
    return step_s


def _late(typed: Typed, routine: Routine) -> Tryout:
    process_id = typed.text("late")
    if typed.text("how") != "fall":
        return wait_for(routine, process_id)
    patience_s, by_s, cost_s = (
        typed.optional_duration(name) or 0.0 for name in ("patience", "by", "cost")
    )
    return set_fallback(routine, process_id, patience_s, by_s, cost_s)


def _label(typed: Typed, routine: Routine, outlook: Outlook) -> str:
    """What the edit is called; where the form is refused nobody will see it."""
    try:
        words = [each.words for each in tryouts_from(Typed(typed.values), routine, outlook)]
    except InvalidInput:
        return ""
    return "; ".join(words)


def _tried(form: Form, outlook: Outlook) -> tuple[Form, Tried | None]:
    typed = Typed(form.values)
    try:
        tryouts = tryouts_from(typed, outlook.routine, outlook)
        if not tryouts:
            # The bare page asks for nothing; a form sent empty does.
            asked = any(name in form.values for name in FIELDS)
            return (Form(form.values, (Fault("form", _NOTHING),)) if asked else form), None
        return form, _side_by_side(tryouts, outlook)
    except InvalidInput as error:
        return Form(form.values, error.faults), None


def _side_by_side(tryouts: list[Tryout], outlook: Outlook) -> Tried:
    before, rules, key = outlook.full, outlook.rules, outlook.routine.id
    changed, model = all_tried(outlook.routine, tryouts), outlook.tried(tryouts)
    after = outlook.of(model)
    pairs = {each.id: each for each in chances_of(after, rules, key)}
    figures = tuple(
        BeforeAndAfter(
            each.id, each.name, each.value, pairs[each.id].value if each.id in pairs else "–"
        )
        for each in chances_of(before, rules, key)
    )
    pictures = finish_picture(before, rules, after), finish_picture(after, rules, before)
    # The longer of both sets the scale, so that what moves is seen to move.
    span_s = max(
        tape_of(each, of, rules, None, {}).base.span_s
        for each, of in ((outlook.routine, outlook.model), (changed, model))
    )
    tape = tape_of(changed, model, rules, after, {}, span_s)
    words = [each.words for each in tryouts]
    return Tried(words, figures, *pictures, tape, after.chance_inside)


def _sentences(routine: Routine, paces: Paces) -> list[tuple[str, str]]:
    return [
        option
        for segment in routine.segments
        for option in _sentences_of(segment, routine, paces.of(segment.id))
    ]


def _sentences_of(segment: Segment, routine: Routine, pace: WordPace) -> list[tuple[str, str]]:
    return [
        (
            f"{segment.id}:{cost.index}",
            f"{segment.name}: {_short(segment.said[cost.start : cost.end])} ({cost.seconds:.1f} s)",
        )
        for cost in costs(segment.said, pace, routine.language)
    ]


def _short(text: str) -> str:
    words = " ".join(text.split())
    return words if len(words) <= 70 else words[:69].rstrip() + "…"
