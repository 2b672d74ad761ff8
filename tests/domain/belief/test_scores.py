"""Outside check: scipy.stats."""

import numpy as np
import pytest
from scipy import stats

from server.domain.belief.scores import (
    GRID,
    HIGHEST_SCORE,
    grid_probabilities,
    middles,
    normal_scores,
    student_chance,
    student_row,
)

SCORES = np.linspace(-HIGHEST_SCORE, HIGHEST_SCORE, GRID, endpoint=False)


def test_the_grid_knows_the_probability_below_each_score():
    assert grid_probabilities() == pytest.approx(stats.norm.cdf(SCORES), rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("freedom", [4, 6, 7, 18, 100, 1000])
def test_a_student_row_is_scipys_quantile_at_each_score(freedom):
    drawn = abs(SCORES) < 5  # beyond, a score comes once in two million draws
    expected = stats.t(freedom).isf(stats.norm.sf(abs(SCORES))) * np.sign(SCORES)
    assert student_row(freedom)[drawn] == pytest.approx(expected[drawn], rel=5e-3, abs=2e-3)


@pytest.mark.parametrize("freedom", [1, 4, 7, 120])
def test_a_chance_under_students_law_is_scipys(freedom):
    values = np.array([-3000.0, -4.0, -1.0, 0.0, 0.3, 2.0, 50.0])
    expected = stats.t(freedom).cdf(values)
    assert student_chance(values, freedom) == pytest.approx(expected, rel=2e-3, abs=1e-9)


def test_normal_scores_have_mean_zero_and_variance_one():
    scores = normal_scores(100)
    assert np.mean(scores) == pytest.approx(0, abs=1e-12)
    assert np.var(scores) == pytest.approx(1)
    assert scores == pytest.approx(stats.norm.ppf(middles(100)), rel=0.02)


def test_a_single_score_is_the_middle():
    assert list(normal_scores(1)) == [0.0]
