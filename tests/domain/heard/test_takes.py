"""Takes made and takes really spoken: starts, claims and numbers within what is aimed at."""

from functools import cache
from statistics import mean

import pytest

from tests.bench.heard import false_heard, made, recall, spoken, tally
from tests.domain.heard.fresh import fresh_takes

HALVES = pytest.mark.parametrize(
    "locked", [False, pytest.param(True, marks=pytest.mark.thorough)], ids=["open", "locked"]
)


@cache
def told(locked):
    """The made takes of one half."""
    return tally(made(locked))


@cache
def told_of_spoken(locked):
    """The takes of one half that a machine spoke and a recogniser heard."""
    return tally(spoken(locked))


@HALVES
def test_every_start_is_within_two_seconds_and_the_mean_within_a_third(locked):
    starts_s = told(locked).apart_s
    assert max(starts_s) < 2.0
    assert mean(starts_s) < 0.3


@HALVES
def test_a_start_that_is_two_seconds_off_is_called_a_guess(locked):
    assert told(locked).surely_off == told_of_spoken(locked).surely_off == []


@pytest.mark.parametrize(
    "every", [12, pytest.param(1, marks=pytest.mark.thorough)], ids=["some", "all"]
)
def test_on_fresh_takes_nothing_two_seconds_off_is_called_sure(every):
    of_fresh = tally(fresh_takes(put_away=False, every=every))
    assert of_fresh.surely_off == []
    assert mean(of_fresh.apart_s) < 0.3
    assert max(of_fresh.believed_s) < 2.0
    assert recall(of_fresh) >= 0.95
    assert false_heard(of_fresh) <= 0.01
    assert of_fresh.edges_certain["guess"] <= 0.25 * of_fresh.edges_certain.total()


@HALVES
def test_most_starts_are_sure(locked):
    certain = told(locked).certain
    assert certain["sure"] >= 0.85 * certain.total()
    assert certain["guess"] <= 0.05 * certain.total()


@HALVES
def test_claims_that_were_said_are_heard_or_to_be_listened_to(locked):
    assert recall(told(locked)) >= 0.95


@HALVES
def test_what_was_not_said_is_not_called_heard(locked):
    assert false_heard(told(locked)) <= 0.01


@HALVES
def test_takes_really_spoken_and_heard_keep_to_the_same_aims(locked):
    of_spoken = told_of_spoken(locked)
    assert max(of_spoken.apart_s) < 2.0
    assert recall(of_spoken) >= 0.95
    assert false_heard(of_spoken) <= 0.01


def test_numbers_said_otherwise_are_always_to_be_listened_to():
    hearings = {hearing for (fate, hearing) in told(False).claims if fate == "changed"}
    assert hearings == {"listen"}


def test_there_are_at_least_forty_takes_of_three_routines_half_of_them_locked():
    takes = [take for take, *_ in (*made(False), *made(True))]
    assert len({take.routine_id for take in takes}) == 3
    assert len(takes) >= 40
    assert 0.4 <= sum(take.is_locked for take in takes) / len(takes) <= 0.6
