import csv
import io
import json
from dataclasses import replace

import numpy as np
import pytest

from server.domain.drift.sentences import sentences
from server.domain.drift.spreadsheet import (
    FORECAST_HEADER,
    PAIR_HEADER,
    SEGMENT_HEADER,
    document,
    forecast_rows,
    pair_rows,
    segment_rows,
)
from tests.domain.drift.histories import make_drift

SPLITS = 50 + np.random.default_rng(1).normal(0, 2, (30, 4))


@pytest.fixture(scope="module")
def drift():
    splits = SPLITS + 8 * np.exp(-0.25 * np.arange(30))[:, None]
    splits[4, 2] = np.nan
    return make_drift(splits, foretold=True)


def read(rows):
    """What a spreadsheet would see."""
    file = io.StringIO()
    csv.writer(file).writerows(rows)
    return list(csv.DictReader(io.StringIO(file.getvalue())))


@pytest.mark.parametrize(
    ("rows", "header"),
    [
        (segment_rows, SEGMENT_HEADER),
        (forecast_rows, FORECAST_HEADER),
        (pair_rows, PAIR_HEADER),
    ],
)
def test_every_row_is_as_wide_as_its_header(drift, rows, header):
    table = list(rows(drift))
    assert table[0] == header
    assert {len(row) for row in table} == {len(header)}


def test_the_total_comes_first_and_every_segment_has_its_row(drift):
    table = read(segment_rows(drift))
    assert [row["segment_id"] for row in table] == ["total", "s0", "s1", "s2", "s3"]
    assert [row["runs"] for row in table] == ["30", "30", "30", "29", "30"]
    assert float(table[1]["median_s"]) == pytest.approx(drift.segments[0].level.median_s, abs=1e-3)


def test_shares_and_curve_stand_beside_their_segment(drift):
    table = read(segment_rows(drift))
    assert sum(float(row["variance_share"]) for row in table[1:]) == pytest.approx(1, abs=1e-4)
    assert table[0]["variance_share"] == ""
    assert table[0]["learning"] in ("exponential", "power")


def test_each_earlier_forecast_stands_beside_what_happened(drift):
    table = read(forecast_rows(drift))
    assert [row["runs"] for row in table] == [str(n) for n in range(31)]
    assert table[10]["held_95"] in ("yes", "no")
    assert float(table[10]["total_s"]) == pytest.approx(drift.ahead.past[10].took_s, abs=1e-3)


def test_each_earlier_forecast_tells_the_penalty_it_expected(drift):
    table = read(forecast_rows(drift))
    told = [float(row["expected_penalty"]) for row in table]
    assert told[10] == pytest.approx(drift.ahead.past[10].ahead.penalty(drift.rules), abs=1e-5)


def test_the_forecast_of_the_next_run_closes_the_table(drift):
    last = read(forecast_rows(drift))[-1]
    assert (last["before_run_id"], last["total_s"]) == ("", "")
    assert float(last["chance_inside"]) == pytest.approx(
        drift.ahead.forecast.chance_inside, abs=1e-5
    )


def test_pairs_are_told_in_total_and_by_segment(drift):
    table = read(pair_rows(drift))
    assert table[0]["segment"] == "the whole routine"
    assert {row["pair"] for row in table} == {"first-of-day"}
    assert len(table) == 5


def test_the_document_survives_json_and_holds_no_number_that_is_none(drift):
    told = document(drift, sentences(drift))
    again = json.loads(json.dumps(told, allow_nan=False))
    assert (again["format"], again["version"]) == ("ninefifty-drift", 2)
    assert len(again["runs"]) == 30
    assert again["runs"][4]["splits_s"][2] is None
    assert again["sentences"][0]["text"] == sentences(drift)[0].text
    assert again["next_run"]["forecast"]["inside"] == drift.ahead.forecast.chance_inside


def test_a_name_that_looks_like_a_formula_is_no_formula():
    drift = make_drift(SPLITS)
    names = ("=1+1", *drift.table.segment_names[1:])
    renamed = replace(drift, segments=(replace(drift.segments[0], name=names[0]),))
    assert list(segment_rows(renamed))[2][0] == "'=1+1"


@pytest.mark.parametrize("runs", [0, 1, 2])
def test_few_runs_leave_cells_empty(runs):
    drift = make_drift(SPLITS[:runs], foretold=True)
    table = read(segment_rows(drift))
    assert {row["slope_s_per_run"] for row in table} == {""}
    assert json.dumps(document(drift), allow_nan=False)
    assert len(read(forecast_rows(drift))) == (runs + 1 if runs else 0)


def test_a_jump_is_told_with_its_tier_its_run_and_its_bounds():
    splits = SPLITS.copy()
    splits[15:, 1] += 12
    told = read(segment_rows(make_drift(splits)))[2]
    assert (told["jump"], told["jump_run_id"]) == ("sure", "r15")
    assert float(told["jump_low_s"]) < 12 < float(told["jump_high_s"])
