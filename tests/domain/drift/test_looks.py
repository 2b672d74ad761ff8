"""Changes told in two tiers: how many are told, and how few of stable histories."""

import numpy as np
import pytest
from scipy import stats

from server.domain.drift.looks import LOOK_ALARMS, SURE_ALARMS, WHOLE, looks

RUNS, SEGMENTS, TRIED = 12, 16, 60


def history(seed, *, runs=RUNS, tails=False):
    random = np.random.default_rng(seed)
    shape = (runs, SEGMENTS)
    scatter = random.standard_t(3, shape) if tails else random.standard_normal(shape)
    day = 0.02 * random.standard_normal((runs, 1))
    return np.linspace(15, 60, SEGMENTS) * np.exp(day + 0.06 * scatter)


@pytest.mark.parametrize("tails", [False, True])
def test_few_stable_histories_show_anything(tails):
    told = [looks(history(seed, tails=tails), 299).found for seed in range(TRIED)]
    sure = sum(any(each.tier == "sure" for each in found) for found in told)
    assert sum(map(bool, told)) <= stats.binom.ppf(0.999, TRIED, LOOK_ALARMS)
    assert sure <= stats.binom.ppf(0.999, TRIED, SURE_ALARMS)


def test_a_change_of_twelve_seconds_is_told_with_its_place_and_size():
    named = placed = held = 0
    for seed in range(TRIED):
        splits = history(seed)
        splits[6:, 5] += 12
        look = looks(splits, 299).of(5)
        if look is not None:
            named += 1
            placed += look.at == 6
            held += look.low_s <= 12 <= look.high_s
    assert named == TRIED
    assert placed >= 0.9 * TRIED
    assert held >= 0.85 * TRIED


def test_a_slow_day_is_no_change_of_segments():
    splits = history(3)
    splits[8] *= 1.3
    assert all(each.tier != "sure" for each in looks(splits).found)


def test_a_whole_run_that_got_longer_is_told_of_the_whole():
    splits = history(5)
    splits[6:] *= 1.15
    found = looks(splits).found
    assert [each.column for each in found] == [WHOLE]
    assert found[0].low_s < 0.15 * splits[:6].sum(axis=1).mean() < found[0].high_s


def test_four_changes_at_once_are_all_told():
    splits = history(7, runs=20)
    splits[12:, [2, 6, 9, 14]] *= 0.75
    sure = [each for each in looks(splits).found if each.tier == "sure"]
    assert {each.column for each in sure} == {2, 6, 9, 14}
    assert all(each.shift_s < 0 and each.at == 12 for each in sure)


def test_gaps_and_equal_times_are_no_change():
    splits = np.full((12, 4), 30.0)
    splits[3, 1] = np.nan
    splits[:, 2] = np.nan
    assert looks(splits).found == ()


def test_a_run_without_a_split_keeps_its_number_and_says_nothing_else():
    splits = history(13, runs=13)
    splits[7:, 5] += 14
    splits[3] = np.nan
    look = looks(splits).of(5)
    assert (look.at, look.tier) == (7, "sure")


def test_a_run_with_a_split_of_a_former_segment_alone_is_left_out():
    splits = np.column_stack([history(17), np.full(12, np.nan)])
    splits[3] = np.nan
    splits[3, -1] = 20.0
    assert looks(splits).found == ()


def test_too_few_runs_tell_nothing():
    assert looks(history(1, runs=7)).found == ()


def test_four_in_five_changes_of_the_size_that_can_be_told_are_told():
    named = 0
    for seed in range(TRIED):
        splits = history(seed)
        splits[6:, 8] += looks(splits, 299).tellable_s[8]
        named += looks(splits, 299).of(8) is not None
    assert stats.binom.ppf(0.001, TRIED, 0.75) <= named


def test_the_same_runs_always_show_the_same():
    splits = history(11)
    splits[6:, 4] += 8
    assert looks(splits) == looks(splits.copy())
