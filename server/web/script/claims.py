"""The claims ledger: every claim with its state and why, its corrections, and what was missed."""

import re
from dataclasses import replace
from functools import partial

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.errors import InvalidInput, NotFound
from server.domain.base.words import sentences_of
from server.domain.claims.corrections import correction_at
from server.domain.claims.cures import cure_named, cures_of
from server.domain.claims.edits import add_corrections, remove_correction
from server.domain.claims.finds import Passage
from server.domain.claims.rows import Row
from server.domain.claims.sayings import Saying
from server.domain.routine.edits import part_of, put_drink
from server.domain.routine.own_words import Correction, Verdict
from server.domain.routine.routine import Routine
from server.store.ids import new_id
from server.store.routines import StoredRoutine, load_routine
from server.store.rule_sheets import load_rule_sheet
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import Context, ContextOf, Edit, Editor, routine_context
from server.web.frame.forms import Form, Typed
from server.web.frame.render import page
from server.web.script.check import checked, row_id
from server.web.script.claims_view import (
    NO_DRINK,
    NOTES,
    Filters,
    correction_lines,
    kinds_in,
    lines_of,
    sentence_choices,
    tally,
)

router = APIRouter(prefix="/routines/{routine_id}")

VERDICTS: dict[Verdict, str] = {
    "no claim": "It is no claim",
    "ingredient": "It means this ingredient",
    "word": "It means this descriptor",
}
"""What can be said of a find -> the words for it."""

EVERYWHERE = "all"


@router.get("/claims")
def claims_page(
    request: Request, session: ReadSession, routine_id: str,
    state: str = "", drink: str = "", kind: str = "", note: str = "", edit: str = "",
) -> Response:  # fmt: skip
    stored = load_routine(session, routine_id)
    filters = Filters(state, drink, kind, note)
    return page(request, "claims", claims_context(session, stored, Form(), edit, filters))


@router.post("/claims/rows/{claim_id}")
def post_correction(edit: Edit, claim_id: str) -> Response:
    row = _row(edit, claim_id)

    def change(routine: Routine) -> Routine:
        places = _meant(row, edit.typed)
        return add_corrections(
            routine, [_correction(routine, place, edit.typed) for place in places]
        )

    return edit.save(change, f"corrected “{row.label}”", "claims", _showing(claim_id))


@router.post("/claims/rows/{claim_id}/cure")
def post_cure(edit: Edit, claim_id: str) -> Response:
    """Settle a contradicted number: in the script, or in what states it."""
    row = _row(edit, claim_id)
    cure_id = edit.typed.text("cure")
    words = cure_named(row, edit.routine, cure_id).words
    return edit.save(
        lambda routine: cure_named(row, routine, cure_id).routine,
        f"{words[0].lower()}{words[1:]} for “{row.label}”", "claims", _showing(""),
    )  # fmt: skip


@router.post("/claims/rows/{claim_id}/list")
def post_to_list(edit: Edit, claim_id: str) -> Response:
    """Put a descriptor that is said on the list of its drink."""
    row = _row(edit, claim_id)

    def change(routine: Routine) -> Routine:
        drink = part_of(routine.drinks, row.drink_id or "")
        return put_drink(routine, replace(drink, descriptors=(*drink.descriptors, row.word)))

    return edit.save(change, f"listed “{row.word}”", "claims", _showing(""))


@router.post("/claims/missed")
def post_missed(edit: Edit) -> Response:
    def change(routine: Routine) -> Routine:
        return add_corrections(routine, [missed_claim(edit.typed, routine)])

    label = f"added the claim “{edit.typed.text('word')}”"
    return edit.save(change, label, "claims", _showing("missed"))


@router.post("/corrections/{correction_id}/delete")
def post_correction_delete(edit: Edit, correction_id: str) -> Response:
    return edit.save(
        lambda routine: remove_correction(routine, correction_id),
        "took back a correction", "claims", _showing(""),
    )  # fmt: skip


