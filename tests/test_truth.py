"""The table of computed figures beside published ones holds, and says where each comes from."""

import pytest

from tests.bench import figures
from tests.bench.truth import HEAD, measure
from tests.table import table

ROWS = measure(quick=True)


@table("row", ROWS, ids=lambda row: row.what)
def test_a_computed_figure_is_the_published_one(row):
    assert row.ours == pytest.approx(row.published, abs=row.within)


def test_every_row_of_the_table_names_its_source_and_no_other_row():
    assert all(row.source and row.within > 0 for row in ROWS)
    assert len({row.what for row in ROWS}) == len(ROWS)


def test_the_table_has_a_line_for_each_figure():
    lines = figures.table(ROWS, HEAD).splitlines()
    assert len(lines) == len(ROWS) + 1
    assert lines[1].split()[-1] == ROWS[0].source.split()[-1]
