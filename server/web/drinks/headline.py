"""The first line of the drinks page: what needs the person first, or that all fits."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.domain.base.number_words import count
from server.domain.routine.routine import Routine
from server.domain.whole.readiness import unknown_words
from server.web.drinks.half import CardWord, Half
from server.web.drinks.in_script import NEVER_SAID, NOT_KNOWN, Contradiction, Said

if TYPE_CHECKING:
    from server.domain.claims.cures import Cure


@dataclass(frozen=True)
class DrinksHeadline:
    """A sentence, and what settles it at a touch: `action` is the address of its drink's part.

    `cures` are the likely ones, as on Today and in the claims; the panel of the part has all.
    """

    words: str
    beneath: str = ""
    action: str = ""
    cures: "tuple[Cure, ...]" = ()


def headline_of(halves: Sequence[Half], said: Said, routine: Routine) -> DrinksHeadline:
    """What is to be settled, the most false first; else that the drinks hold what is said."""
    found = [
        *_contradictions(halves, routine),
        *_brims(halves),
        *_temperatures(halves),
        *_words(halves),
    ]
    if found:
        more = len(found) - 1
        first = found[0]
        beneath = f"and {count(more, 'more thing')} to settle" if more else ""
        return DrinksHeadline(first.words, beneath, first.action, first.cures)
    if not halves:
        return DrinksHeadline("No drink yet")
    empty = [half.short for half in halves if not half.rows]
    if empty:
        return DrinksHeadline(
            f"What goes into {empty[0] if len(empty) < len(halves) else 'the glass'}?"
        )
    # A name alone tells nothing; what else is lacking stands in the half.
    if any(row.is_bare for half in halves for row in half.rows):
        return DrinksHeadline(unknown_words(sum(half.unknown for half in halves)))
    which = {1: "It holds", 2: "Both drinks hold"}.get(len(halves), "All drinks hold")
    if said.has_words:
        return DrinksHeadline(f"{which} what you say")
    return DrinksHeadline(count(len(halves), "drink"), "Nothing is written to say yet")


def _contradictions(halves: Sequence[Half], routine: Routine) -> list[DrinksHeadline]:
    found = []
    for half in halves:
        for row in half.rows:
            wrong = row.contradiction
            if wrong is None:
                continue
            has = f"{half.short} has {_held(wrong)}"
            cures = tuple(cure for cure in wrong.cures if cure.is_likely)
            action = f"/routines/{routine.id}/drinks/{half.drink.id}/ingredients/{row.id}/cure"
            found.append(DrinksHeadline(f"{row.name}: {wrong.words}, {has}", "", action, cures))
    return found


def _held(wrong: Contradiction) -> str:
    """What the recipe has, without the unit where that was just said."""
    said, held = wrong.said, wrong.held
    if said is None or held is None:
        return "another"
    if held.amount.unit != said.unit:
        return held.words
    return f"{held.amount.words.partition(' ')[0]}{' each' if held.is_each else ''}"


def _temperatures(halves: Sequence[Half]) -> list[DrinksHeadline]:
    return [
        DrinksHeadline(f"{half.short}: {figure.beside} °C when drunk")
        for half in halves
        for figure in half.figures
        if figure.needs
    ]


def _brims(halves: Sequence[Half]) -> list[DrinksHeadline]:
    return [DrinksHeadline(f"{half.short}: {half.brim.short}") for half in halves if half.brim]


def _words(halves: Sequence[Half]) -> list[DrinksHeadline]:
    """Words of a card that nothing gives, or nobody says; a glass without parts can give none."""
    return [
        DrinksHeadline(f"{half.short}: {_ailing(each)}")
        for half in halves
        if half.rows
        for each in half.card
        if each.trouble
    ]


def _ailing(word: CardWord) -> str:
    if word.trouble in (NEVER_SAID, NOT_KNOWN):
        return f"“{word.word}” {word.trouble}"
    return f"nothing gives “{word.word}”"
