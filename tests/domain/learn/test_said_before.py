"""What is remembered of sentences, also of those that were edited."""

from datetime import UTC

import pytest

from server.domain.learn.said_before import NEVER_SAID, histories
from server.domain.learn.thinning import words_of
from tests.domain.learn.learners import mark

LAMP = "The lamp on the landing is warm and bright."


def told(text, *marks):
    return histories([text], marks, UTC)[words_of(text)]


def test_a_sentence_that_was_never_said_has_no_history():
    assert told(LAMP) == NEVER_SAID
    assert told(LAMP, mark("In this jug are plums.")) == NEVER_SAID


def test_a_sentence_keeps_its_history_where_only_its_marks_or_place_change():
    plain = told(LAMP, mark(LAMP))
    assert told("the lamp, on the landing, is warm – and bright!", mark(LAMP)) == plain


def test_an_edit_is_new_only_where_it_changed():
    edited = "The lamp on the landing is warm and golden."
    before, after = told(LAMP, mark(LAMP)), told(edited, mark(LAMP))
    assert after.changed == {8}
    assert after.memory.stability == pytest.approx(before.memory.stability * 8 / 9)


def test_the_more_is_reworded_the_less_is_remembered():
    texts = (
        "The lamp on the stairs is warm and golden.",
        "The lamp on the stair was bright and warm.",
    )
    kept = [told(text, mark(LAMP)).memory.stability for text in texts]
    assert told(LAMP, mark(LAMP)).memory.stability > kept[0] > kept[1] > 0


def test_a_sentence_that_shares_few_words_is_another():
    assert told("On the landing I was born in winter.", mark(LAMP)) == NEVER_SAID


def test_a_script_replaced_wholly_begins_anew():
    new = [f"Quite other words {number} stand in it." for number in range(40)]
    marks = [mark(f"The {number} lamp burns.", number=number) for number in range(40)]
    assert set(histories(new, marks, UTC).values()) == {NEVER_SAID}


def test_an_edit_said_by_heart_goes_on_from_what_was_remembered():
    edited = "The lamp on the landing is warm and golden."
    marks = (mark(LAMP), mark(LAMP, days=2), mark(edited, days=9))
    afresh = told(edited, marks[-1])
    found = told(edited, *marks)
    assert found.changed == frozenset()
    assert found.memory.stability > afresh.memory.stability


def test_a_sentence_that_still_stands_lends_its_history_to_no_other():
    other = "The lamp on the landing is warm and golden."
    found = histories([LAMP, other], [mark(LAMP)], UTC)
    assert found[words_of(other)] == NEVER_SAID


def test_said_with_more_than_first_words_in_view_is_no_more_than_a_stumble():
    assert told(LAMP, mark(LAMP, step=3)).last == "stumbled"
    assert told(LAMP, mark(LAMP, step=4)).last == "sat"
