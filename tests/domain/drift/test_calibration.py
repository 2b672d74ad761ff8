"""How earlier forecasts did, over histories whose law is known."""

import numpy as np

from server.domain.belief.believe import PastTotal
from server.domain.belief.total import TotalAhead
from server.domain.drift.calibration import LEVELS, calibration, interval_of
from tests.domain.drift.histories import make_ahead, make_lines, make_plan
from tests.factories import RULES

AHEAD = TotalAhead(log_s=np.log(595), scale=0.015, freedom=8, rate=0.0)


def after(totals):
    return [PastTotal(AHEAD, total, f"r{n}") for n, total in enumerate(totals)]


def drawn(count, *, wider=1.0):
    random = np.random.default_rng(2)
    return 595 * np.exp(0.015 * wider * random.standard_t(8, count))


def test_each_run_meets_the_forecast_that_stood_before_it():
    splits = 50 + np.random.default_rng(1).normal(0, 2, (8, 4))
    lines, plan = make_lines(splits), make_plan(4)
    past = make_ahead(plan, lines).past
    assert [each.run_id for each in past] == [line.id for line in lines]
    before = make_ahead(plan, lines[:5]).past
    assert past[:5] == before


def test_of_runs_drawn_as_was_said_as_many_are_held():
    for coverage in calibration(after(drawn(400)), RULES).coverage:
        assert coverage.low <= coverage.level <= coverage.high
        assert coverage.said == 400


def test_chances_to_fit_add_up_to_the_runs_that_did():
    found = calibration(after(drawn(400)), RULES)
    assert abs(found.inside_seen - found.inside_expected) < 3 * (400 / 4) ** 0.5


def test_runs_wilder_than_was_said_show_that_forecasts_were_too_sure():
    found = calibration(after(drawn(100, wider=3.0)), RULES).coverage[0]
    assert found.high < found.level


def test_a_run_is_held_where_it_lies_within_the_interval_that_is_shown():
    for level in LEVELS:
        low_s, high_s = interval_of(after([600.0])[0], level)
        told = after([low_s - 0.1, low_s + 0.1, high_s - 0.1, high_s + 0.1])
        assert [each.held(level) for each in told] == [False, True, True, False]


def test_without_a_forecast_there_is_nothing_to_judge():
    assert calibration([], RULES) is None
