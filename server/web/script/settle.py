"""Settling claims at a touch, from the ledger or from the script: cures, the card, corrections."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from fastapi import APIRouter, Response

from server.domain.claims.claim_edits import (
    add_corrections,
    put_on_card,
    remove_correction,
)
from server.domain.claims.rows import LedgerRow
from server.domain.routine.routine import Routine
from server.store.rule_sheets import load_rule_sheet
from server.web.drinks.checked import checked
from server.web.frame.editing import ContextOf, Edit, Editor
from server.web.script.check import claim_of
from server.web.script.claims import MISSED, ledger_page
from server.web.script.claims_view import line_of
from server.web.script.corrections import correction_from, missed_claim, places_meant
from server.web.script.pages import script_page_of
from server.web.script.settling import cured, put_on, taken_off
from server.web.script.tolerances import TOLERANCE, tolerance_from

router = APIRouter(prefix="/routines/{routine_id}")


@router.post("/claims/rows/{claim_id}")
def post_correction(edit: Edit, claim_id: str) -> Response:
    row = _row(edit, claim_id)

    def change(routine: Routine) -> Routine:
        places = places_meant(row, edit.typed)
        return add_corrections(
            routine, [correction_from(routine, place, edit.typed) for place in places]
        )

    return _settled(edit, change, f"corrected “{row.label}”", claim_id)


@router.post("/claims/rows/{claim_id}/cure")
def post_cure(edit: Edit, claim_id: str) -> Response:
    """Settle a contradicted amount: in the script, or in the recipe."""
    row = _row(edit, claim_id)
    return _settled(edit, *cured(row, edit.routine, edit.typed.text("cure")))


@router.post("/claims/rows/{claim_id}/list")
def post_to_card(edit: Edit, claim_id: str) -> Response:
    """Put a flavour that is said on the card of its drink."""
    return _settled(edit, *put_on(_row(edit, claim_id)))


@router.post("/claims/rows/{claim_id}/unlist")
def post_off_card(edit: Edit, claim_id: str) -> Response:
    """Take a flavour that nobody says off the card of its drink."""
    return _settled(edit, *taken_off(_row(edit, claim_id)))


@router.post("/claims/list-all")
def post_all_to_card(edit: Edit) -> Response:
    """Put every flavour that is said and in the glass, but not on the card, on it."""
    routine = edit.routine
    lines = [line_of(row, routine) for row in _rows(edit) if row.state == "unplanned"]
    words = [(line.row.drink_id or "", line.row.word) for line in lines if line.can_be_listed]
    label = f"put {len(words)} words on the cards"
    return _settled(edit, lambda now: put_on_card(now, words), label)


@router.post("/claims/tolerance")
def post_tolerance(edit: Edit) -> Response:
    """Set how far what is said may lie from recipe and plan."""

    def change(routine: Routine) -> Routine:
        return replace(routine, tolerance=tolerance_from(edit.typed))

    return _settled(edit, change, "set the tolerances of the claims check", TOLERANCE)


@router.post("/claims/missed")
def post_missed(edit: Edit) -> Response:
    def change(routine: Routine) -> Routine:
        return add_corrections(routine, [missed_claim(edit.typed, routine)])

    return _settled(edit, change, f"added the claim “{edit.typed.text('word')}”", MISSED)


@router.post("/corrections/{correction_id}/delete")
def post_correction_delete(edit: Edit, correction_id: str) -> Response:
    return _settled(
        edit, lambda routine: remove_correction(routine, correction_id), "took back a correction"
    )


def _settled(
    edit: Editor, change: Callable[[Routine], Routine], label: str, beside: str = ""
) -> Response:
    """Save and show the page that was come from; where it is refused, with `beside` open."""
    if edit.typed.text("back") == "script":
        from_script: ContextOf = partial(script_page_of, beside=beside, at=edit.typed.text("at"))
        return edit.save(change, label, "script", from_script)
    return edit.save(change, label, "claims", partial(ledger_page, beside=beside))


def _rows(edit: Editor) -> tuple[LedgerRow, ...]:
    routine = edit.routine
    return checked(routine, load_rule_sheet(edit.session, routine.rule_sheet_id)).ledger.rows


def _row(edit: Editor, claim_id: str) -> LedgerRow:
    routine = edit.routine
    return claim_of(routine, load_rule_sheet(edit.session, routine.rule_sheet_id), claim_id)
