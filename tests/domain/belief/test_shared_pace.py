"""The filter of the shared pace, against a published table and a general-purpose library."""

from dataclasses import replace

import numpy as np
import pytest
from statsmodels.tsa.statespace.kalman_filter import KalmanFilter

from server.domain.belief import shared_pace
from server.domain.belief.assumptions import MOVEMENTS, Assumptions, Movement

PLAIN = Assumptions(tail=0.0, trimmed=1.0, memory=1.0)
"""Without weighing far runs down: the filter of the books."""


def followed(values, movements, *, level_var, day_var, runs=5.0, level=0.0):
    known = replace(PLAIN, movements=tuple(movements), day_runs=runs)
    pace = shared_pace.started(known, level_var, day_var)
    pace = replace(pace, mean=pace.mean + level * np.array([1.0, 0.0, 0.0, 0.0]))
    for value in values:
        pace = shared_pace.moved_on(pace, known)
        yield pace, (pace := shared_pace.seen(pace, float(value), known))


def test_levels_are_those_of_a_published_table():
    # West and Harrison, Bayesian Forecasting and Dynamic Models, second edition, table 2.1:
    # V = 100, W = 5, m = 130, C = 400; posterior means and variances.
    sales = [150, 136, 143, 154, 135, 148, 128, 149]
    means = [146.0, 141.4, 141.9, 145.3, 142.6, 143.9, 140.4, 142.2]
    variances = [80, 46, 34, 28, 25, 23, 22, 21]
    steady = Movement(wander=0.05, damping=1.0, slope=0.0, weight=1.0)
    found = followed(sales, [steady], level_var=400, day_var=100, level=130)
    after = [pace for _, pace in found]
    # The table is rounded as it goes along.
    assert [float(pace.level[0]) for pace in after] == pytest.approx(means, abs=0.2)
    assert [100 * float(pace.level_var[0]) for pace in after] == pytest.approx(variances, abs=0.7)


@pytest.mark.parametrize(("wander", "damping", "slope"), [
    (0.0, 1.0, 0.0), (0.13, 1.0, 0.0), (0.01, 1.0, 0.1), (0.0, 0.82, 0.3),
])  # fmt: skip
def test_each_forecast_is_that_of_a_general_kalman_filter(wander, damping, slope):
    values = np.random.default_rng(4).normal(size=15).cumsum()
    ours = [
        (float(before.level[0]), float(before.level_var[0]) + 1)
        for before, _ in followed(values, [Movement(wander, damping, slope, 1.0)],
                                  level_var=2.0, day_var=1.0)
    ]  # fmt: skip
    peer = KalmanFilter(k_endog=1, k_states=2, initialization="known",
                        constant=np.zeros(2), stationary_cov=np.diag([2.0, slope**2]),
                        design=[[1.0, 0.0]], obs_cov=[[1.0]], transition=[[1.0, 1.0], [0, damping]],
                        selection=np.eye(2), state_cov=np.diag([wander, 0.0]))  # fmt: skip
    # The library's first state is that of the first value; ours moves on before it.
    first = np.array([[1.0, 1.0], [0.0, damping]])
    cov = first @ np.diag([2.0, slope**2]) @ first.T + np.diag([wander, 0.0])
    peer.initialize_known(np.zeros(2), cov)
    peer.bind(values.copy())
    told = peer.filter()
    theirs = list(zip(told.forecasts[0], told.forecasts_error_cov[0, 0], strict=True))
    assert np.array(ours) == pytest.approx(np.array(theirs), rel=1e-9, abs=1e-12)


def test_the_spread_of_days_is_learnt_as_by_the_conjugate_rule():
    # Gelman et al., Bayesian Data Analysis, third edition, section 3.3, with a known mean of 0.
    values = np.array([1.0, -2.0, 0.5, 3.0])
    fixed = Movement(0.0, 1.0, 0.0, 1.0)
    *_, (_, after) = followed(values, [fixed], level_var=1e-12, day_var=2.0, runs=4.0)
    assert float(after.freedom[0]) == pytest.approx(8)
    assert float(after.variance[0]) == pytest.approx((4 * 2.0 + (values**2).sum()) / 8)


def test_models_count_by_how_well_they_foretold():
    still, quick = Movement(0.0, 1.0, 0.0, 0.5), Movement(1.0, 1.0, 0.0, 0.5)
    options = {"level_var": 1.0, "day_var": 1.0}
    *_, (_, climbing) = followed(np.arange(12.0) * 2, [still, quick], **options)
    *_, (_, level) = followed(np.resize([0.7, -0.7], 12), [still, quick], **options)
    assert climbing.weights[1] > 0.9 > 0.5 > level.weights[1]


def test_one_run_far_off_hardly_moves_the_pace():
    known = Assumptions()
    pace = shared_pace.started(known, 0.004, 0.0005)
    for value in [0.01, -0.01, 0.0, 0.02, -0.02, 0.0]:
        pace = shared_pace.seen(shared_pace.moved_on(pace, known), value, known)
    far = shared_pace.seen(shared_pace.moved_on(pace, known), float(np.log(10)), known)
    assert abs(shared_pace.ahead(shared_pace.moved_on(far, known)).level) < 0.02


