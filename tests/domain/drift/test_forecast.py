"""Outside checks: intervals for one future value as worked in Montgomery and Runger, Applied
Statistics and Probability for Engineers (Ex. 8-73) and in course notes, and its tabled factors."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.drift.forecast import (
    LEVELS,
    chance_between,
    forecast,
    forecasts,
    textbook_interval,
)
from tests.factories import RULES

COSTLY = replace(RULES, penalty_per_s=1.5, penalty_cap=30.0, grace_s=2.0, cutoff_s=660.0)
TOTALS = np.array([588.2, 591.0, 597.5, 586.1, 593.3, 589.9, 602.4, 590.7, 585.2, 594.6])

totals = st.lists(st.integers(300_000, 900_000), min_size=1, max_size=60).map(
    lambda values: np.array(values) / 1000
)


def with_moments(n, mean, sd):
    values = np.arange(n, dtype=float)
    return np.array([(values - values.mean()) / values.std(ddof=1) * sd + mean])


@pytest.mark.parametrize(
    ("n", "mean", "sd", "low", "high", "within"),
    [
        (16, 60139.7, 3645.94, 52131.1, 68148.3, 2.0),
        (10, 1312, 25, 1312 - 59.31, 1312 + 59.31, 0.5),
    ],
    ids=["tyre life", "course notes"],
)
def test_the_textbook_interval_is_that_of_the_textbooks(n, mean, sd, low, high, within):
    # The books round t to three decimals, which moves the first pair of bounds by 1.7.
    middle, reach = textbook_interval(with_moments(n, mean, sd), 0.95)
    assert (middle[0] - reach[0], middle[0] + reach[0]) == pytest.approx((low, high), abs=within)


def test_the_textbook_interval_of_the_handbooks_ten_values():
    flow = np.array([[49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]])
    middle, reach = textbook_interval(flow, 0.95)
    assert (middle - reach, middle + reach) == pytest.approx((45.985, 55.635), abs=1e-3)


@pytest.mark.parametrize(
    ("n", "two_sided", "one_sided"),
    [
        (3, 4.968, 3.372), (4, 3.558, 2.631), (5, 3.041, 2.335), (6, 2.777, 2.177),
        (8, 2.508, 2.010), (10, 2.373, 1.923), (12, 2.291, 1.869), (15, 2.215, 1.819),
        (20, 2.145, 1.772),
    ],
)  # fmt: skip
def test_the_factors_are_those_tabled(n, two_sided, one_sided):
    values = with_moments(n, 0, 1)
    assert textbook_interval(values, 0.95)[1][0] == pytest.approx(two_sided, abs=1e-3)
    assert textbook_interval(values, 0.90)[1][0] == pytest.approx(one_sided, abs=1e-3)


# With few runs


def test_without_runs_nothing_is_said():
    told = forecast(np.array([]), RULES)
    assert (told.runs, told.median_s, told.intervals, told.inside) == (0, None, (), None)
    assert "no run" in told.caution


def test_one_run_says_nothing_about_the_next():
    told = forecast(np.array([592.0]), RULES)
    assert (told.median_s, told.intervals, told.inside, told.penalty) == (592.0, (), None, None)
    assert told.caution


@pytest.mark.parametrize("n", [2, 3, 4])
def test_two_to_four_runs_are_forecast_with_a_caution_and_without_a_penalty(n):
    told = forecast(TOTALS[:n], RULES)
    assert (told.used, told.penalty) == (n, None)
    assert told.caution
    assert 0 < told.inside < 1


def test_from_five_runs_on_there_is_a_penalty_and_no_caution():
    told = forecast(TOTALS[:5], RULES)
    assert told.penalty is not None
    assert told.caution == ""


# Chances and penalty


@given(totals)
def test_intervals_lie_within_each_other_around_the_median(values):
    told = forecast(values, RULES)
    if told.intervals:
        inner, outer = (told.interval(level) for level in LEVELS)
        assert 0 <= outer.low_s <= inner.low_s <= told.median_s <= inner.high_s <= outer.high_s


@given(totals)
def test_by_the_target_is_never_likelier_than_inside_the_slot(values):
    told = forecast(values, RULES)
    if told.inside is not None:
        assert 0 <= told.on_target <= told.inside <= 1


@given(totals, st.integers(1, 60))
def test_slower_runs_are_never_likelier_to_fit(values, slower):
    told, later = forecast(values, COSTLY), forecast(values + slower, COSTLY)
    if told.inside is not None:
        assert later.inside <= told.inside + 1e-9
        assert later.cut_off >= told.cut_off - 1e-9
    if told.penalty is not None:
        assert later.penalty >= told.penalty - 1e-9


def test_the_expected_penalty_is_the_mean_over_what_may_happen():
    random = np.random.default_rng(1)
    values = random.normal(598, 6, 38)
    drawn = [COSTLY.penalty(total) for total in random.normal(598, 6, 100_000)]
    assert forecast(values, COSTLY).penalty == pytest.approx(np.mean(drawn), rel=0.35)


def test_a_cap_bounds_the_penalty_and_free_time_costs_nothing():
    assert forecast(TOTALS + 300, COSTLY).penalty == pytest.approx(30, abs=0.5)
    assert forecast(TOTALS - 200, COSTLY).penalty == pytest.approx(0, abs=0.2)


def test_a_rule_sheet_without_a_cut_off_cuts_nobody_off():
    assert forecast(TOTALS, RULES).cut_off == 0
    assert 0 < forecast(TOTALS + 60, COSTLY).cut_off < 1


def test_the_chance_between_two_times_is_what_lies_between():
    told = forecast(TOTALS, RULES)
    between = chance_between(TOTALS, RULES.target_s, RULES.slot_s)
    assert between == pytest.approx(told.inside - told.on_target)
    assert chance_between(TOTALS[:1], 590, 600) is None


def test_chances_to_fit_come_true_as_often_as_they_say():
    random = np.random.default_rng(3)
    said = seen = 0.0
    for row in random.normal(597, 8, (400, 13)):
        said += forecast(row[:-1], RULES).inside
        seen += row[-1] <= RULES.slot_s
    assert seen / 400 == pytest.approx(said / 400, abs=3 * (0.25 / 400) ** 0.5)


def test_a_jump_and_a_slope_are_followed():
    random = np.random.default_rng(4)
    jumped = np.concatenate([random.normal(640, 6, 25), random.normal(590, 6, 12)])
    told = forecast(jumped, RULES)
    assert (told.basis, told.used) == ("change", 12)
    assert told.median_s == pytest.approx(590, abs=6)
    sloping = 660 - 2 * np.arange(30) + random.normal(0, 5, 30)
    assert forecast(sloping, RULES).median_s == pytest.approx(600, abs=6)


def test_earlier_forecasts_are_those_that_stood_then():
    values = np.random.default_rng(5).normal(592, 8, 70)
    told = forecasts(values, COSTLY, range(71))
    for runs in (0, 1, 2, 8, 40, 55, 70):
        alone = forecast(values[:runs], COSTLY)
        assert (told[runs].used, told[runs].inside) == (alone.used, alone.inside)
        assert told[runs].intervals == alone.intervals
    assert told[70].penalty == forecast(values, COSTLY).penalty


def test_a_mishap_of_ten_minutes_does_not_ruin_the_forecast():
    values = np.random.default_rng(6).normal(590, 6, 25)
    spoilt = values.copy()
    spoilt[10] += 600
    before, after = forecast(values, RULES), forecast(spoilt, RULES)
    assert after.median_s == pytest.approx(before.median_s, abs=2)
    assert after.interval(0.8).high_s < before.interval(0.8).high_s + 6
    assert after.inside > before.inside - 0.08
