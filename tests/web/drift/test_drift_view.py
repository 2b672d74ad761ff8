"""Whatever runs there are, their figures can be shown."""

import json
from dataclasses import replace
from datetime import UTC

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.domain.base.durations import HOUR_MS
from server.domain.drift.analysis import analyse
from server.domain.drift.run_table import run_table
from server.store.routines import StoredRoutine
from server.web.drift.cells import beyond_chance, bounds, signed_hundredths
from server.web.drift.drift_reading import DriftReading, watched_or_alone
from server.web.drift.groups import pair_tables
from server.web.drift.pictures import picture_data
from server.web.drift.view import calibration_rows, forecast_rows, series_rows
from tests.domain.drift.histories import make_ahead
from tests.factories import NOW_MS, RULES, make_line, make_routine, make_segment

PLAN = make_routine(segments=tuple(make_segment(key, 60) for key in "abc"))

splits = st.dictionaries(
    st.sampled_from("abcxy"), st.integers(0, 900_000).map(lambda ms: ms / 1000), max_size=5
)
runs = st.lists(
    st.tuples(splits, st.integers(0, 900), st.sampled_from(["finished", "abandoned", "running"])),
    max_size=14,
)


def reading_of(found, plan=PLAN):
    lines = [
        make_line(total_s, each, id=f"r{n}", status=status, started_ms=NOW_MS + n * 9 * HOUR_MS)
        for n, (each, total_s, status) in enumerate(found)
    ]
    table = run_table(plan, lines, {}, zone=UTC)
    ahead = make_ahead(plan, lines, slots=128) if table.runs and plan.segments else None
    drift = analyse(table, RULES, watched_or_alone(table), ahead)
    stored = StoredRoutine(plan, 1, None, None, deleted=False)
    return DriftReading(stored, RULES, tuple(lines), {}, drift)


@settings(max_examples=60, deadline=None)
@given(runs)
def test_any_runs_can_be_drawn_and_tabled(found):
    reading = reading_of(found)
    assert json.dumps(picture_data(reading), allow_nan=False)
    rows = series_rows(reading)
    assert len(rows) == 1 + len(reading.drift.segments)
    assert all("nan" not in cell.text + cell.small for row in rows for cell in row.cells)
    assert len(forecast_rows(reading)) <= reading.drift.table.runs
    assert len(calibration_rows(reading.drift.calibration)) in (0, 2)
    assert all(
        pair.total.shift_s is not None for pair in pair_tables(reading.drift, reading.drift.pairs)
    )


@pytest.mark.parametrize("segments", [(), ("x",)], ids=["no segment left", "one segment"])
def test_a_plan_that_shrank_is_shown_with_the_runs_of_the_old_one(segments):
    plan = replace(PLAN, segments=tuple(make_segment(key, 60) for key in segments))
    found = [({"a": 60 + n, "b": 61}, 121 + n, "finished") for n in range(9)]
    reading = reading_of(found, plan)
    assert picture_data(reading)["waterfall"]["total_s"] == 129
    assert [row.retired for row in series_rows(reading)][1:] == [False] * len(segments) + [True] * 2


class Told:
    def __init__(self, p):
        self.p = p


def test_one_clear_figure_among_many_stands_out_and_an_unclear_one_does_not():
    # Benjamini and Hochberg: 0.04 alone would stand out, the smallest of ten has to be below 0.005.
    assert beyond_chance([Told(0.04)]) == [True]
    assert beyond_chance([Told(0.04), *[Told(0.5)] * 9]) == [False] * 10
    assert beyond_chance([Told(0.004), None, *[Told(0.5)] * 9])[:2] == [True, False]


@pytest.mark.parametrize(
    ("slope_s", "text"), [(0.254, "+0.25 s"), (-1, "−1.00 s"), (-0.004, "±0.00 s"), (0, "±0.00 s")]
)
def test_a_slope_is_told_to_hundredths_with_its_sign(slope_s, text):
    assert signed_hundredths(slope_s) == text


def test_bounds_are_told_only_where_there_are_both():
    assert bounds(-0.42, 3.14) == "−0.4 to 3.1"
    assert bounds(None, 3.14) == ""
