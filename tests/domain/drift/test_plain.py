"""A second opinion: the figures as loops in Python without libraries (see `tests.bench`)."""

import pytest

from server.domain.drift.analysis import analyse
from server.domain.drift.run_table import run_table
from tests.bench.drift import check, plain, plan, practice
from tests.factories import RULES


@pytest.mark.parametrize("runs", [25, 60])
@pytest.mark.parametrize("missing", [0.0, 0.03])
def test_the_whole_analysis_is_that_of_plain_definitions(runs, missing):
    table = run_table(plan(), practice(runs, missing), {})
    check(analyse(table, RULES), plain(table))


def test_the_second_opinion_would_notice_a_difference():
    table = run_table(plan(), practice(25, 0.0), {})
    peer = plain(table)
    table.splits_s[3, 5] += 1
    with pytest.raises(AssertionError):
        check(analyse(table, RULES), peer)
