"""Rows of words laid against one another: worked examples, laws, and a library beside them."""

from itertools import pairwise

import jiwer
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.heard.matching import best_pairs, likenesses
from server.domain.heard.plain_words import plain_heard, plain_words
from tests.bench.heard import made

ROWS = st.lists(
    st.sampled_from(["plum", "apricot", "smoke", "the", "of", "brandy", "glass"]), max_size=12
)


def pairs(script, heard, **more):
    alike = likenesses(script, heard)
    found = best_pairs(alike, range(len(script)), range(len(heard)), **more)
    return [(each.script, each.heard) for each in found]


@pytest.mark.parametrize(
    ("one", "other", "distance"),
    # Worked examples of Levenshtein's distance that textbooks share; letters stand for words.
    [("kitten", "sitting", 3), ("sunday", "saturday", 3)],
)
def test_letters_that_stay_are_those_of_the_edit_distance(one, other, distance):
    kept = len(pairs(list(one), list(other)))
    assert kept >= max(len(one), len(other)) - distance


def test_kitten_and_sitting_keep_the_letters_of_the_textbook():
    assert pairs(list("kitten"), list("sitting")) == [(1, 1), (2, 2), (3, 3), (5, 5)]


def test_the_same_words_are_paired_one_by_one():
    words = ["forty", "millilitres", "of", "plum", "brandy", "go", "into", "the", "glass"]
    assert pairs(words, words) == [(at, at) for at in range(len(words))]


def test_a_misheard_word_still_pairs():
    assert (2, 2) in pairs(["a", "glass", "of", "apricot"], ["a", "glass", "of", "aprikot"])


def test_a_word_that_strays_does_not_tear_a_sentence_apart():
    script = ["you", "will", "find", "dried", "apricot", "here"]
    heard = ["find", "a", "table", "and", "wait", "there", "for", "a", "while", *script]
    assert [at for _, at in pairs(script, heard)] == [9, 10, 11, 12, 13, 14]


def test_with_free_ends_a_part_of_the_script_is_found_by_itself():
    script = ["one", "two", "three", "plum", "brandy", "glass", "four", "five", "six"]
    assert pairs(script, ["plum", "brandy", "glass"], ends_free=True) == [(3, 0), (4, 1), (5, 2)]


@given(ROWS, ROWS)
def test_pairs_go_forward_in_both_rows(script, heard):
    found = pairs(script, heard)
    assert all(a < c and b < d for (a, b), (c, d) in pairwise(found))


@given(ROWS)
def test_nothing_is_paired_with_nothing(words):
    assert pairs(words, []) == pairs([], words) == []


def test_as_many_words_are_kept_as_a_library_keeps():
    # jiwer aligns words by plain edit distance: what it calls hits is the most that can stay.
    kept = hits = 0
    for take, transcript, _ in made(False)[:6]:
        script = [each.stem for one in take.said for each in plain_words(one.text, "en")]
        heard = [each.stem for each in plain_heard(transcript.words, "en")]
        alike = likenesses(script, heard)
        found = best_pairs(alike, range(len(script)), range(len(heard)))
        kept += sum(each.likeness == 1 for each in found)
        hits += jiwer.process_words(" ".join(script), " ".join(heard)).hits
    assert 0.98 * hits <= kept <= 1.005 * hits
