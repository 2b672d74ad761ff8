"""What a segment takes beside its plan, and when that asks for something."""

import pytest

from server.domain.routine.estimate import TimeEstimate
from server.domain.whole.segment_times import takes_of


def takes(*splits_s, planned_s=40.0, believed_s=46.0, words_s=None):
    believed = TimeEstimate(believed_s - 2, believed_s, believed_s + 2)
    return takes_of(planned_s, believed, splits_s, words_s)


@pytest.mark.parametrize(
    ("splits_s", "runs"),
    [
        ((), 0),
        ((46, 46, 46), 3),
        ((46, 40, 46, 46), 2),
        ((46, 46, 40.5), 0),
        ((46, 46, 41.5), 0),
        ((46, 46, 41.6), 3),
    ],
)
def test_only_the_last_runs_in_a_row_make_a_segment_longer(splits_s, runs):
    assert takes(*splits_s).longer_runs == runs


def test_half_a_second_is_never_longer():
    assert takes(40.5, believed_s=40.4).longer_runs == 0
    assert takes(40.6, believed_s=40.4).longer_runs == 1


def test_one_run_that_was_held_up_is_no_growth_of_all_before_it():
    assert takes(43, 44, 43, 97, believed_s=87).longer_runs == 1
    assert takes(43, 44, 43, 97, believed_s=87).proposed_s is None


def test_a_grown_segment_is_proposed_the_whole_seconds_it_takes_now():
    assert takes(46, 46, 46, believed_s=45.6).proposed_s == 46
    assert takes(46, 46, 40, believed_s=45.6).proposed_s is None


@pytest.mark.parametrize(
    ("believed_s", "splits_s", "grown"),
    [
        (46, (46, 46, 46), True),
        (46, (46, 46), False),
        (41, (41, 41, 41), False),
        (41.5, (41, 42, 42), True),
        (38, (46, 46, 46), False),
    ],
)
def test_a_segment_has_grown_by_clear_seconds_in_three_runs_or_not(believed_s, splits_s, grown):
    assert takes(*splits_s, believed_s=believed_s).has_grown is grown


@pytest.mark.parametrize(
    ("then_s", "since_cut", "longer_runs"),
    [
        ((), 4, 4),
        ((40, 40, 40, 40), 4, 4),
        ((46, 46, 46, 46), 0, 0),
        # Planned for longer in the second of four: what was run before counts no more either.
        ((40, 46, 40, 40), 2, 2),
        # A plan that was only a little longer is as good as the plan of now.
        ((41.5, 41.5, 41.5, 41.5), 4, 4),
    ],
)
def test_runs_from_before_a_segment_was_cut_do_not_make_it_longer_than_planned(
    then_s, since_cut, longer_runs
):
    believed = TimeEstimate(44, 46, 48)
    found = takes_of(40.0, believed, (46, 46, 46, 46), 45.0, then_s)
    assert (found.runs, found.runs_since_cut, found.longer_runs) == (4, since_cut, longer_runs)
    assert found.has_grown is (longer_runs >= 3)
    # Until the shorter plan was run three times its words tell more than the runs.
    assert found.words_over_s == (0 if since_cut >= 3 else 5)


def test_long_words_ask_for_something_until_runs_have_measured_them():
    assert takes(words_s=44).words_over_s == 4
    assert takes(words_s=41).words_over_s == 0
    assert takes(words_s=None).words_over_s == 0
    assert takes(41, 41, 41, words_s=44).words_over_s == 0


def test_words_ask_for_time_from_the_same_seconds_on():
    assert takes(words_s=41.5).words_over_s == 1.5
    assert takes(words_s=41.4).words_over_s == 0.0
