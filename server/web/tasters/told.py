"""What tasters found of the words of a routine, for the pages that list its claims."""

from collections.abc import Iterator
from dataclasses import dataclass

from sqlmodel import Session

from server.domain.routine.drink import Drink
from server.domain.routine.routine import Routine
from server.domain.tasters.found_words import WordFinding
from server.domain.tasters.sitting import Sitting, recipe_key
from server.store.tastings.sittings import sittings_of
from server.web.tasters.conclusion import found_words
from server.web.tasters.results import result_of


@dataclass(frozen=True)
class Tasted:
    """A word of a drink as tasters found it, in the latest tasting of the drink that asked for it.

    `is_current` says that the recipe is still the one that was tasted.
    """

    sitting_id: str
    drink_id: str
    drink: str
    finding: WordFinding
    is_current: bool

    @property
    def words(self) -> str:
        """How often it was found, for a line."""
        said = found_words(self.finding)
        return said if self.is_current else f"{said}, in an earlier version"


def tasted_words(session: Session, routine: Routine) -> dict[tuple[str, str], Tasted]:
    """Drink id and word in small letters -> what the latest tasting found of it."""
    known: dict[tuple[str, str], Tasted] = {}
    drinks = {drink.id: drink for drink in routine.drinks}
    for sitting in sittings_of(session, routine.id):
        drink = drinks.get(sitting.drinks[0].id)
        # An earlier tasting counts, and is worked out, only for words that no later one asked for.
        if sitting.kind != "list" or drink is None or _asked_of(sitting) <= known.keys():
            continue
        for each in _tasted(session, sitting, drink):
            known.setdefault((each.drink_id, each.finding.word.casefold()), each)
    return known


def _asked_of(sitting: Sitting) -> set[tuple[str, str]]:
    stated = (each.word.casefold() for each in sitting.words if not each.is_decoy)
    return {(sitting.drinks[0].id, word) for word in stated}


def _tasted(session: Session, sitting: Sitting, drink: Drink) -> Iterator[Tasted]:
    found = result_of(session, sitting).found
    # What one person finds is no result; the page of the tasting says so.
    if found is None or found.tasters < 2:
        return
    is_current = recipe_key(drink) == recipe_key(sitting.drinks[0])
    for each in found.stated:
        yield Tasted(sitting.id, drink.id, drink.name, each, is_current)
