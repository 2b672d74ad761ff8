import csv
import io
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.routine.edits import remove_segment
from server.domain.runs.splits import HEADER, split_table
from server.domain.runs.summary import RunSummary
from tests.factories import make_line, make_routine, make_segment

ROUTINE = make_routine(segments=(make_segment("s1", 62.5), make_segment("s2")))
LINE = make_line(130, {"s1": 60.25, "s2": 69.75}, id="run1", label="Monday")


def rows(*lines, routine=ROUTINE, old_names=None):
    header, *found = split_table(routine, lines, old_names or {})
    assert header == HEADER
    return [dict(zip(HEADER, row, strict=True)) for row in found]


def test_each_marked_segment_of_each_run_is_a_row():
    first, second = rows(LINE)
    assert (first["segment_id"], first["position"], first["planned_s"]) == ("s1", 1, 62.5)
    assert (first["split_s"], first["end_s"]) == ("60.250", "60.250")
    assert (second["split_s"], second["end_s"]) == ("69.750", "130.000")


def test_every_row_says_which_run_it_is_of():
    (first, _) = rows(LINE)
    assert (first["run"], first["run_id"], first["status"]) == ("Monday", "run1", "finished")
    assert (first["counted"], first["total_s"]) == ("yes", "130.000")
    assert first["started_utc"] == "2026-09-21T14:13:20+00:00"


def test_a_run_that_does_not_count_says_so():
    assert {row["counted"] for row in rows(replace(LINE, excluded=True))} == {"no"}


def test_a_segment_that_left_the_plan_keeps_its_old_name_and_has_no_place():
    row = rows(LINE, routine=remove_segment(ROUTINE, "s2"), old_names={"s2": "Pour"})[-1]
    assert (row["segment"], row["position"], row["planned_s"]) == ("Pour", "", "")


def test_what_was_not_marked_is_left_empty():
    (row,) = rows(
        replace(LINE, total_ms=None, started_ms=None, summary=RunSummary({"s2": 130_000}, {}))
    )
    assert (row["split_s"], row["total_s"], row["started_utc"]) == ("", "", "")
    assert row["end_s"] == "130.000"


def test_a_date_beyond_all_calendars_is_left_empty():
    assert {row["started_utc"] for row in rows(replace(LINE, started_ms=2**53))} == {""}


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r"])
def test_a_text_that_a_spreadsheet_would_run_is_marked_as_text(sign):
    routine = make_routine(segments=(make_segment("s1", name=f"{sign}1+1"),))
    row = rows(replace(LINE, label=f"{sign}cmd"), routine=routine)[0]
    assert (row["run"], row["segment"]) == (f"'{sign}cmd", f"'{sign}1+1")


@given(st.text(min_size=1, max_size=40))
def test_the_table_comes_back_from_csv_as_it_was(label):
    written = io.StringIO(newline="")
    csv.writer(written).writerows(split_table(ROUTINE, [replace(LINE, label=label)], {}))
    read = list(csv.reader(io.StringIO(written.getvalue(), newline="")))
    assert read[0] == list(HEADER)
    assert all(row[0] in (label, f"'{label}") for row in read[1:])
