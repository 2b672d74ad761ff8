"""The whole next run. Outside check: the penalty against many draws of the same law."""

from dataclasses import replace

import numpy as np
import pytest

from server.domain.belief.total import TotalAhead
from server.domain.risk.summing import penalties
from tests.factories import RULES

AHEAD = TotalAhead(log_s=np.log(595), scale=0.02, freedom=8, rate=0.2, costs_s=(5.0, 20.0))


def drawn(ahead, count=400_000):
    random = np.random.default_rng(3)
    plain = np.exp(ahead.log_s + ahead.scale * random.standard_t(ahead.freedom, count))
    costs = random.choice(ahead.costs_s, count) * (random.random(count) < ahead.rate)
    return plain + costs


@pytest.mark.parametrize(
    "rules",
    [
        RULES,
        replace(RULES, grace_s=3.0, penalty_per_s=0.5),
        replace(RULES, penalty_per_s=2.0, penalty_cap=7.0),
        replace(RULES, penalty_cap=0.0),
        replace(RULES, penalty_per_s=5.0, penalty_every_s=15.0),
    ],
    ids=[
        "each second",
        "grace",
        "cap within a second",
        "no points",
        "for every quarter of a minute",
    ],
)
def test_the_expected_penalty_is_the_mean_over_runs_of_that_law(rules):
    found = AHEAD.penalty(rules)
    assert found == pytest.approx(penalties(drawn(AHEAD), rules).mean(), rel=0.02, abs=1e-9)


def test_a_law_without_a_mean_expects_a_penalty_all_the_same():
    wild = replace(AHEAD, scale=2.0, freedom=3)
    assert 0 < AHEAD.penalty(RULES) < wild.penalty(RULES) < 86_400


def test_a_run_that_surely_fits_expects_no_penalty():
    assert TotalAhead(log_s=np.log(600), scale=0.0, freedom=6, rate=0.0).penalty(RULES) == 0
