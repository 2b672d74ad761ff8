"""How setting up moves from run to run, by the trend that drift is told by.

Of five rising times Kendall's S is 10 and p = 0.027 (Kendall 1975, with continuity: 9 / sqrt(16.67)
is 2.20); the slope is the median of all ten pairs.
"""

import pytest

from server.domain.prepare.outside import ChoreTimes, Outside
from server.domain.routine.preparing import Chore

CHORE = Chore("c1", "Machine on", 60.0)


def outside(*totals_s):
    return Outside("set_up", (), None, totals_s)


def test_setting_up_that_gets_faster_is_told_by_its_slope():
    found = outside(300.0, 292.0, 284.0, 280.0, 271.0)
    assert found.moves_s == pytest.approx(-7.125)


@pytest.mark.parametrize(
    "totals_s", [(300.0, 292.0, 284.0, 280.0), (300.0, 280.0, 310.0, 285.0, 299.0)]
)
def test_too_few_runs_or_no_order_among_them_are_no_trend(totals_s):
    assert outside(*totals_s).moves_s is None


def test_a_part_has_a_trend_of_its_own():
    slower = ChoreTimes(CHORE, 64.0, 68.0, (60.0, 62.0, 64.0, 66.0, 68.0))
    assert slower.moves_s == pytest.approx(2.0)
