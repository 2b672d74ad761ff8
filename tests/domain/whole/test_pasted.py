"""A pasted talk: no word is lost, none is moved, whatever is cut and joined."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.base.text import LONG_TEXT
from server.domain.base.tokens import sentences_of
from server.domain.belief.words_pace import learn_pace
from server.domain.claims.pace import measure, seconds_for
from server.domain.routine.drink import Drink
from server.domain.whole.pasted import (
    MOST_TEXT,
    PastedSegment,
    drink_named,
    merged,
    proposed,
    split,
    spoken_s,
    with_parts,
)
from tests.factories import make_routine
from tests.table import table

TALK = """Welcome

Good evening, judges. My name is Runa.

This is a plum. It rests for five hours!
And it is cold.


Thank you"""
WORDS = st.lists(st.sampled_from(["plum", "and", "Rum.", "you,", "find!", "40", "ml", "…", "é?"]))
TALKS = st.lists(st.tuples(WORDS, st.sampled_from([" ", "\n", "\n\n", "\n \n\n", "\r\n\r\n"])))


def is_all_of(parts, text):
    """Whether the parts hold every word of a text in its order, headings as names."""

    def held(parts, left):
        if not parts:
            return not left
        part, *rest = parts
        both = part.said.split(), f"{part.name} {part.said}".split()
        return any(left[: len(words)] == words and held(rest, left[len(words) :]) for words in both)

    return held(list(parts), text.split())


def written(talk):
    return "".join(" ".join(words) + gap for words, gap in talk)


def test_a_talk_is_cut_at_its_blank_lines_and_named_by_its_headings():
    parts = proposed(TALK)
    assert [part.name for part in parts] == ["Welcome", "This is a plum", "Thank you"]
    assert parts[0].said == "Good evening, judges. My name is Runa."
    assert parts[1].said.endswith("hours!\nAnd it is cold.")


@table(
    "line, name, lasts_s",
    [
        ("# Welcome", "Welcome", None),
        ("**Welcome**", "Welcome", None),
        ("Welcome:", "Welcome", None),
        ("## Brew 1m30", "Brew", 90),
        ("Brew (1 min 30 s)", "Brew", 90),
        ("Brew, 90s", "Brew", 90),
        ("Brew 2 min", "Brew", 120),
        ("Brew 20 sec", "Brew", 20),
        ("Brew 1.30", "Brew", 90),
        ("Brew 1’15’’", "Brew", 75),
        ("Brew: 1’ 15”", "Brew", 75),
        ("Aufgießen 45 Sekunden", "Aufgießen", 45),
        ("Brew – 45", "Brew", 45),
        ("Act 12", "Act 12", None),
        ("Stir for 20 s", "Stir for 20 s", None),
        ("Act 2", "Act 2", None),
    ],
)
def test_a_heading_is_read_as_other_programs_write_it(line, name, lasts_s):
    (part,) = proposed(f"{line}\nThis is a plum, and it is cold.\n")
    assert (part.name, part.lasts_s) == (name, lasts_s)
    assert part.said == "This is a plum, and it is cold."


def test_a_part_is_about_the_one_drink_that_it_names():
    drinks = (Drink("d1", "Low Tide", 2), Drink("d2", "Ember", 2))
    told = [
        ("Make Low Tide", "Ember comes later.", "d1"),
        ("My second drink", "It is called ember.", "d2"),
        ("Welcome", "Low Tide and Ember are yours.", None),
        ("Light the embers", "", None),
        ("Serve", "This was my first drink.", "d1"),
        ("Serve", "The first sip is of the second drink.", "d2"),
        ("Serve", "The first drink is cold, the second drink hot.", None),
        ("Serve", "First the cream.", None),
    ]
    for name, said, drink_id in told:
        assert drink_named(PastedSegment(name, said), drinks) == drink_id


def test_drinks_are_counted_in_other_languages_too():
    drinks = (Drink("d1", "Low Tide", 2), Drink("d2", "Ember", 2))
    told = [
        ("de", "Mein zweiter Drink ist warm.", "d2"),
        ("es", "La primera bebida es fría.", "d1"),
        ("fr", "Mon deuxième cocktail est chaud.", "d2"),
        ("it", "Il primo drink è freddo.", "d1"),
        ("pt", "A segunda bebida é quente.", "d2"),
        ("xx", "My first drink.", None),
    ]
    for language, said, drink_id in told:
        assert drink_named(PastedSegment("Los", said), drinks, language) == drink_id


def test_a_name_of_first_words_does_not_end_with_one_that_goes_on():
    talk = "My first drink is called Low Tide.\n\nOne last thing: a spoon of cream.\n\nSo it is."
    assert [part.name for part in proposed(talk)] == [
        "My first drink",
        "One last thing",
        "So it is",
    ]


def test_lines_part_a_talk_that_has_no_blank_ones():
    assert [part.said for part in proposed("One is here.\nTwo is there.")] == [
        "One is here.", "Two is there.",
    ]  # fmt: skip


def test_a_time_behind_a_name_is_its_plan_also_where_nothing_is_said():
    parts = proposed("Welcome 0:25\nGood evening.\n\nBrew (1:20)\n\nClose, 0:05\n\nThank you.")
    told = [(part.name, part.lasts_s, part.said) for part in parts]
    assert told == [
        ("Welcome", 25.0, "Good evening."), ("Brew", 80.0, ""), ("Close", 5.0, "Thank you."),
    ]  # fmt: skip
    routine = with_parts(make_routine(), parts, learn_pace([]), iter("abc").__next__)
    added = [(each.duration.likely_s, each.lane) for each in routine.segments[3:]]
    assert added == [(25.0, "both"), (80.0, "hands"), (5.0, "both")]


@pytest.mark.parametrize(
    "text", ["Brew\n(Pour it)\nThis is plum.", "Brew\n\n[Pour it]\n\nThis is plum."]
)
def test_a_line_in_brackets_is_what_the_hands_do(text):
    assert proposed(text) == (PastedSegment("Brew", "This is plum.", hands="Pour it"),)


def test_brackets_without_a_name_above_belong_to_what_was_said_last():
    parts = proposed("(Wait for the bell)\n\nThis is plum.\n\n(Pour it)\n\n(Wipe the rim)")
    assert [(part.said, part.hands) for part in parts] == [
        ("This is plum.", "Wait for the bell\nPour it\nWipe the rim")
    ]


def test_joined_parts_keep_all_that_the_hands_do_and_both_times():
    parts = (
        PastedSegment("A", "One.", None, "Pour", 5.0),
        PastedSegment("B", "", None, "Wipe", 7.5),
    )
    assert merged(parts, 1) == (PastedSegment("A", "One.", None, "Pour\nWipe", 12.5),)
    assert merged((parts[0], replace(parts[1], lasts_s=None)), 1)[0].lasts_s is None


@given(TALKS)
def test_no_word_is_lost_and_their_order_stays(talk):
    text = written(talk)
    if text.strip():
        assert is_all_of(proposed(text), text)


@given(TALKS, st.lists(st.tuples(st.booleans(), st.integers(0, 9), st.integers(0, 4)), max_size=8))
def test_cutting_and_joining_lose_no_word_either(talk, touches):
    text = written(talk)
    if not text.strip():
        return
    parts = proposed(text)
    said = " ".join(part.said for part in parts).split()
    for joins, index, sentence in touches:
        try:
            parts = merged(parts, index) if joins else split(parts, index, sentence)
        except InvalidInput:
            continue
        assert " ".join(part.said for part in parts).split() == said


@given(TALKS)
def test_what_is_cut_and_joined_again_is_said_as_before(talk):
    text = written(talk)
    if not text.strip():
        return
    parts = proposed(text)
    cuts = len(sentences_of(parts[0].said))
    if cuts > 1:
        again = merged(split(parts, 0, 1), 1)
        assert [each.name for each in again] == [each.name for each in parts]
        assert again[0].said.split() == parts[0].said.split()


def test_a_paragraph_longer_than_a_segment_may_be_is_cut_at_a_sentence():
    text = "You will find plum and a little smoke in it. " * 1000
    parts = proposed(text)
    assert all(len(part.said) <= LONG_TEXT and part.said.endswith(".") for part in parts)
    assert is_all_of(parts, text)


@pytest.mark.parametrize("text", ["", " \n\n ", "x" * (MOST_TEXT + 1)])
def test_nothing_and_too_much_are_refused(text):
    with pytest.raises(InvalidInput):
        proposed(text)


def test_the_segments_take_as_long_as_their_words_do():
    pace = learn_pace([])
    part = PastedSegment("Plum", "You will find plum. It is cold.", "d1")
    assert spoken_s(part, pace) == round(seconds_for(*measure(part.said), pace))
    routine = with_parts(make_routine(drinks=()), [replace(part, drink_id=None)], pace, lambda: "n")
    assert [each.id for each in routine.segments] == ["s1", "s2", "s3", "n"]
    assert routine.segments[3].duration.likely_s == spoken_s(part, pace)


def test_the_first_cannot_be_joined_nor_a_part_be_cut_before_its_first_sentence():
    parts = proposed(TALK)
    for change in (
        lambda: merged(parts, 0),
        lambda: split(parts, 0, 0),
        lambda: split(parts, 9, 1),
    ):
        with pytest.raises(InvalidInput):
            change()
