"""When a run was made, whatever the clocks of devices say."""

import pytest

from server.domain.base.durations import DAY_MS
from server.domain.runs.moment import moment_ms
from tests.factories import NOW_MS


@pytest.mark.parametrize("source", ["stage", "paper"])
@pytest.mark.parametrize("days", [-31, -1, 0, 2])
def test_a_clock_that_can_be_right_is_believed(source, days):
    started_ms = NOW_MS + days * DAY_MS
    assert moment_ms(source, started_ms, NOW_MS) == started_ms


@pytest.mark.parametrize("days", [-365, -32, 3, 365])
def test_a_run_on_stage_with_a_wrong_clock_was_made_when_it_was_heard_of(days):
    assert moment_ms("stage", NOW_MS + days * DAY_MS, NOW_MS) == NOW_MS


def test_what_is_entered_from_paper_may_be_old_but_not_from_the_future():
    assert moment_ms("paper", NOW_MS - 365 * DAY_MS, NOW_MS) == NOW_MS - 365 * DAY_MS
    assert moment_ms("paper", NOW_MS + 365 * DAY_MS, NOW_MS) == NOW_MS


def test_a_run_that_has_not_started_was_made_when_it_was_opened():
    assert moment_ms("stage", None, NOW_MS) == NOW_MS
