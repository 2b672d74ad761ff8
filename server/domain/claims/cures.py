"""Cures of a contradicted number: say what holds, or make that what is said.

The second only where recipe or plan state the value themselves: what is computed from them follows
from many things, and the rule sheet is that of the event.
"""

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from server.domain.base.amounts import Amount
from server.domain.base.errors import NotFound
from server.domain.base.languages import supported
from server.domain.claims.claim_edits import put_said
from server.domain.claims.number_cures import said_words, stated_as_said, true_numbers
from server.domain.claims.rows import LedgerRow
from server.domain.claims.sayings import Saying
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.edits import part_of, put_ingredient
from server.domain.routine.routine import Routine

WITH_COMMA = ("de", "es", "fr", "it", "pt")
"""Languages of talks that write a decimal comma."""

_POINT = re.compile(r"(?<=\d)\.(?=\d)")


@dataclass(frozen=True)
class Cure:
    """One way to settle a contradiction: `words` for its button, and the routine it leads to.

    `short` are the words where there is little room. `is_likely` is False for the reading that is
    further from what was said: for each serve instead of in all, or the other way round.
    """

    id: str
    words: str
    routine: Routine
    short: str
    is_likely: bool = True

    def label(self, name: str) -> str:
        """What taking it is called among the last changes; `name` is what it cures."""
        return f"{self.words[0].lower()}{self.words[1:]} for “{name}”"


def cures_of(row: LedgerRow, routine: Routine) -> tuple[Cure, ...]:
    """What settles a contradicted number at one touch; nothing for other claims.

    Where a recipe makes several serves, an amount may be meant in all or for each.
    """
    if row.state != "contradicted":
        return ()
    return _of_amount(row, routine) if row.kind == "amount" else _of_number(row, routine)


def _of_amount(row: LedgerRow, routine: Routine) -> tuple[Cure, ...]:
    found = _held(row, routine)
    if row.said is None or found is None:
        return ()
    drink, part = found
    held = part.amount
    say, make = f"Say {held.words}", f"Make it {row.said.words}"
    each = held.shared(drink.serves)
    whole = Amount(row.said.value * drink.serves, row.said.unit)
    if drink.serves == 1:
        return (
            Cure("say", say, _saying(routine, row.sayings, held), say),
            Cure("make", make, _making(routine, drink, part, row.said), make),
        )
    in_all = not _is_each(row.said, drink, held)
    saying, making = _saying(routine, row.sayings, each), _making(routine, drink, part, whole)
    return (
        Cure("say", f"{say} in all", _saying(routine, row.sayings, held), say, in_all),
        Cure("say-each", f"Say {each.words} each", saying, f"Say {each.words}", not in_all),
        Cure("make", f"{make} in all", _making(routine, drink, part, row.said), make, in_all),
        Cure("make-each", f"{make} each", making, make, not in_all),
    )


def _of_number(row: LedgerRow, routine: Routine) -> tuple[Cure, ...]:
    if row.number is None:
        return ()
    cures = [
        _plain(cure_id, f"Say {told.words}", _in_place(routine, row.sayings, told.text))
        for cure_id, told in true_numbers(row, routine)
    ]
    made = stated_as_said(row, routine)
    if made is not None:
        cures.append(_plain("make", f"Make it {said_words(row)}", made))
    return tuple(cures)


def _plain(cure_id: str, words: str, routine: Routine) -> Cure:
    return Cure(cure_id, words, routine, words)


def cure_named(row: LedgerRow, routine: Routine, cure_id: str) -> Cure:
    """The cure of a claim with that id. Raises NotFound where there is no such cure any more."""
    for cure in cures_of(row, routine):
        if cure.id == cure_id:
            return cure
    raise NotFound("This contradiction is settled already. Load the page again.")


def held_amount(row: LedgerRow, routine: Routine) -> tuple[Amount, bool] | None:
    """The recipe's amount that a claim is held against, and whether that is for each serve.

    It is, where the one that is said is nearer to it than to that of all serves.
    """
    found = _held(row, routine)
    if found is None:
        return None
    drink, part = found
    is_each = row.said is not None and _is_each(row.said, drink, part.amount)
    return (part.amount.shared(drink.serves) if is_each else part.amount), is_each


def _is_each(said: Amount, drink: Drink, held: Amount) -> bool:
    return drink.serves > 1 and _is_nearer(said, held.shared(drink.serves), held)


def _is_nearer(said: Amount, one: Amount, other: Amount) -> bool:
    """Whether `said` is nearer to `one` than to `other`, as a ratio."""
    sizes = [amount.volume_ml or amount.value for amount in (said, one, other)]
    if min(sizes) <= 0:
        return False
    said_log, one_log, other_log = map(math.log, sizes)
    return abs(said_log - one_log) < abs(said_log - other_log)


def _held(row: LedgerRow, routine: Routine) -> tuple[Drink, Ingredient] | None:
    wanted = {backing.ingredient_id for backing in row.backings}
    for drink in routine.drinks:
        for part in drink.ingredients:
            if part.id in wanted:
                return drink, part
    return None


def _saying(routine: Routine, sayings: Sequence[Saying], amount: Amount) -> Routine:
    def said(phrase: str) -> str:
        if routine.language == "en":
            return amount.words
        number = str(amount).removesuffix(f" {amount.unit}")
        return f"{number} {_unit_as_said(phrase, amount.unit, routine.language)}"

    return _in_place(routine, sayings, said)


def _unit_as_said(phrase: str, unit: str, language: str) -> str:
    """The unit in the words of the talk: as the phrase has it, or else as its language does."""
    known = supported(language).amounts.get(unit, (unit,))
    for word in sorted(known, key=len, reverse=True):
        if re.search(rf"(?<!\w){re.escape(word)}$", phrase.strip(), re.IGNORECASE):
            return phrase.strip()[-len(word) :]
    # "El" is short for a spoonful in writing alone.
    return next((word for word in known if unit not in ("tsp", "tbsp") or len(word) > 2), unit)


def _in_place(routine: Routine, sayings: Sequence[Saying], words: Callable[[str], str]) -> Routine:
    """The routine with these places said anew; `words` gives what stands for a phrase."""
    texts: dict[str, str] = {}
    # From the end, so that the earlier places stay where they are.
    for said in sorted(sayings, key=lambda each: -each.start):
        text = texts.get(said.segment_id) or part_of(routine.segments, said.segment_id).said
        anew = words(text[said.start : said.end])
        if routine.language in WITH_COMMA:
            anew = _POINT.sub(",", anew)
        texts[said.segment_id] = f"{text[: said.start]}{anew}{text[said.end :]}"
    return put_said(routine, texts)


def _making(routine: Routine, drink: Drink, part: Ingredient, amount: Amount) -> Routine:
    return put_ingredient(routine, drink.id, replace(part, amount=amount))