def missed_claim(typed: Typed, routine: Routine) -> Correction:
    """The claim that a form points out in a sentence; raises InvalidInput with every fault."""
    words, word = typed.text("words"), typed.text("word")
    passage, start, end = _sentence_chosen(typed, routine)
    place = re.search(re.escape(words), passage.text[start:end], re.IGNORECASE)
    if not words:
        typed.fault("words", "Write the words as they stand in that sentence.")
    elif passage.text and place is None:
        typed.fault("words", "These words do not stand in that sentence.")
    if not word:
        typed.fault("word", "Write the descriptor that is meant.")
    typed.check()
    first, last = (start + at for at in place.span()) if place else (start, end)
    return typed.built(
        lambda: correction_at(passage, first, last, new_id(), word, routine.language)
    )


def claims_context(
    session: Session,
    stored: StoredRoutine,
    form: Form,
    edit: str,
    filters: Filters = Filters(),  # noqa: B008
) -> Context:
    """What the claims page shows; `edit` names the claim whose form is open."""
    context = routine_context(session, stored, "claims")
    routine = stored.routine
    found = checked(routine, context["rules"])
    lines = lines_of(found, routine, filters)
    return {
        **context,
        "found": found,
        "filters": filters,
        "lines": [line for line in lines if line.row.is_checked],
        "unchecked": [line for line in lines if not line.row.is_checked],
        "tally": tally(found),
        "notes": NOTES,
        "kinds": kinds_in(found),
        "no_drink": NO_DRINK,
        "drink_names": {drink.id: drink.name for drink in routine.drinks},
        "corrections": correction_lines(routine, found.case.passages),
        "sentences": list(sentence_choices(routine)),
        "verdicts": VERDICTS,
        "cures": {line.id: cures_of(line.row, routine) for line in lines},
        "edit": edit,
        "form": form,
        "empty_form": Form(),
    }


def _showing(edit: str) -> ContextOf:
    return partial(claims_context, edit=edit)


def _row(edit: Editor, claim_id: str) -> Row:
    """The claim with that id as things stand. Raises NotFound where it is no longer made."""
    routine = edit.routine
    rules = load_rule_sheet(edit.session, routine.rule_sheet_id)
    for row in checked(routine, rules).ledger.rows:
        if row_id(row.key) == claim_id:
            return row
    raise NotFound("This claim is no longer in the script. Load the page again.")


def _meant(row: Row, typed: Typed) -> list[Saying]:
    """The places that a correction is for: one of them, or all."""
    where = typed.text("where") or EVERYWHERE
    chosen = [
        saying
        for saying in row.sayings
        if where in (EVERYWHERE, f"{saying.segment_id}:{saying.start}")
    ]
    if not chosen:
        raise InvalidInput.of("where", "It is no longer said there. Choose another place.")
    return chosen


def _correction(routine: Routine, saying: Saying, typed: Typed) -> Correction:
    if typed.text("verdict") not in VERDICTS:
        raise InvalidInput.of("verdict", "Choose what it is.")
    verdict = typed.chosen("verdict", VERDICTS, "no claim")
    text = part_of(routine.segments, saying.segment_id).said
    return correction_at(
        Passage(saying.segment_id, text),
        saying.start,
        saying.end,
        new_id(),
        typed.text("word"),
        routine.language,
        verdict=verdict,
        ingredient_id=typed.choice("ingredient"),
    )


def _sentence_chosen(typed: Typed, routine: Routine) -> tuple[Passage, int, int]:
    """The passage and the stretch of the chosen sentence; an empty one, and a fault, for none."""
    segment_id, _, index = typed.text("sentence").rpartition(":")
    for segment in routine.segments:
        if segment.id == segment_id:
            for sentence in sentences_of(segment.said, routine.language):
                if str(sentence.index) == index:
                    return Passage(segment.id, segment.said), sentence.start, sentence.end
    typed.fault("sentence", "Choose the sentence in which it is said.")
    return Passage("none", ""), 0, 0
