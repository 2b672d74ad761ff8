"""How a talk was said: pace, pauses, fillers, sentences left out."""

from dataclasses import replace

import pytest

from server.domain.claims.pace import Paces, WordPace
from server.domain.heard.aligning import align
from server.domain.heard.alignment import spoken_segments
from server.domain.heard.manner import manner_of, most_left_out
from server.domain.routine.routine import Segment, Spread
from tests.domain.heard.said import BUILD, CLOSE, OPEN, SCRIPT, TASTE, talk, when
from tests.factories import make_routine

ROUTINE = make_routine(
    segments=tuple(
        Segment(each.id, each.name, Spread(each.planned_s), said=each.text, hands=f"H {each.id}")
        for each in SCRIPT
    )
)
WHOLE = f"{OPEN} {{7}} {BUILD} {{1}} {TASTE} {{1}} {CLOSE}"


def manner(text, paces=None, timed=True):
    transcript = talk(text, timed=timed)
    return manner_of(ROUTINE, transcript, align(transcript, spoken_segments(ROUTINE)), paces)


def test_words_a_minute_are_those_said_without_long_pauses():
    # A word each 0.4 s is 150 a minute, a pause of three seconds left aside.
    said = {
        each.segment_id: each.wpm for each in manner(WHOLE.replace("plum", "plum {3}")).segments
    }
    assert said["build"] == pytest.approx(150, abs=3)


def test_the_plan_and_the_own_habit_stand_beside():
    own = WordPace(130, 120, 140, segments=1, runs=4, note="")
    usual = WordPace(145, 125, 168, segments=0, runs=0, note="")
    rows = {each.segment_id: each for each in manner(WHOLE, Paces(usual, {"build": own})).segments}
    assert rows["build"].planned_wpm == pytest.approx(16 / 12 * 60)
    assert (rows["build"].habit_wpm, rows["taste"].habit_wpm) == (130, None)


def test_pauses_over_two_seconds_are_told_with_what_the_hands_did():
    pauses = manner(WHOLE.replace("plum", "plum {3}")).pauses
    inside = [(each.segment_id, each.hands, round(each.length_s, 2)) for each in pauses]
    assert inside[-1] == ("build", "H build", 3.05)
    assert len(inside) == 2


def test_fillers_are_counted_and_words_of_the_script_are_not():
    found = manner(WHOLE.replace("{1} you", "um you know {1} um you"))
    assert dict(found.fillers) == {"um": 2, "you know": 1}


def test_a_filler_that_the_script_has_is_no_filler():
    said = replace(ROUTINE.segments[0], said="Good evening, judges. It is like the harvest.")
    routine = replace(ROUTINE, segments=(said, *ROUTINE.segments[1:]))
    transcript = talk(WHOLE.replace(OPEN, "good evening judges it is like the harvest"))
    found = manner_of(routine, transcript, align(transcript, spoken_segments(routine)))
    assert found.fillers == ()


def test_sentences_left_out_are_counted_by_segment():
    found = manner(WHOLE.replace("it ends with a touch of salt", ""))
    assert {each.segment_id: each.left_out for each in found.segments}["taste"] == 1
    assert [each.text for each in found.left_out] == ["It ends with a touch of salt."]


def test_the_sentence_left_out_most_often_over_the_runs_comes_first():
    def matched(text):
        return align(talk(text), spoken_segments(ROUTINE)).matched

    once = WHOLE.replace("it ends with a touch of salt", "")
    twice = once.replace("please enjoy it", "")
    rows = most_left_out([matched(once), matched(twice), matched(WHOLE)])
    assert [(each.text, missing, of) for each, missing, of in rows] == [
        ("It ends with a touch of salt.", 2, 3),
        ("Please enjoy it.", 1, 3),
    ]


def test_without_times_there_is_no_pace_and_no_pause():
    found = manner(WHOLE, timed=False)
    assert (found.wpm, found.pauses) == (None, ())


def test_nothing_said_gives_no_pace():
    found = manner("")
    assert (found.wpm, found.pauses, found.fillers) == (None, (), ())


def test_a_segment_of_few_words_tells_no_pace():
    short = replace(ROUTINE.segments[0], said="Good evening.")
    routine = replace(ROUTINE, segments=(short, *ROUTINE.segments[1:]))
    transcript = talk(WHOLE.replace(OPEN, "good evening"))
    found = manner_of(routine, transcript, align(transcript, spoken_segments(routine)))
    assert found.segments[0].wpm is None


def test_pauses_before_the_start_and_after_the_finish_are_no_ones():
    text = f"welcome everybody to this hall {{9}} {WHOLE} {{9}} what a show"
    ends_s = when(talk(text), "harvest") + 0.35
    assert [each.start_s for each in manner(text).pauses] == [pytest.approx(ends_s)]
