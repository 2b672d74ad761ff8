from dataclasses import replace

import pytest

from server.domain.belief.words_pace import learn_paces
from server.domain.whole.talk import planned_times, spoken_splits, voice_times, words_over
from tests.factories import make_line, make_process, make_routine, make_segment

PACES = learn_paces([])
FIFTEEN = "One two three four five six seven eight nine ten eleven twelve thirteen more words."


def test_words_take_as_long_as_the_pace_says():
    spoken = make_segment("s1", said=FIFTEEN)
    (seconds,) = voice_times([spoken], PACES, "en").values()
    # 15 words at 145 words a minute.
    assert seconds == pytest.approx(15 / 145 * 60)


def test_hands_alone_and_segments_without_words_take_no_talk():
    silent = (make_segment("s1"), make_segment("s2", lane="hands", said=FIFTEEN))
    assert voice_times(silent, PACES, "en") == {}


def test_a_segment_is_planned_for_the_longer_of_hands_and_voice():
    segments = (make_segment("s1", 2, said=FIFTEEN), make_segment("s2", 20, said=FIFTEEN))
    planned = planned_times(segments, PACES, "en")
    assert planned["s1"] == pytest.approx(15 / 145 * 60)
    assert planned["s2"] == 20


def test_runs_tell_the_pace_by_the_words_of_their_own_plan():
    then = make_segment("s1", lane="voice", said=FIFTEEN)
    routine = make_routine(segments=(make_segment("s1", lane="voice", said="Shorter now."),))
    (split,) = spoken_splits(routine, [make_line(splits_s={"s1": 6.0})], {"run1": (then,)})
    assert (split.words, split.sentences, split.split_s) == (15, 1, 6.0)


def test_the_time_spent_waiting_for_a_process_is_no_talk():
    segments = (make_segment("s1", lane="hands"), make_segment("s2", lane="voice", said=FIFTEEN))
    drip = make_process(after="s1", before="s2")
    line = make_line(splits_s={"s1": 10.0, "s2": 26.0})
    late = replace(line.summary, missed=(drip.id,), process_ms={drip.id: 20_000})
    routine = make_routine(segments=segments, processes=(drip,))
    (split,) = spoken_splits(routine, [replace(line, summary=late)], {"run1": segments})
    # From 0:10 on it was waited for; ready at 0:30, and the talk over at 0:36.
    assert split.split_s == 6.0


@pytest.mark.parametrize("changes", [{"alongside": True}, {"helper": True, "lane": "hands"}])
def test_segments_beside_others_tell_nothing_of_the_pace(changes):
    then = make_segment("s1", said=FIFTEEN, **changes)
    line = make_line(splits_s={"s1": 6.0})
    assert spoken_splits(make_routine(), [line], {"run1": (then,)}) == []


def test_words_of_a_segment_that_is_fitted_are_cut_to_its_planned_time():
    short = make_segment("s1", 2, said=FIFTEEN)
    assert voice_times([short], PACES, "en", {"s1"}) == {"s1": 2}
    assert planned_times([short], PACES, "en", {"s1"}) == {"s1": 2}


def test_so_many_words_must_go_as_fill_the_time_beyond_the_plan():
    # 15 words take 6.2 s: in 3 s about half of them are said.
    assert words_over(make_segment("s1", 3, said=FIFTEEN), PACES, "en") == 8
    assert words_over(make_segment("s1", 7, said=FIFTEEN), PACES, "en") == 0
    assert words_over(make_segment("s1", 3), PACES, "en") == 0