def test_a_break_widens_the_forecast_by_a_bounded_amount():
    known = replace(Assumptions(), break_person=0.0, day_runs=50.0)
    pace = shared_pace.started(known, 0.0001, 0.0005)
    told = [
        shared_pace.ahead(shared_pace.moved_on(pace, known, days)) for days in (0, 5, 21, 365, 3650)
    ]
    scales, levels = [each.scale2 for each in told], [each.level for each in told]
    assert scales[0] == scales[1] < scales[2] < scales[3] == scales[4]
    assert scales[2] - scales[0] == pytest.approx(known.break_spread**2)
    assert levels == pytest.approx([0, 0, *(known.break_toll * n for n in (1, 2, 2))])


def practised(known, *, breaks, cost):
    """Steady practice with breaks of three weeks, each run after one slower; then five runs."""
    pace = shared_pace.started(known, 0.004, 0.0005)
    for number in range(breaks + 1):
        for run in range(5):
            after_break = number > 0 and run == 0
            pace = shared_pace.moved_on(pace, known, 21 if after_break else 2)
            value = cost if after_break else 0.01 * (-1) ** run
            pace = shared_pace.seen(pace, value, known)
    return pace


def test_practice_takes_back_what_a_break_cost():
    # The way without movement: in the others part of it may be a new level.
    known = replace(Assumptions(), movements=MOVEMENTS[:1])
    pace = shared_pace.moved_on(practised(known, breaks=0, cost=0.0), known, 21)
    pace = shared_pace.seen(pace, 0.06, known)
    levels = []
    for _ in range(6):
        pace = shared_pace.moved_on(pace, known, 2)
        levels.append(shared_pace.ahead(pace).level)
    assert levels[0] > 2 * levels[5] > 0
    assert levels == sorted(levels, reverse=True)


def test_breaks_of_before_tell_what_the_next_one_costs():
    known = Assumptions()

    def expected(breaks, cost):
        pace = practised(known, breaks=breaks, cost=cost)
        return [
            shared_pace.ahead(shared_pace.moved_on(pace, known, days)).level for days in (2, 21)
        ]

    costs = [after - usual for usual, after in (expected(0, 0), expected(3, 0.06), expected(3, 0))]
    assert costs[0] == pytest.approx(known.break_toll, rel=0.01)
    assert costs[1] > 2 * known.break_toll
    assert costs[2] < 0.6 * known.break_toll


def test_a_break_is_followed_as_by_a_general_kalman_filter():
    known = replace(PLAIN, movements=(Movement(0.1, 0.8, 0.3, 1.0),), break_spread=0.5,
                    break_toll=0.4, break_person=0.7, break_kept=0.6)  # fmt: skip
    values, days = np.random.default_rng(6).normal(size=12), np.resize([2, 2, 21, 3, 13], 12)
    # The spread of a break is in the unit of the values: V is held to 1.
    pace, ours = shared_pace.started(replace(known, day_runs=1e12), 2.0, 1.0), []
    steps, noises = np.zeros((4, 4, 12)), np.zeros((4, 4, 12))
    for at, (value, gap) in enumerate(zip(values, days, strict=True)):
        breaks = max(gap - known.break_days, 0) / (21 - known.break_days)
        steps[:, :, at] = [[1, 1, 0, 0], [0, 0.8, 0, 0], [0, 0, 0.6, breaks], [0, 0, 0, 1]]
        noises[:, :, at] = np.diag([0.1, 0.0, 0.25 * breaks, 0.0])
        pace = shared_pace.moved_on(pace, known, float(gap))
        ours.append((float(pace.level[0]), float(pace.level_var[0]) + 1))
        pace = shared_pace.seen(pace, float(value), known)
    # The library's first state is that of the first value, its n-th step leads to the next.
    peer = KalmanFilter(values[:, None], k_states=4, design=[[1.0, 0.0, 1.0, 0.0]], obs_cov=[[1.0]],
                        transition=np.roll(steps, -1, axis=2), selection=np.eye(4),
                        state_cov=np.roll(noises, -1, axis=2))  # fmt: skip
    first = steps[:, :, 0]
    start = np.diag([2.0, 0.09, 0.0, 0.49])
    peer.initialize_known(first @ [0, 0, 0, 0.4], first @ start @ first.T + noises[:, :, 0])
    told = peer.filter()
    theirs = list(zip(told.forecasts[0], told.forecasts_error_cov[0, 0], strict=True))
    assert np.array(ours) == pytest.approx(np.array(theirs), rel=1e-9, abs=1e-9)


def test_after_a_break_it_is_less_sure_how_the_pace_moves():
    known = Assumptions()
    pace = shared_pace.started(known, 0.004, 0.0005)
    sure = replace(pace, weights=np.array([1.0] + [0.0] * (len(known.movements) - 1)))
    told = [shared_pace.moved_on(sure, known, days).weights for days in (4, 21, 365)]
    assert told[0][0] == 1.0
    assert told[1][0] == told[2][0] < 1.0
    assert all(weights.sum() == pytest.approx(1) for weights in told)
