"""What the script says of the drinks: amounts that the recipe contradicts, words never said."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from server.domain.base.amounts import Amount
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.web.drinks.checked import checked

if TYPE_CHECKING:
    from server.domain.claims.cures import Cure, Held
    from server.domain.claims.ledger import Ledger
    from server.domain.claims.rows import LedgerRow


@dataclass(frozen=True)
class Contradiction:
    """An amount or a strength that is said otherwise than the recipe has it."""

    ingredient_id: str
    words: str
    """"you say 30 ml"."""
    why: str
    said: Amount | None
    held: "Held | None"
    cures: "tuple[Cure, ...]"


@dataclass(frozen=True)
class Said:
    """What the script says: by ingredient what is contradicted, by drink what ails a descriptor."""

    contradictions: Mapping[str, Contradiction] = field(default_factory=dict)
    troubles: Mapping[tuple[str, str], str] = field(default_factory=dict)
    """Drink id and descriptor -> "is never said", "nothing gives it", "is not known"."""
    has_words: bool = False


NEVER_SAID = "is never said"
NOT_KNOWN = "is not known"
TROUBLES = {"unsaid": NEVER_SAID, "unbacked": "nothing gives it"}
"""State of a descriptor on the card -> what ails it."""


def said_of(routine: Routine, rules: RuleSheet) -> Said:
    """What the script says of the drinks; of their cards before that what the app cannot know."""
    unknown = dict.fromkeys(_unknown_words(routine), NOT_KNOWN)
    if not routine.drinks or not any(segment.said.strip() for segment in routine.segments):
        return Said(troubles=unknown)
    said = _said(checked(routine, rules).ledger, routine)
    return replace(said, troubles={**unknown, **said.troubles})


def _unknown_words(routine: Routine) -> Iterator[tuple[str, str]]:
    """Drink id and word of each word on a card that is no known flavour and that no part gives.

    Only English flavours are known well enough to tell.
    """
    from server.domain.claims.backing import backings
    from server.domain.claims.lexicon import taxonomy_for

    if routine.language != "en":
        return
    taxonomy = taxonomy_for(routine.language, routine.own_words)
    for drink in routine.drinks:
        for word in drink.descriptors:
            known = taxonomy.resolve(word) or taxonomy.known_in(word)
            if not known and not backings(word, (drink,), (), taxonomy):
                yield drink.id, word


def contradicted(routine: Routine, rules: RuleSheet, ingredient_id: str) -> "LedgerRow | None":
    """The claim that contradicts the recipe's amount of that ingredient."""
    rows = checked(routine, rules).ledger.rows
    return next((row for row in rows if _contradicts(row) == ingredient_id), None)


def _said(found: "Ledger", routine: Routine) -> Said:
    contradictions: dict[str, Contradiction] = {}
    for row in found.rows:
        ingredient_id = _contradicts(row)
        if ingredient_id and ingredient_id not in contradictions:
            contradictions[ingredient_id] = _contradiction(row, ingredient_id, routine)
    return Said(contradictions, _troubles(found, routine), has_words=True)


def _troubles(found: "Ledger", routine: Routine) -> dict[tuple[str, str], str]:
    """What ails the words on the cards, each by its drink.

    A word that is said of no drink in particular was looked for in all of them: what none gives,
    the drink with that word on its card does not give either.
    """
    troubles: dict[tuple[str, str], str] = {}
    for row in found.rows:
        if row.state not in TROUBLES or not row.is_checked:
            continue
        if row.drink_id and row.is_planned:
            troubles[row.drink_id, row.word] = TROUBLES[row.state]
        elif not row.drink_id and row.polarity == "has":
            named = (each for each in routine.drinks if row.word in each.descriptors)
            troubles |= {(each.id, row.word): TROUBLES[row.state] for each in named}
    return troubles


def _contradicts(row: "LedgerRow") -> str:
    """The ingredient whose amount or strength a claim contradicts; "" where it contradicts none."""
    is_number = row.kind in ("amount", "strength")
    if row.state != "contradicted" or not is_number or row.in_hands:
        return ""
    return next((each.ingredient_id for each in row.backings if each.ingredient_id), "")


def _contradiction(row: "LedgerRow", ingredient_id: str, routine: Routine) -> Contradiction:
    from server.domain.claims.cures import cures_of, held_as_meant

    spoken = row.said.words if row.said else row.label.partition(" of ")[0]
    return Contradiction(
        ingredient_id,
        f"you say {spoken}",
        row.why[0],
        row.said,
        held_as_meant(row, routine),
        cures_of(row, routine),
    )
