"""Of which drink a segment is, chosen beside the ledger where several claims do not tell it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from server.domain.base.errors import Fault, refuse_if
from server.domain.claims.rows import LedgerRow
from server.domain.routine.edits import put_segment
from server.domain.routine.routine import Routine
from server.domain.whole.pasted import PastedSegment, drink_named
from server.web.frame.forms import Form, Typed

OF_DRINK = "drinks"
"""What opens the form beside the ledger."""


@dataclass(frozen=True)
class DrinkChoice:
    """A segment of no drink: its name for a form, and the drink that it is in all likelihood of."""

    segment_id: str
    name: str
    drink_id: str

    @property
    def field(self) -> str:
        """The name of its field."""
        return f"drink-{self.segment_id}"


def drink_choices(routine: Routine, rows: Iterable[LedgerRow]) -> tuple[DrinkChoice, ...]:
    """The segments of no drink in which something is claimed, where any of it is to be settled.

    A segment that names no drink goes on with that of the one before.
    """
    if len(routine.drinks) < 2:
        return ()
    untold = [row for row in rows if row.drink_id is None and row.sayings]
    if not any(row.is_open for row in untold):
        return ()
    return tuple(_choices(routine, {each.segment_id for row in untold for each in row.sayings}))


def _choices(routine: Routine, wanted: set[str]) -> Iterator[DrinkChoice]:
    before = ""
    for number, segment in enumerate(routine.segments, 1):
        part = PastedSegment(segment.name, segment.said)
        named = drink_named(part, routine.drinks, routine.language)
        before = segment.drink_id or named or before
        if segment.id in wanted and segment.drink_id is None:
            yield DrinkChoice(segment.id, f"{number} {segment.name}", before)


def choices_form(choices: Iterable[DrinkChoice]) -> Form:
    """The form as it starts: as things are in all likelihood."""
    return Form({each.field: each.drink_id for each in choices})


def with_drinks_chosen(routine: Routine, typed: Typed) -> Routine:
    """The routine with the drinks of a form. Raises InvalidInput."""
    known = {drink.id for drink in routine.drinks}
    sent = [each for each in routine.segments if f"drink-{each.id}" in typed.values]
    chosen = {each.id: typed.choice(f"drink-{each.id}") for each in sent}
    refuse_if(
        Fault(f"drink-{key}", "This drink is gone. Choose another.")
        for key, drink_id in chosen.items()
        if drink_id is not None and drink_id not in known
    )
    for segment in sent:
        routine = put_segment(routine, replace(segment, drink_id=chosen[segment.id]))
    return routine
