"""What settles a claim at a touch, wherever it is touched: the change and what it is called."""

from collections.abc import Callable

from server.domain.claims.claim_edits import (
    add_corrections,
    give_word,
    put_on_card,
    take_off_card,
)
from server.domain.claims.cures import cure_named
from server.domain.claims.rows import LedgerRow
from server.domain.routine.routine import Routine
from server.web.script.corrections import correction_of

Settling = tuple[Callable[[Routine], Routine], str]


def cured(row: LedgerRow, routine: Routine, cure_id: str) -> Settling:
    """A contradiction settled by that cure. Raises NotFound where it is settled already."""
    label = cure_named(row, routine, cure_id).label(row.label)
    return lambda now: cure_named(row, now, cure_id).routine, label


def put_on(row: LedgerRow) -> Settling:
    """A flavour that is said put on the card of its drink."""
    words = [(row.drink_id or "", row.word)]
    return lambda now: put_on_card(now, words), f"put “{row.word}” on the card"


def taken_off(row: LedgerRow) -> Settling:
    """A flavour that nobody says taken off the card of its drink."""
    label = f"took “{row.word}” off the card"
    return lambda now: take_off_card(now, row.drink_id or "", row.word), label


def given_by(row: LedgerRow, routine: Routine, ingredient_id: str) -> Settling:
    """A word that nothing gave, given by an ingredient. Raises NotFound where it is gone.

    What was perhaps said is said then: whoever knows what gives it means it.
    """
    parts = (part for drink in routine.drinks for part in drink.ingredients)
    name = next((part.name for part in parts if part.id == ingredient_id), "")

    def change(now: Routine) -> Routine:
        meant = [
            correction_of(now, place, "word", word=row.word)
            for place in row.sayings
            if row.is_asked
        ]
        return add_corrections(give_word(now, ingredient_id, row.word), meant)

    return change, f"“{name}” gives “{row.word}”"
