"""The script: everything that is said, a segment at a time, checked as it is written."""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.durations import format_clock, left_of
from server.domain.base.errors import Fault, InvalidInput
from server.domain.base.number_words import count
from server.domain.belief.words_pace import learn_paces
from server.domain.routine.own_words import Verdict
from server.domain.routine.plan import layout
from server.store.paces import spoken_in_runs
from server.store.routines import StoredRoutine, edit_routine, load_routine
from server.web.drinks.checked import checked
from server.web.frame.dependencies import ReadSession, TypedForm
from server.web.frame.editing import Edit, Editor, routine_context
from server.web.frame.filters import apart
from server.web.frame.forms import Form
from server.web.frame.offered.links import may
from server.web.frame.render import page, part, see
from server.web.frame.shown import RoutinePage
from server.web.script.check import with_texts
from server.web.script.corrections import VERDICTS
from server.web.script.opened import OpenedClaim, OpenSentence, open_claim, open_sentence
from server.web.script.saving import (
    Changed,
    changed_in,
    drawn_in,
    length_faults,
    segments_of,
    texts_from,
    texts_of,
)
from server.web.script.view import ScriptView, script_view

router = APIRouter(prefix="/routines/{routine_id}")

STATE_ELEMENT = "div#script-state"
"""What htmx names as its target where the text areas are to be left alone."""


SEGMENT = "segment-"
"""Begins the name of a segment where one is opened from another page."""


@dataclass(frozen=True)
class ScriptAnswer:
    """What is told of a posted script.

    `fresh` are the segments whose stored text the editor now knows; `drawn` marks what it shows.
    """

    faults: tuple[Fault, ...] = ()
    fresh: frozenset[str] = frozenset()
    drawn: frozenset[str] = frozenset()

    @property
    def status(self) -> int:
        """The status that goes with it."""
        return 422 if self.faults else 200


@dataclass(frozen=True, kw_only=True)
class ScriptPage(RoutinePage, folder="script"):
    """The script; `shown_id` is the segment in view, and what is open beside it."""

    script: ScriptView
    headline: str
    beneath: str
    shown_id: str
    is_writing: bool
    opened: OpenedClaim | None
    sentence: OpenSentence | None
    to_settle: int
    faulty: frozenset[str]
    drink_names: Mapping[str, str]
    verdicts: Mapping[Verdict, str]
    note: str
    untold: tuple[str, ...]
    form: Form


@router.get("/script")
def script_page(
    request: Request, session: ReadSession, routine_id: str,
    at: str = "", open: str = "", write: str = "", edit: str = "",
) -> Response:  # fmt: skip
    if edit == "paste":
        return see(f"/routines/{routine_id}/script/paste")
    if open.startswith(SEGMENT):
        at, open = at or open.removeprefix(SEGMENT), ""
    stored = load_routine(session, routine_id)
    shown = script_page_of(session, stored, Form(), beside=open, at=at, is_writing=bool(write))
    return page(request, shown)


@router.post("/script")
def post_script(edit: Edit, routine_id: str) -> Response:
    drawn = drawn_in(edit.typed)
    try:
        changed = _saved(edit, routine_id)
    except InvalidInput as error:
        answer = ScriptAnswer(error.faults, segments_of(error.faults), drawn)
    else:
        answer = ScriptAnswer(fresh=changed.segment_ids, drawn=drawn)
        if not _leaves_texts_alone(edit.request):
            return see(f"/routines/{routine_id}/script")
    stored = load_routine(edit.session, routine_id)
    texts = texts_from(edit.typed, stored.routine)
    return _answered(edit.request, edit.session, stored, texts, answer)


@router.post("/script/check")
def post_check(
    request: Request, session: ReadSession, typed: TypedForm, routine_id: str
) -> Response:
    """What the script as it stands in the editor comes to; nothing is saved."""
    stored = load_routine(session, routine_id)
    texts = texts_from(typed, stored.routine)
    answer = ScriptAnswer(tuple(length_faults(texts)), drawn=drawn_in(typed))
    return _answered(request, session, stored, texts, answer)


