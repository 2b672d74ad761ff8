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
from server.domain.routine.sayable import sayable_amount

WITH_COMMA = ("de", "es", "fr", "it", "pt")
"""Languages of talks that write a decimal comma."""

_POINT = re.compile(r"(?<=\d)\.(?=\d)")
_IN_BRACKETS = re.compile(r" \([^)]*\)")


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


@dataclass(frozen=True)
class Held:
    """The recipe's amount as a false one was likely meant: in all, or for each serve."""

    amount: Amount
    is_each: bool

    @property
    def words(self) -> str:
        """The amount, and whether it is that of each serve."""
        return f"{self.amount.words} each" if self.is_each else self.amount.words


def held_as_meant(row: LedgerRow, routine: Routine) -> Held | None:
    """What the recipe has where a claim says another amount; None for other claims."""
    found = _held(row, routine)
    if row.state != "contradicted" or row.kind != "amount" or row.said is None or found is None:
        return None
    drink, part = found
    return _as_meant(row.said, part.amount, drink.serves)


def short_reason(row: LedgerRow, routine: Routine) -> str:
    """Why a claim is not in order, without brackets and tolerance: the ledger has both."""
    held = held_as_meant(row, routine)
    if held is not None:
        return f"You say {row.label}, the recipe has {held.words}."
    return _IN_BRACKETS.sub("", row.why[0]) if row.why else ""


def _as_meant(said: Amount, held: Amount, serves: int) -> Held:
    each = held.shared(serves)
    is_each = serves != 1 and _is_nearer(said, each, held)
    return Held(each if is_each else held, is_each)


def _of_amount(row: LedgerRow, routine: Routine) -> tuple[Cure, ...]:
    found = _held(row, routine)
    if row.said is None or found is None:
        return ()
    drink, part = found
    ratio = routine.tolerance.amount_ratio
    held, each = (
        sayable_amount(amount, ratio) for amount in (part.amount, part.amount.shared(drink.serves))
    )
    say, make = f"Say {held.words}", f"Make it {row.said.words}"
    whole = Amount(row.said.value * drink.serves, row.said.unit)
    if drink.serves == 1:
        return (
            Cure("say", say, _saying(routine, row.sayings, held), say),
            Cure("make", make, _making(routine, drink, part, row.said), make),
        )
    in_all = not _as_meant(row.said, part.amount, drink.serves).is_each
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
