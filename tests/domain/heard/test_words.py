"""Transcripts as JSON and back, and words made comparable."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.heard.plain_words import plain_heard, plain_words
from server.domain.heard.words import (
    TimedWord,
    Transcript,
    transcript_document,
    transcript_from,
)
from tests.table import table

WORDS = st.builds(
    lambda text, start, length, certain: TimedWord(
        text, start / 1000, (start + length) / 1000, certain
    ),
    st.text(min_size=1, max_size=20),
    st.integers(0, 10_000_000),
    st.integers(0, 5000),
    st.none() | st.floats(0, 1),
)


@given(st.lists(WORDS, max_size=5), st.booleans(), st.sampled_from(["captions", "recognised"]))
def test_a_transcript_comes_back_from_json_as_it_was(words, timed, kind):
    transcript = Transcript(tuple(words), timed, kind)
    assert transcript_from(json.loads(json.dumps(transcript_document(transcript)))) == transcript


@table(
    "document",
    [
        {},
        {"kind": "other", "timed": True, "words": []},
        {"kind": "text", "timed": 1, "words": []},
        {"kind": "text", "timed": True, "words": [["a", 5, 4, None]]},
        {"kind": "text", "timed": True, "words": [["a", -1, 4, None]]},
        {"kind": "text", "timed": True, "words": [["a", 0, float("nan"), None]]},
        {"kind": "text", "timed": True, "words": [["a", 0, 4, 2]]},
        {"kind": "text", "timed": True, "words": [["a", 0, True, None]]},
        {"kind": "text", "timed": True, "words": [["a", 0]]},
    ],
)
def test_a_damaged_transcript_is_refused(document):
    with pytest.raises(InvalidInput):
        transcript_from(document)


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("40 ml", "forty millilitres"),
        ("45mils", "forty-five millilitres"),
        ("55 °C", "fifty five degrees"),
        ("1,250", "one thousand two hundred and fifty"),
        ("Don’t", "dont"),
        ("12%", "twelve percent"),
    ],
)
def test_digits_and_units_are_the_words_they_are_said_with(written, said):
    def stems(text):
        return [each.stem for each in plain_words(text, "en") if each.stem != "and"]

    assert stems(written) == stems(said)


def test_each_plain_word_knows_the_word_it_came_from():
    words = [TimedWord("45ml", 0, 1), TimedWord("of", 1, 2)]
    assert [each.place for each in plain_heard(words, "en")] == [0, 0, 0, 1]


def test_a_number_beyond_all_measure_is_one_word():
    assert len(plain_words("9" * 40, "en")) == 1