def script_page_of(
    session: Session,
    stored: StoredRoutine,
    form: Form,
    *,
    texts: Mapping[str, str] | None = None,
    beside: str = "",
    at: str = "",
    is_writing: bool = False,
) -> ScriptPage:
    """What the script page shows; `texts` stand in the editor, `beside` names what is open."""
    routine = stored.routine
    context = routine_context(session, stored, "script")
    texts = texts_of(routine) if texts is None else texts
    now = with_texts(routine, texts)
    found = checked(now, context["rules"])
    # The presenter's own pace is learnt from runs, which not everybody may see who reads the words.
    paces = learn_paces(spoken_in_runs(session, routine) if may("study") else ())
    opened = open_claim(found, now, beside, paces) if beside else None
    sentence = open_sentence(found, now, beside, paces) if beside and not opened else None
    script = script_view(routine, now, texts, found.ledger, paces)
    faulty = segments_of(form.faults)
    planned_s = layout(now).total_s
    at = at or (sentence.segment.id if sentence else opened.line.about_id if opened else "")
    return ScriptPage(
        **context,
        script=script,
        headline=_headline(script),
        beneath=_beneath(script, planned_s, -left_of(context["rules"].slot_s, planned_s)),
        shown_id=script.shown(next(iter(sorted(faulty)), at)),
        is_writing=is_writing or bool(faulty),
        opened=opened,
        sentence=sentence,
        to_settle=found.open_points,
        faulty=faulty,
        drink_names={drink.id: drink.name for drink in routine.drinks},
        verdicts=VERDICTS,
        note=found.ledger.note,
        untold=found.untold,
        form=form,
    )


def _saved(edit: Editor, routine_id: str) -> Changed:
    """Save what was changed in the editor, and return it. Raises InvalidInput."""
    with edit.held.writing() as session:
        routine = load_routine(session, routine_id).routine
        changed = changed_in(edit.typed, routine)
        edit_routine(session, routine_id, changed.edit, changed.label(routine), edit.now_ms)
    return changed


def _answered(
    request: Request,
    session: Session,
    stored: StoredRoutine,
    texts: Mapping[str, str],
    answer: ScriptAnswer,
) -> Response:
    """The whole page, or only what stands beside the text areas."""
    shown = script_page_of(session, stored, Form(faults=answer.faults), texts=texts)
    if not _leaves_texts_alone(request):
        return page(request, shown, answer.status)
    beside = {"fresh": answer.fresh, "drawn": answer.drawn}
    return part(request, "script/_answer.html", shown.values() | beside, answer.status)


def _headline(script: ScriptView) -> str:
    """How long the script takes beside what is planned for it, in one line."""
    if not script.words:
        return "Nothing is written yet"
    over_s = -left_of(script.voice_s, script.spoken_s)
    spare = apart(over_s, "too long", "to spare", "just right")
    said, planned = format_clock(script.spoken_s), format_clock(script.voice_s)
    return f"{said} to say, {planned} planned for words: {spare}"


def _beneath(script: ScriptView, planned_s: float, over_slot_s: float) -> str:
    """What of the plan has no words, whether it is too long, and at what pace they are reckoned."""
    pace = script.pace
    whose = "your pace" if pace.runs else "the pace of public talks"
    reckoned = f"At {whose}, {pace.words_per_minute:.0f} words a minute"
    if script.measured:
        reckoned += f", and in {count(script.measured, 'segment')} as your runs measured it"
    ends = f"Quickest to slowest {format_clock(script.low_s)} to {format_clock(script.high_s)}."
    whole = ""
    if over_slot_s > 0:
        whole = f"The plan is {format_clock(over_slot_s)} longer than the slot. "
    elif script.words and (wordless := sum(not each.words for each in script.segments)):
        # Plan tells another time: that of all segments.
        has = "has" if wordless == 1 else "have"
        whole = (
            f"The whole plan takes {format_clock(planned_s)}: "
            f"{count(wordless, 'segment')} of it {has} no words. "
        )
    return f"{whole}{reckoned}. {ends}"


def _leaves_texts_alone(request: Request) -> bool:
    return request.headers.get("HX-Target") == STATE_ELEMENT
