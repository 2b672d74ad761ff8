"""Edits of what a routine says, and of what it keeps for the claims check.

All raise InvalidInput where the result would break a rule of the routine, and NotFound for a part
that is not in it.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from server.domain.base.errors import NotFound, refuse_if
from server.domain.base.text import long_text_faults
from server.domain.claims.corrections import held_at
from server.domain.claims.finds import Passage
from server.domain.routine.edits import part_of, put_drink, put_ingredient, without
from server.domain.routine.own_words import Correction, OwnWord
from server.domain.routine.routine import Routine


def put_said(routine: Routine, said: Mapping[str, str]) -> Routine:
    """The routine with what is said in some segments changed: segment id -> text.

    Raises InvalidInput with a fault "said-<segment id>" for each text that is too long.
    """
    for segment_id in said:
        part_of(routine.segments, segment_id)
    refuse_if(
        fault for key, text in said.items() for fault in long_text_faults(text, f"said-{key}")
    )
    changed = (
        replace(each, said=said[each.id]) if each.id in said else each for each in routine.segments
    )
    return replace(routine, segments=tuple(changed))


def put_on_card(routine: Routine, words: Iterable[tuple[str, str]]) -> Routine:
    """The routine with descriptors more on its drinks' cards: pairs of drink id and word."""
    for drink_id, word in words:
        drink = part_of(routine.drinks, drink_id)
        listed = tuple(dict.fromkeys((*drink.descriptors, word)))
        routine = put_drink(routine, replace(drink, descriptors=listed))
    return routine


def give_word(routine: Routine, ingredient_id: str, word: str) -> Routine:
    """The routine with a descriptor more that an ingredient gives. Raises NotFound."""
    for drink in routine.drinks:
        for part in drink.ingredients:
            if part.id == ingredient_id:
                given = tuple(dict.fromkeys((*part.descriptors, word)))
                return put_ingredient(routine, drink.id, replace(part, descriptors=given))
    raise NotFound("That part is no longer in the recipe. Load the page again.")


def take_off_card(routine: Routine, drink_id: str, word: str) -> Routine:
    """The routine with a descriptor taken off the card of a drink. Raises NotFound."""
    drink = part_of(routine.drinks, drink_id)
    if word not in drink.descriptors:
        raise NotFound("That word is no longer on the card. Load the page again.")
    rest = tuple(each for each in drink.descriptors if each != word)
    return put_drink(routine, replace(drink, descriptors=rest))


def add_corrections(routine: Routine, new: Sequence[Correction]) -> Routine:
    """The routine with corrections more; each takes the place of an older one of the same words.

    The older one is that which holds now where a new one does.
    """
    passages = [Passage(each.id, each.said, each.drink_id) for each in routine.segments]
    old = held_at(routine.corrections, passages, routine.language)
    # By themselves the new ones hold where they were made.
    places = held_at(new, passages, routine.language).values()
    kept = tuple(each for each in routine.corrections if old.get(each.id) not in places)
    return replace(routine, corrections=(*kept, *new))


def remove_correction(routine: Routine, correction_id: str) -> Routine:
    """The routine without a correction: the find counts again as it was found."""
    return replace(routine, corrections=without(routine.corrections, correction_id))


def add_own_word(routine: Routine, word: OwnWord) -> Routine:
    """The routine with a descriptor of its own more."""
    return replace(routine, own_words=(*routine.own_words, word))


def remove_own_word(routine: Routine, word: str) -> Routine:
    """The routine without one of its own descriptors."""
    rest = tuple(own for own in routine.own_words if own.word != word)
    if len(rest) == len(routine.own_words):
        raise NotFound("That word is no longer in this routine. Load the page again.")
    return replace(routine, own_words=rest)
