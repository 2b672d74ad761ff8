"""Cures of a contradicted number: say what holds, or make that what is said.

The second only where recipe or plan state the value themselves: what is computed from them follows
from many things, and the rule sheet is that of the event.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from server.domain.base.amounts import Amount
from server.domain.base.errors import NotFound
from server.domain.claims.edits import put_said
from server.domain.claims.number_cures import said_words, stated_as_said, true_numbers
from server.domain.claims.rows import Row
from server.domain.claims.sayings import Saying
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.edits import part_of, put_ingredient
from server.domain.routine.routine import Routine


@dataclass(frozen=True)
class Cure:
    """One way to settle a contradiction: `words` for its button, and the routine it leads to."""

    id: str
    words: str
    routine: Routine


def cures_of(row: Row, routine: Routine) -> tuple[Cure, ...]:
    """What settles a contradicted number at one touch; nothing for other claims.

    Where a recipe makes several serves, an amount may be meant in all or for each.
    """
    if row.state != "contradicted":
        return ()
    return _of_amount(row, routine) if row.kind == "amount" else _of_number(row, routine)


def _of_amount(row: Row, routine: Routine) -> tuple[Cure, ...]:
    found = _held(row, routine)
    if row.said is None or found is None:
        return ()
    drink, part = found
    held = part.amount
    each = Amount(round(held.value / drink.serves, 2), held.unit)
    whole = Amount(row.said.value * drink.serves, row.said.unit)
    if drink.serves == 1:
        return (
            Cure("say", f"Say {held}", _saying(routine, row.sayings, held)),
            Cure("make", f"Make it {row.said}", _making(routine, drink, part, row.said)),
        )
    return (
        Cure("say", f"Say {held} in all", _saying(routine, row.sayings, held)),
        Cure("say-each", f"Say {each} each", _saying(routine, row.sayings, each)),
        Cure("make", f"Make it {row.said} in all", _making(routine, drink, part, row.said)),
        Cure("make-each", f"Make it {row.said} each", _making(routine, drink, part, whole)),
    )


def _of_number(row: Row, routine: Routine) -> tuple[Cure, ...]:
    if row.number is None:
        return ()
    cures = [
        Cure(cure_id, f"Say {told.words}", _in_place(routine, row.sayings, told.text))
        for cure_id, told in true_numbers(row, routine)
    ]
    made = stated_as_said(row, routine)
    if made is not None:
        cures.append(Cure("make", f"Make it {said_words(row)}", made))
    return tuple(cures)


def cure_named(row: Row, routine: Routine, cure_id: str) -> Cure:
    """The cure of a claim with that id. Raises NotFound where there is no such cure any more."""
    for cure in cures_of(row, routine):
        if cure.id == cure_id:
            return cure
    raise NotFound("This contradiction is settled already. Load the page again.")


def _held(row: Row, routine: Routine) -> tuple[Drink, Ingredient] | None:
    wanted = {backing.ingredient_id for backing in row.backings}
    for drink in routine.drinks:
        for part in drink.ingredients:
            if part.id in wanted:
                return drink, part
    return None


def _saying(routine: Routine, sayings: Sequence[Saying], amount: Amount) -> Routine:
    return _in_place(routine, sayings, lambda _: str(amount))


def _in_place(routine: Routine, sayings: Sequence[Saying], words: Callable[[str], str]) -> Routine:
    """The routine with these places said anew; `words` gives what stands for a phrase."""
    texts: dict[str, str] = {}
    # From the end, so that the earlier places stay where they are.
    for said in sorted(sayings, key=lambda each: -each.start):
        text = texts.get(said.segment_id) or part_of(routine.segments, said.segment_id).said
        anew = words(text[said.start : said.end])
        texts[said.segment_id] = f"{text[: said.start]}{anew}{text[said.end :]}"
    return put_said(routine, texts)


def _making(routine: Routine, drink: Drink, part: Ingredient, amount: Amount) -> Routine:
    return put_ingredient(routine, drink.id, replace(part, amount=amount))
