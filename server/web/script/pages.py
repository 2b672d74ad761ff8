"""The script: everything that is said, in one editor, checked as it is written."""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.errors import Fault, InvalidInput, refuse_if
from server.domain.base.text import long_text_faults
from server.domain.belief.words_pace import learn_paces
from server.domain.claims.edits import put_said
from server.domain.routine.routine import Routine
from server.store.paces import spoken_in_runs
from server.store.routines import StoredRoutine, edit_routine, load_routine
from server.web.frame.dependencies import ReadSession, TypedForm
from server.web.frame.editing import Context, Edit, Editor, routine_context
from server.web.frame.forms import Form, Typed
from server.web.frame.guard import mark_of, who_changed
from server.web.frame.render import page, see, templates
from server.web.script.check import checked, with_texts
from server.web.script.claims_view import tally
from server.web.script.view import script_view

router = APIRouter(prefix="/routines/{routine_id}")

STATE_ELEMENT = "div#script-state"
"""What htmx names as its target where the text areas are to be left alone."""


@dataclass(frozen=True)
class Answer:
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


@router.get("/script")
def script_page(request: Request, session: ReadSession, routine_id: str) -> Response:
    stored = load_routine(session, routine_id)
    return _shown(request, session, stored, texts_of(stored.routine), Answer())


@router.post("/script")
def post_script(edit: Edit, routine_id: str) -> Response:
    drawn = drawn_in(edit.typed)
    try:
        changed = _saved(edit, routine_id)
    except InvalidInput as error:
        fresh = {fault.field.removeprefix("said-") for fault in error.faults}
        answer = Answer(error.faults, frozenset(fresh), drawn)
    else:
        answer = Answer(fresh=frozenset(changed), drawn=drawn)
        if not _leaves_texts_alone(edit.request):
            return see(f"/routines/{routine_id}/script")
    stored = load_routine(edit.session, routine_id)
    texts = texts_from(edit.typed, stored.routine)
    return _shown(edit.request, edit.session, stored, texts, answer)


@router.post("/script/check")
def post_check(
    request: Request, session: ReadSession, typed: TypedForm, routine_id: str
) -> Response:
    """What the script as it stands in the editor comes to; nothing is saved."""
    stored = load_routine(session, routine_id)
    texts = texts_from(typed, stored.routine)
    answer = Answer(tuple(_length_faults(texts)), drawn=drawn_in(typed))
    return _shown(request, session, stored, texts, answer)


def _saved(edit: Editor, routine_id: str) -> dict[str, str]:
    """Save what was changed in the editor, and return it. Raises InvalidInput."""
    with edit.held.writing() as session:
        routine = load_routine(session, routine_id).routine
        changed = changed_texts(edit.typed, routine, texts_from(edit.typed, routine))
        label = _label(routine, changed)
        edit_routine(session, routine_id, lambda old: put_said(old, changed), label, edit.now_ms)
    return changed


def texts_of(routine: Routine) -> dict[str, str]:
    """Segment id -> what is said in it."""
    return {segment.id: segment.said for segment in routine.segments}


def texts_from(typed: Typed, routine: Routine) -> dict[str, str]:
    """Segment id -> the text that stands in the editor, for each segment of the routine."""
    return {
        segment.id: typed.values.get(f"said-{segment.id}", segment.said)
        for segment in routine.segments
    }


def drawn_in(typed: Typed) -> frozenset[str]:
    """Marks of what the editor shows beside its texts."""
    return frozenset(value for key, value in typed.values.items() if key.startswith("drawn-"))


def changed_texts(typed: Typed, routine: Routine, texts: Mapping[str, str]) -> dict[str, str]:
    """The texts to be saved: those that differ from what is stored, and from what was shown.

    Raises InvalidInput for a text that was meanwhile changed elsewhere too, so that neither is
    lost, and for one whose segment is gone.
    """
    changed, faults = {}, []
    for segment in routine.segments:
        text, seen = texts[segment.id], typed.text(f"seen-{segment.id}")
        who = who_changed(text, seen or mark_of(segment.said), segment.said)
        if text == segment.said or who == "they":
            continue
        if who == "both":
            faults.append(Fault(f"said-{segment.id}", _elsewhere(segment.said)))
        changed[segment.id] = text
    refuse_if([*faults, *_orphans(typed, routine), *_length_faults(changed)])
    return changed


def _shown(
    request: Request,
    session: Session,
    stored: StoredRoutine,
    texts: Mapping[str, str],
    answer: Answer,
) -> Response:
    """The whole page, or only what stands beside the text areas."""
    context = _context(session, stored, texts, answer)
    if not _leaves_texts_alone(request):
        return page(request, "script", context, answer.status)
    return templates.TemplateResponse(
        request, "script/_answer.html", context, status_code=answer.status,
        headers={"Cache-Control": "no-store"},
    )  # fmt: skip


def _context(
    session: Session, stored: StoredRoutine, texts: Mapping[str, str], answer: Answer
) -> Context:
    context = routine_context(session, stored, "script")
    now = with_texts(stored.routine, texts)
    found = checked(now, context["rules"])
    paces = learn_paces(spoken_in_runs(session, stored.routine))
    return {
        **context,
        "form": Form(faults=answer.faults),
        "fresh": answer.fresh,
        "drawn": answer.drawn,
        "is_saved": texts == texts_of(stored.routine),
        "script": script_view(stored.routine, now, texts, found.ledger, paces),
        "tally": tally(found),
        "note": found.ledger.note,
        "untold": found.untold,
        "drink_names": {drink.id: drink.name for drink in stored.routine.drinks},
    }


def _leaves_texts_alone(request: Request) -> bool:
    return request.headers.get("HX-Target") == STATE_ELEMENT


def _label(routine: Routine, changed: Mapping[str, str]) -> str:
    names = [f"“{segment.name}”" for segment in routine.segments if segment.id in changed]
    return f"wrote in {names[0]}" if len(names) == 1 else f"wrote in {len(names)} segments"


def _elsewhere(stored: str) -> str:
    now = f"“{stored[:160]}{'…' if len(stored) > 160 else ''}”" if stored else "no text"
    return f"Changed elsewhere since this page was opened; saved there: {now}. Save to keep yours."


def _orphans(typed: Typed, routine: Routine) -> list[Fault]:
    """Texts of segments that are gone, where something was written in them."""
    here = {f"said-{segment.id}" for segment in routine.segments}
    return [
        Fault("gone", f"A segment was deleted elsewhere. Its text was: “{text}”")
        for name, text in typed.values.items()
        if name.startswith("said-") and name not in here
        and mark_of(text) != typed.text(f"seen-{name.removeprefix('said-')}")
    ]  # fmt: skip


def _length_faults(texts: Mapping[str, str]) -> list[Fault]:
    return [fault for key, text in texts.items() for fault in long_text_faults(text, f"said-{key}")]
