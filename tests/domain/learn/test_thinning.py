"""How a sentence thins out."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.tokens import sentences_of
from server.domain.learn.thinning import FIRST_WORDS, NOTHING, first_words, thinned, words_of
from tests.domain.learn.learners import shown

WORDS = ["dear", "judges,", "–", "don’t", "4.5", "नमस्ते", "こんにちは世界", "“lamp”", "é", "مرحبا؟"]
TEXTS = st.text(max_size=60) | st.lists(st.sampled_from(WORDS), max_size=20).map(" ".join)


@given(TEXTS, st.sampled_from(["en", "de"]))
def test_every_sentence_of_a_text_has_words_to_learn(text, language):
    sentences = [text[each.start : each.end] for each in sentences_of(text, language)]
    assert all(words_of(each) for each in sentences)


def visible(words, step):
    """Which letters of the text a step shows, by their places."""
    found, at = set(), 0
    for word in words:
        for part, goes in (
            (word.lead, word.head_goes),
            (word.head, word.head_goes),
            (word.tail, min(word.tail_goes, word.head_goes)),
            (word.trail, word.head_goes),
        ):
            if step < goes:
                found |= set(range(at, at + len(part)))
            at += len(part)
    return found


@given(TEXTS)
def test_a_later_step_shows_nothing_that_an_earlier_one_hid(text):
    steps = [visible(thinned(text), step) for step in range(NOTHING + 1)]
    assert all(after <= before for before, after in pairwise(steps))
    assert steps[NOTHING] == set()


@given(TEXTS)
def test_the_words_of_a_sentence_joined_again_are_the_sentence(text):
    joined = "".join(f"{w.lead}{w.head}{w.tail}{w.trail}" for w in thinned(text))
    assert joined == (text if thinned(text) else "")
    assert all(word.head and word.norm for word in thinned(text))


@given(TEXTS)
def test_what_stands_between_words_stays_as_long_as_their_places_do(text):
    marks = [letter for letter in text if not letter.isalnum() and not letter.isspace()]
    kept = shown(text, FIRST_WORDS - 1)
    bare = [mark for mark in marks if mark in "–,“”؟"]
    assert not thinned(text) or all(kept.count(mark) == bare.count(mark) for mark in set(bare))


@pytest.mark.parametrize(
    ("text", "step", "seen"),
    [
        ("Dear judges, welcome home.", 1, "Dear judges, welcome h___."),
        ("Dear judges, welcome home.", 2, "Dear j_____, welcome h___."),
        ("Dear judges, welcome home.", 3, "Dear j_____, w______ h___."),
        ("Dear judges, welcome home.", 4, "Dear"),
        ("Plum!", 4, "Plum!"),
        ("Plum!", 5, ""),
        ("Der Läufer trinkt öfter.", 3, "Der L_____ t_____ ö____."),
    ],
)
def test_steps_take_words_then_letters_then_all_but_the_first_word(text, step, seen):
    assert shown(text, step) == seen


def test_a_letter_keeps_its_marks_and_a_script_without_spaces_has_words():
    assert thinned("क्या किया")[1].head == "कि"
    assert [word.head + word.tail for word in thinned("こんにちは世界")] == [
        "こんに",
        "ちは世",
        "界",
    ]


def test_words_are_compared_without_case_marks_and_way_of_composing():
    assert words_of("“The CAFE\u0301”, she said!") == ("the", "café", "she", "said")
    assert words_of("… – !") == ()


def test_a_cue_is_the_first_words_and_says_that_there_are_more():
    assert first_words("In this jug, are dark plums.", 3) == "In this jug …"
    assert first_words("Please settle in.", 4) == "Please settle in."
