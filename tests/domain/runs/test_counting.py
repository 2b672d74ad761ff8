import json
from pathlib import Path

import pytest

from server.domain.runs.counting import counts, doubt_of, is_broken_off
from tests.factories import make_line
from tests.table import table

CASES = json.loads(Path("tests/doubt_cases.json").read_text(encoding="utf-8"))


@table("case", CASES)
def test_marks_speak_against_a_run_as_the_worked_cases_say(case):
    found = doubt_of(case["status"], case["total_ms"], case["ends_ms"], case["planned_s"])
    assert found == case["doubt"]


@pytest.mark.parametrize(
    ("excluded", "doubt", "expected"),
    [
        (None, "", True), (None, "short", False), (None, "unmarked", False),
        (False, "short", True), (False, "unmarked", True), (True, "", False),
    ],
)  # fmt: skip
def test_the_person_has_the_last_word_on_whether_a_run_counts(excluded, doubt, expected):
    assert counts("finished", 585_000, excluded, doubt) is expected


@pytest.mark.parametrize("status", ["waiting", "running", "abandoned"])
def test_a_run_without_a_finish_never_counts_whoever_says_so(status):
    assert not counts(status, 585_000, False, "")


@pytest.mark.parametrize(
    ("status", "excluded", "doubt", "expected"),
    [
        ("abandoned", None, "", True), ("abandoned", True, "", False),
        ("abandoned", None, "long", False), ("finished", None, "unmarked", True),
        ("finished", False, "unmarked", False), ("finished", None, "short", False),
    ],
)  # fmt: skip
def test_a_run_is_broken_off_by_a_press_or_with_most_of_it_unmarked(
    status, excluded, doubt, expected
):
    assert is_broken_off(status, excluded, doubt) is expected


def test_a_line_says_why_it_does_not_count():
    told = [
        make_line().why_not,
        make_line(doubt="short").why_not,
        make_line(doubt="unmarked").why_not,
        make_line(excluded=True).why_not,
        make_line(status="abandoned").why_not,
        make_line(None, status="running").why_not,
    ]
    assert told == [
        "", "not counted: under half of the time planned", "broken off: most segments not marked",
        "not counted", "broken off", "still running",
    ]  # fmt: skip
