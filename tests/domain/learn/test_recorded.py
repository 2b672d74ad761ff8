"""What a recording tells of sentences that were learnt."""

from datetime import date

from server.domain.heard.aligning import align
from server.domain.learn.aim import LearningAim
from server.domain.learn.recorded import marks_of_talk
from tests.domain.heard.said import BUILD, CLOSE, OPEN, SCRIPT, TASTE, talk
from tests.factories import NOW_MS

WHOLE = f"{OPEN} {{7}} {BUILD} {{2}} {TASTE} {{2}} {CLOSE}"


def went_wrong(text):
    alignment = align(talk(text), SCRIPT)
    marks = marks_of_talk(alignment, "en", "run1", NOW_MS, lambda: "m")
    return [(each.text, each.how) for each in marks]


def test_what_was_said_as_it_is_written_leaves_no_mark():
    assert went_wrong(WHOLE) == []


def test_one_word_in_place_of_another_may_have_been_misheard():
    assert went_wrong(WHOLE.replace("dried apricot", "dried apple")) == []


def test_a_sentence_that_ended_in_other_words_was_stumbled_on():
    text = WHOLE.replace("slowly over clear ice", "well until nothing moves any more")
    assert went_wrong(text) == [("I stir it slowly over clear ice.", "stumbled")]


def test_a_sentence_left_out_before_the_end_was_gone():
    text = WHOLE.replace("it ends with a touch of salt", "")
    assert went_wrong(text) == [("It ends with a touch of salt.", "gone")]


def test_the_day_on_stage_goes_before_one_that_was_named():
    stage, named = date(2026, 11, 29), date(2026, 12, 6)
    assert LearningAim(day=named).stage_day(stage) == stage
    assert LearningAim(day=named).stage_day(None) == named
