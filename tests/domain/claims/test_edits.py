"""What a routine keeps for the claims check, through edits of everything around it."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.base.errors import InvalidInput, NotFound
from server.domain.base.text import LONG_TEXT
from server.domain.claims.claim_edits import (
    add_corrections,
    add_own_word,
    put_said,
    remove_correction,
    remove_own_word,
)
from server.domain.claims.corrections import correction_at
from server.domain.claims.finds import Passage
from server.domain.routine import edits
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.own_words import Correction, OwnWord
from server.domain.routine.routine import MOST_CORRECTIONS, MOST_OWN_WORDS, Routine
from server.domain.whole.exchange import from_json, to_json
from tests.factories import make_routine, make_segment

RUM = Ingredient("rum", "Plum rum", Amount(40, "ml"))
DRINK = Drink("d1", "Dusk", ingredients=(RUM,))
MEANS_RUM = Correction("c1", "s1", "you get plum", "plum", "ingredient", ingredient_id="rum")
NO_CLAIM = Correction("c2", "s2", "a plum tree", "plum", "no claim")
ROUTINE = make_routine(
    drinks=(DRINK,), corrections=(MEANS_RUM, NO_CLAIM), own_words=(OwnWord("quince jam", "fruit"),)
)


def numbered(letter):
    count = iter(range(1000))
    return lambda: f"{letter}{next(count)}"


def test_a_copy_has_corrections_of_its_own_that_mean_its_own_parts():
    copy = edits.with_new_ids(ROUTINE, numbered("n"))
    means_rum, _ = copy.corrections
    assert means_rum.ingredient_id == copy.drinks[0].ingredients[0].id != "rum"
    assert means_rum.segment_id == copy.segments[0].id != "s1"
    assert not {c.id for c in copy.corrections} & {"c1", "c2"}


def test_what_is_said_of_a_drink_goes_with_that_drink_and_comes_back_with_it():
    of_dusk = Correction("c3", "s1", "you get plum", "plum", "drink", drink_id="d1")
    routine = replace(ROUTINE, corrections=(of_dusk, NO_CLAIM))
    assert from_json(Routine, to_json(routine)) == routine
    (copied, _) = edits.with_new_ids(routine, numbered("n")).corrections
    assert copied.drink_id == edits.with_new_ids(routine, numbered("n")).drinks[0].id
    gone = edits.remove_drink(routine, "d1")
    assert gone.corrections == (NO_CLAIM,)
    assert set(edits.give_drink_back(gone, "d1", routine).corrections) == {of_dusk, NO_CLAIM}
    with pytest.raises(InvalidInput):
        replace(routine, drinks=())
    with pytest.raises(InvalidInput):
        Correction("c3", "s1", "you get plum", "plum", "drink")


def test_a_correction_outlives_its_segment_because_the_words_may_stand_elsewhere():
    left = edits.remove_segment(ROUTINE, "s1")
    assert left.corrections == ROUTINE.corrections


@pytest.mark.parametrize(
    "take_out",
    [
        lambda routine: edits.remove_ingredient(routine, "d1", "rum"),
        lambda routine: edits.remove_drink(routine, "d1"),
    ],
)
def test_an_ingredient_taken_out_takes_along_what_was_corrected_to_mean_it(take_out):
    assert take_out(ROUTINE).corrections == (NO_CLAIM,)


def test_a_correction_cannot_mean_an_ingredient_that_is_not_here():
    with pytest.raises(InvalidInput, match="names an ingredient that is not here"):
        make_routine(corrections=(MEANS_RUM,))


def test_a_newer_correction_of_the_same_words_takes_the_place_of_the_older():
    text = "You get plum. A plum tree, and a plum stone."
    routine = replace(ROUTINE, segments=(make_segment("s1"), make_segment("s2", said=text)))
    at = text.index("plum tree")
    older, newer, other = (
        correction_at(Passage("s2", text), start, start + 4, key, "damson")
        for start, key in ((at, "c3"), (at, "c4"), (text.rindex("plum"), "c5"))
    )
    routine = add_corrections(replace(routine, corrections=()), [older])
    assert add_corrections(routine, [newer]).corrections == (newer,)
    assert add_corrections(routine, [other]).corrections == (older, other)


def test_a_correction_can_be_taken_back_once():
    left = remove_correction(ROUTINE, "c1")
    assert left.corrections == (NO_CLAIM,)
    with pytest.raises(NotFound):
        remove_correction(left, "c1")


def test_a_word_can_be_added_once_and_taken_out_once():
    with pytest.raises(InvalidInput, match="one of your words already"):
        add_own_word(ROUTINE, OwnWord("Quince Jam"))
    left = remove_own_word(ROUTINE, "quince jam")
    assert left.own_words == ()
    with pytest.raises(NotFound):
        remove_own_word(left, "quince jam")


def test_the_texts_of_several_segments_change_in_one_edit():
    changed = put_said(ROUTINE, {"s1": "Good evening.", "s3": "Thank you."})
    assert [segment.said for segment in changed.segments] == ["Good evening.", "", "Thank you."]


def test_a_text_that_is_too_long_is_named_by_its_segment():
    with pytest.raises(InvalidInput) as caught:
        put_said(ROUTINE, {"s1": "fine", "s2": "x" * (LONG_TEXT + 1)})
    assert [fault.field for fault in caught.value.faults] == ["said-s2"]


def test_a_text_for_a_segment_that_was_deleted_is_refused():
    with pytest.raises(NotFound):
        put_said(ROUTINE, {"gone": "Hello"})


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"own_words": tuple(OwnWord(f"w{n}") for n in range(MOST_OWN_WORDS + 1))}, "at most 200"),
        (
            {"corrections": tuple(replace(NO_CLAIM, id=f"c{n}") for n in range(1001))},
            f"at most {MOST_CORRECTIONS}",
        ),
    ],
)
def test_there_is_a_limit_to_words_and_corrections(changes, told):
    with pytest.raises(InvalidInput, match=told):
        make_routine(**changes)


def test_a_routine_comes_back_from_its_document_with_words_and_corrections():
    assert from_json(Routine, to_json(ROUTINE)) == ROUTINE


def test_a_document_from_before_has_neither():
    routine = from_json(Routine, '{"id": "r", "name": "Old", "rule_sheet_id": "x"}')
    assert (routine.own_words, routine.corrections) == ((), ())


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"word": "  "}, "word"),
        ({"word": "☕"}, "word"),
        ({"word": "fig", "synonyms": ("!!",)}, "synonyms"),
        ({"word": "fig", "synonyms": ("x" * 121,)}, "synonyms"),
        ({"word": "fig", "kind_of": "x" * 121}, "kind_of"),
        ({"word": "fig", "synonyms": tuple(f"fig {n}" for n in range(21))}, "synonyms"),
    ],
)
def test_a_word_that_cannot_be_looked_for_is_refused_beside_its_field(given, field):
    with pytest.raises(InvalidInput) as caught:
        OwnWord(**given)
    assert {fault.field for fault in caught.value.faults} == {field}


def test_text_of_a_segment_moved_up_keeps_its_place():
    routine = make_routine(segments=(make_segment("s1", said="one"), make_segment("s2")))
    assert put_said(routine, {"s2": "two"}).segments[0].said == "one"
