"""What is folded into a state, and the whole that is told from it."""

import numpy as np
import pytest

from server.domain.belief.assumptions import Assumptions
from server.domain.belief.day import day_of_total
from server.domain.belief.levels import Now
from server.domain.belief.shared_pace import PaceAhead, days_between
from server.domain.belief.state import started, total_ahead
from tests.domain.belief.practices import DAY_MS, make_plan


def test_of_many_parts_the_whole_takes_the_mean_of_each_though_their_medians_are_usual():
    """By the law of large numbers; the mean of a lognormal time is exp(mu + sigma²/2)."""
    parts, variance = 400, 0.3
    state = started(make_plan([30.0] * parts), Assumptions())
    usual, none = np.full(parts, np.log(30.0)), np.zeros(parts)
    pace = PaceAhead(level=0.0, scale2=0.0, level_scale2=0.0, freedom=6.0)
    now = Now(usual, np.full(parts, variance), none)
    told = total_ahead(state, now, pace, np.ones(parts, dtype=bool))
    times_s = np.exp(usual + np.sqrt(variance) * np.random.default_rng(2).normal(size=(500, parts)))
    assert np.exp(told.log_s) == pytest.approx(np.median(times_s.sum(axis=1)), rel=0.004)


def test_a_run_without_splits_was_as_slow_as_its_total_less_what_else_took_time():
    day = day_of_total(110.0, beside_s=10.0, expected=np.log(80.0))
    assert np.exp(day.value) == pytest.approx(100 / 80)


def test_a_total_shorter_than_what_usually_goes_beside_is_still_some_time():
    assert np.isfinite(day_of_total(5.0, beside_s=10.0, expected=np.log(80.0)).value)


@pytest.mark.parametrize(
    ("earlier_ms", "later_ms", "days"),
    [(0, 3 * DAY_MS // 2, 1.5), (DAY_MS, 0, 0), (None, DAY_MS, 0), (0, None, 0)],
)
def test_time_between_runs_is_days_and_none_where_it_is_unknown_or_runs_backwards(
    earlier_ms, later_ms, days
):
    assert days_between(earlier_ms, later_ms) == days
