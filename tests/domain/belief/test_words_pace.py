"""Outside check of the published rates: the standard passage of 113 words and the address of 272
words at 140, 150 and 160 words a minute take as long as arithmetic says."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.belief.assumptions import Assumptions
from server.domain.belief.words_pace import SpokenSplit, learn_pace, learn_paces
from server.domain.claims.pace import PAUSE_S, SENTENCE_WORDS, costs, measure, seconds_for
from tests.domain.base.test_words import GETTYSBURG, NORTH_WIND

PRIOR = learn_pace([])
PRIOR_WPM = Assumptions().pace_wpm


def split(wpm, *, segment="s", words=90, lane="voice"):
    """A split in 15-word sentences, at so many words a minute with its pauses."""
    return SpokenSplit(segment, words, round(words / SENTENCE_WORDS), words / wpm * 60, lane)


def test_without_runs_the_pace_is_the_published_one_and_says_so():
    assert PRIOR.words_per_minute == pytest.approx(PRIOR_WPM)
    assert 100 < PRIOR.low_wpm < 125 < 168 < PRIOR.high_wpm < 200
    assert "No run has measured your pace" in PRIOR.note


@pytest.mark.parametrize(("words", "sentences"), [(150, 10), (300, 20)])
def test_sentences_of_the_usual_length_come_out_at_the_published_rate(words, sentences):
    assert seconds_for(words, sentences, PRIOR) == pytest.approx(words / PRIOR_WPM * 60)


@pytest.mark.parametrize(("text", "words"), [(NORTH_WIND, 113), (GETTYSBURG, 272)])
def test_known_texts_take_about_as_long_as_their_words_at_that_rate(text, words):
    counted, sentences = measure(text)
    assert counted == words
    # Longer sentences than usual, so fewer pauses: within a tenth of the plain division.
    assert seconds_for(counted, sentences, PRIOR) == pytest.approx(words / PRIOR_WPM * 60, rel=0.1)


def test_the_costs_of_sentences_add_up_to_the_text():
    each = costs(NORTH_WIND, PRIOR)
    assert len(each) == 5
    assert sum(cost.seconds for cost in each) == pytest.approx(seconds_for(113, 5, PRIOR))


def test_a_sentence_costs_its_words_and_one_pause():
    (cost,) = costs("Forty-five millilitres.", PRIOR)
    assert cost.words == 3
    assert cost.seconds == pytest.approx(3 * PRIOR.word_s + PAUSE_S)


def test_one_run_moves_the_pace_part_of_the_way():
    pace = learn_pace([split(180)])
    assert PRIOR_WPM < pace.words_per_minute < 180
    assert (pace.segments, pace.runs, pace.note) == (1, 1, "")


def test_many_runs_of_many_segments_outweigh_the_prior():
    splits = [split(180, segment=f"s{n}") for n in range(12) for _ in range(10)]
    assert learn_pace(splits).words_per_minute == pytest.approx(180, rel=0.01)


def test_runs_of_one_segment_alone_never_count_as_many_segments():
    many = learn_pace([split(180) for _ in range(1000)])
    few = learn_pace([split(180, segment=f"s{n}") for n in range(5)])
    assert many.high_wpm - many.low_wpm > few.high_wpm - few.low_wpm


def test_segments_where_the_hands_work_count_only_where_there_are_no_others():
    slow = split(120, segment="hands too", lane="both")
    assert learn_pace([split(150), slow]) == learn_pace([split(150)])
    alone = learn_pace([slow])
    assert alone.words_per_minute < PRIOR_WPM
    assert "hands" in alone.note


def test_where_the_hands_set_the_time_nothing_is_learnt_of_the_pace():
    # 90 words in a minute and a half: they would have filled 37 seconds.
    assert learn_pace([split(60, lane="both") for _ in range(4)]) == PRIOR


def test_a_measured_segment_has_the_pace_that_was_measured_there():
    paces = learn_paces([split(wpm, segment="s1") for wpm in (180, 190, 200)])
    assert seconds_for(90, 6, paces.of("s1")) == pytest.approx(90 / 190 * 60)
    assert paces.of("s2") == paces.common


def test_words_that_were_said_quicker_than_the_pace_have_the_time_they_took():
    paces = learn_paces([split(200, segment="s1", lane="both")] * 4)
    assert seconds_for(90, 6, paces.of("s1")) == pytest.approx(27)


def test_a_segment_whose_hands_set_the_time_has_no_pace_of_its_own():
    assert "s1" not in learn_paces([split(60, segment="s1", lane="both")]).own


@pytest.mark.parametrize(("words", "teaches"), [(7, False), (8, True)])
def test_a_split_teaches_from_eight_words_on(words, teaches):
    assert (learn_pace([split(180, words=words)]) != PRIOR) is teaches


@pytest.mark.parametrize(
    "odd",
    [
        SpokenSplit("s", 3, 1, 2.0),
        SpokenSplit("s", 90, 6, 0.0),
        SpokenSplit("s", 90, 6, 5.0),
        SpokenSplit("s", 90, 6, 500.0),
        SpokenSplit("s", 90, 6, 36.0, "hands"),
    ],
)
def test_a_split_that_is_no_talk_teaches_nothing(odd):
    assert learn_pace([odd]) == PRIOR


@given(st.lists(st.floats(110, 190), min_size=1, max_size=8))
def test_the_pace_lies_between_the_prior_and_what_was_run(rates):
    pace = learn_pace([split(wpm, segment=f"s{n}") for n, wpm in enumerate(rates)])
    assert min(*rates, PRIOR_WPM) - 1e-6 <= pace.words_per_minute <= max(*rates, PRIOR_WPM) + 1e-6


@given(st.integers(0, 500), st.integers(1, 40), st.integers(1, 40))
def test_more_words_or_sentences_never_cost_less(words, more, sentences):
    assert seconds_for(words + more, sentences, PRIOR) > seconds_for(words, sentences, PRIOR)
    assert seconds_for(words, sentences + 1, PRIOR) > seconds_for(words, sentences, PRIOR)


def test_without_runs_all_of_the_pace_is_assumed_and_with_runs_less_and_less():
    few, many = (
        learn_pace([SpokenSplit(f"s{n}", 60, 4, 25.0) for n in range(count)]) for count in (1, 12)
    )
    assert learn_pace([]).assumed == pytest.approx(1.0)
    assert 1.0 > few.assumed > many.assumed > 0.0


def test_the_ends_of_the_range_take_longer_and_shorter():
    pace = learn_pace([])
    slow, likely, fast = (seconds_for(150, 10, each) for each in (pace.slowest, pace, pace.fastest))
    assert slow > likely > fast


def test_a_presenter_who_gets_faster_is_read_by_the_latest_runs():
    slow = [SpokenSplit("s1", 120, 8, 60.0) for _ in range(30)]
    fast = [SpokenSplit("s1", 120, 8, 48.0) for _ in range(8)]
    paces = learn_paces([*slow, *fast])
    alone = learn_paces(fast)
    assert paces.of("s1") == alone.of("s1")
    assert paces.common == alone.common
