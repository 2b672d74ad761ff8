"""Settling claims at a touch, from the ledger or from the script: cures, the card, corrections."""

from collections.abc import Callable, Mapping
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
from server.web.frame.render import see
from server.web.script.check import claim_of
from server.web.script.claims import MISSED, ledger_page
from server.web.script.claims_filters import ASKED, Filters, tally_of
from server.web.script.claims_view import line_of, lines_of
from server.web.script.corrections import correction_from, missed_claim, places_meant
from server.web.script.of_drink import OF_DRINK, with_drinks_chosen
from server.web.script.pages import script_page_of
from server.web.script.settling import cured, given_by, put_on, taken_off
from server.web.script.tolerances import TOLERANCE, tolerance_from

router = APIRouter(prefix="/routines/{routine_id}")

SEE_OTHER = 303


@router.post("/claims/rows/{claim_id}")
def post_correction(edit: Edit, claim_id: str) -> Response:
    row = _row(edit, claim_id)

    def change(routine: Routine) -> Routine:
        places = places_meant(row, edit.typed)
        return add_corrections(
            routine, [correction_from(routine, place, edit.typed, row.word) for place in places]
        )

    return _settled(edit, change, f"corrected “{row.label}”", claim_id, about=claim_id)


@router.post("/claims/rows/{claim_id}/cure")
def post_cure(edit: Edit, claim_id: str) -> Response:
    """Settle a contradicted amount: in the script, or in the recipe."""
    row = _row(edit, claim_id)
    return _settled(edit, *cured(row, edit.routine, edit.typed.text("cure")), about=claim_id)


@router.post("/claims/rows/{claim_id}/gives")
def post_giver(edit: Edit, claim_id: str) -> Response:
    """Say which ingredient gives a word that nothing gave."""
    row = _row(edit, claim_id)
    return _settled(edit, *given_by(row, edit.routine, edit.typed.text("part")), about=claim_id)


@router.post("/claims/rows/{claim_id}/list")
def post_to_card(edit: Edit, claim_id: str) -> Response:
    """Put a flavour that is said on the card of its drink."""
    return _settled(edit, *put_on(_row(edit, claim_id)), about=claim_id)


@router.post("/claims/rows/{claim_id}/unlist")
def post_off_card(edit: Edit, claim_id: str) -> Response:
    """Take a flavour that nobody says off the card of its drink."""
    return _settled(edit, *taken_off(_row(edit, claim_id)), about=claim_id)


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


@router.post("/claims/drinks")
def post_drinks(edit: Edit) -> Response:
    """Choose of which drinks the segments are that do not tell it."""

    def change(routine: Routine) -> Routine:
        return with_drinks_chosen(routine, edit.typed)

    return _settled(edit, change, "chose the drinks of segments", OF_DRINK)


@router.post("/claims/missed")
def post_missed(edit: Edit) -> Response:
    def change(routine: Routine) -> Routine:
        return add_corrections(routine, [missed_claim(edit.typed, routine)])

    return _settled(
        edit,
        change,
        f"added the claim “{edit.typed.text('word') or edit.typed.text('words')}”",
        MISSED,
    )


@router.post("/corrections/{correction_id}/delete")
def post_correction_delete(edit: Edit, correction_id: str) -> Response:
    return _settled(
        edit, lambda routine: remove_correction(routine, correction_id), "took back a correction"
    )


def _settled(
    edit: Editor,
    change: Callable[[Routine], Routine],
    label: str,
    beside: str = "",
    about: str = "",
) -> Response:
    """Save and show the page that was come from; where it is refused, with `beside` open.

    The ledger stays narrowed, and the claim next to that which was answered, `about`, comes under
    the hand: on its line, or beside the list where the answer was given there.
    """
    come_from = edit.typed.text("back")
    if come_from == "script":
        from_script: ContextOf = partial(script_page_of, beside=beside, at=edit.typed.text("at"))
        return edit.save(change, label, "script", from_script)
    filters = Filters.of(edit.request.query_params)
    before = _listed(edit, filters)
    again: ContextOf = partial(ledger_page, beside=beside, filters=filters)
    saved = edit.save(change, label, "claims", again)
    if saved.status_code != SEE_OTHER:
        return saved
    edit.session.rollback()  # What was read before knows nothing of the change.
    coming = next_after(about, before, _listed(edit, filters), stays=bool(come_from))
    query = filters.opening(coming) if come_from and coming else filters.coming_to(coming)
    return see(f"/routines/{edit.routine.id}/claims{query}")


def next_after(
    about: str, before: Mapping[str, str], after: Mapping[str, str], *, stays: bool
) -> str:
    """The claim that comes next when one was answered, "" where none of its list is left.

    Both map the claims of the page in their order to their tally. The one that was answered comes
    itself where it `stays` open and is now to be settled.
    """
    if stays and before.get(about) == ASKED and after.get(about) == "settle":
        return about
    same = [claim for claim, tally in before.items() if tally == before.get(about)]
    if about not in same:
        return ""
    at = same.index(about)
    around = [*same[at + 1 :], *reversed(same[:at])]
    return next((claim for claim in around if after.get(claim) == before[about]), "")


def _listed(edit: Editor, filters: Filters) -> dict[str, str]:
    """The claims that the ledger shows, in its order, each with its tally."""
    routine = edit.routine
    found = checked(routine, load_rule_sheet(edit.session, routine.rule_sheet_id))
    return {line.id: tally_of(line.row) for line in lines_of(found, routine, filters)}


def _rows(edit: Editor) -> tuple[LedgerRow, ...]:
    routine = edit.routine
    return checked(routine, load_rule_sheet(edit.session, routine.rule_sheet_id)).ledger.rows


def _row(edit: Editor, claim_id: str) -> LedgerRow:
    routine = edit.routine
    return claim_of(routine, load_rule_sheet(edit.session, routine.rule_sheet_id), claim_id)
