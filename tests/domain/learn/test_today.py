"""What to say today."""

from datetime import timedelta

import pytest

from server.domain.learn.today import Missed, session_on, spent_on
from tests.domain.learn.learners import BEGAN, TODAY, mark, script, sentence, stand

LAMP, JUG = "The lamp is lit.", "In this jug are plums."


def day(days):
    return TODAY + timedelta(days=days)


def texts(session):
    return [each.sentence.text for each in (*session.back, *session.new)]


def test_an_empty_script_asks_for_nothing():
    session = session_on(TODAY, (), 10)
    assert (session.count, session.minutes) == (0, 0)


def test_a_script_of_one_word_is_one_sentence_to_say():
    session = session_on(TODAY, stand([sentence("Cheers!")]), 10)
    assert (session.count, session.minutes) == (1, 1)


def test_new_sentences_fill_the_minutes_of_a_day_and_no_more():
    session = session_on(TODAY, stand(script(100)), 10)
    assert session.seconds >= 10 * 60
    assert session.seconds - session.new[-1].seconds < 10 * 60


def test_planned_claims_are_learnt_first_and_come_back_sooner():
    plain, claim = sentence(LAMP), sentence(JUG, planned=True)
    assert texts(session_on(TODAY, stand([plain, claim]), 0.5)) == [JUG]
    said = stand([plain, claim], [mark(LAMP), mark(JUG)])
    assert [one.due_on() for one in said] == [day(2), day(1)]


@pytest.mark.parametrize(("how", "days"), [("sat", 2), ("stumbled", 1), ("gone", 1)])
def test_a_sentence_comes_back_the_later_the_better_it_sat(how, days):
    assert stand([sentence(LAMP)], [mark(LAMP, how)])[0].due_on() == day(days)


def test_what_was_left_out_on_stage_comes_back_at_once():
    lamp = sentence(LAMP, claims=["d1:descriptor:lamp oil"])
    run_ms = round(BEGAN.timestamp() * 1000) + 60_000
    missed = {"d1:descriptor:lamp oil": Missed("lamp oil", 1, 3, run_ms)}
    marks = [mark(LAMP), mark(JUG)]
    session = session_on(TODAY, stand([lamp, sentence(JUG)], marks, missed), 10)
    assert texts(session) == [LAMP]
    later = stand([lamp], [*marks, mark(LAMP, number=5)], missed)
    assert session_on(TODAY, later, 10).count == 0


def test_a_changed_sentence_comes_back_at_once():
    known = [mark("The lamp is lit and warm.")]
    assert texts(session_on(TODAY, stand([sentence("The lamp is lit and cold.")], known), 10))


def test_every_sentence_comes_back_once_more_in_the_days_before_the_stage():
    sentences = script(60)
    marks = [mark(each.text, number=each.index) for each in sentences]
    marks += [mark(each.text, days=2, number=each.index) for each in sentences]
    stage, said = day(8), set()
    for days in range(3, 8):
        all_ = stand(sentences, marks)
        for one in session_on(day(days), all_, 10, stage).back:
            said.add(one.sentence.index)
            marks.append(mark(one.sentence.text, days=days, number=one.sentence.index))
    assert said == set(range(60))
    assert session_on(day(9), stand(sentences, marks), 10, stage).back == ()


def test_minutes_already_spent_are_not_asked_for_again():
    sentences = script(100)
    first = session_on(TODAY, stand(sentences), 10)
    marks = [mark(one.sentence.text, number=n) for n, one in enumerate(first.new)]
    after = stand(sentences, marks)
    assert spent_on(TODAY, after) == pytest.approx(first.seconds)
    assert session_on(TODAY, after, 10, spent_s=spent_on(TODAY, after)).count == 0


@pytest.mark.parametrize(("how", "is_lost"), [("gone", True), ("stumbled", True), ("sat", False)])
def test_what_went_wrong_in_a_recording_is_lost_until_it_is_said_again(how, is_lost):
    (standing,) = stand([sentence(LAMP)], [mark(LAMP, how=how, run_id="run-1")])
    assert standing.is_lost is is_lost
    (again,) = stand([sentence(LAMP)], [mark(LAMP, how=how)])
    assert not again.is_lost
