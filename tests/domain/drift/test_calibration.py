import numpy as np
import pytest

from server.domain.drift.calibration import HISTORY_RUNS, calibration, history
from server.domain.drift.forecast import forecast
from tests.factories import RULES

IDS = [f"r{number}" for number in range(400)]


def told_of(totals):
    return history(np.asarray(totals, dtype=float), IDS, RULES)


def test_each_run_meets_the_forecast_that_stood_before_it():
    totals = np.random.default_rng(1).normal(592, 8, 30)
    past, ahead = told_of(totals)
    assert [each.run_id for each in past] == IDS[1:30]
    assert [each.total_s for each in past] == pytest.approx(totals[1:])
    assert past[11].forecast.inside == forecast(totals[:12], RULES).inside
    assert ahead == forecast(totals, RULES)


def test_of_stable_runs_as_many_are_held_as_was_said():
    past, _ = told_of(np.random.default_rng(2).standard_t(4, 400) * 8 + 595)
    for coverage in calibration(past, RULES).coverage:
        assert coverage.low <= coverage.level <= coverage.high
        assert coverage.said == HISTORY_RUNS


def test_chances_to_fit_add_up_to_the_runs_that_did():
    past, _ = told_of(np.random.default_rng(3).normal(598, 8, 400))
    found = calibration(past, RULES)
    assert found.inside_seen == pytest.approx(
        found.inside_expected, abs=3 * (HISTORY_RUNS / 4) ** 0.5
    )


def test_runs_that_get_wilder_show_that_forecasts_were_too_sure():
    random = np.random.default_rng(4)
    totals = 590 + random.normal(size=60) * 1.15 ** np.arange(60)
    past, _ = told_of(totals)
    found = calibration(past, RULES).coverage[0]
    assert found.high < found.level


def test_a_run_held_by_no_interval_is_counted_as_such():
    past, _ = told_of([590.0, 591, 592, 590, 591, 700])
    assert past[-1].held(0.8) is False
    assert past[0].held(0.8) is None


@pytest.mark.parametrize("totals", [[], [590.0]])
def test_without_a_forecast_there_is_nothing_to_judge(totals):
    past, _ = told_of(totals)
    assert calibration(past, RULES) is None


def test_a_forecast_from_one_run_judges_nothing_either():
    past, _ = told_of([590.0, 592.0])
    assert len(past) == 1
    assert calibration(past, RULES) is None
