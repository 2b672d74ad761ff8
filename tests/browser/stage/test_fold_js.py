"""The browser's fold of a run is the server's: the same worked cases, and the same answers to
random logs."""

import json
from pathlib import Path

import pytest

from server.domain.runs.clock import elapsed_times, in_order
from server.domain.runs.run import fold
from tests.domain.run_logs import CASES, OUTLINE, events_from, random_log, state_document

OUTLINE_DOCUMENT = {
    "segment_ids": list(OUTLINE.segment_ids),
    "processes": [
        {
            "id": link.id,
            "after_segment_id": link.after_segment_id,
            "before_segment_id": link.before_segment_id,
        }
        for link in OUTLINE.processes
    ],
}
FOLD_ALL = """async (pairs) => {
  const { fold } = await import("/static/js/run/fold.js");
  return pairs.map(([events, outline]) => fold(events, outline));
}"""
TIMES_OF_ALL = """async (logs) => {
  const { elapsedTimes, inOrder } = await import("/static/js/run/times.js");
  return logs.map((log) => Object.fromEntries(elapsedTimes(inOrder(log))));
}"""
NOW_OF_ALL = """async (logs) => {
  const { elapsedNow, elapsedTimes, inOrder, isWatched } = await import("/static/js/run/times.js");
  return logs.map(inOrder).map((log) => {
    const last = log.filter((event) => event.kind !== "note" && !isWatched(event)).at(-1);
    const times = elapsedTimes(log);
    return [elapsedNow(log, last?.boot_id, last?.mono_ms), times.get(last?.id) ?? null];
  });
}"""
LOGS = [random_log(seed) for seed in range(400)]


@pytest.fixture
def page(modules_page):
    return modules_page


def test_worked_cases_fold_to_the_states_written_beside_them(page):
    states = page.evaluate(FOLD_ALL, [[case["events"], case["outline"]] for case in CASES])
    by_name = {case["name"]: state for case, state in zip(CASES, states, strict=True)}
    assert by_name == {case["name"]: case["expected"] for case in CASES}


def test_random_logs_fold_to_what_the_server_folds_them_to(page):
    states = page.evaluate(FOLD_ALL, [[log, OUTLINE_DOCUMENT] for log in LOGS])
    for log, state in zip(LOGS, states, strict=True):
        assert state == state_document(fold(events_from(log), OUTLINE)), log


def test_elapsed_times_are_those_of_the_server_to_the_last_bit(page):
    for log, times in zip(LOGS, page.evaluate(TIMES_OF_ALL, LOGS), strict=True):
        assert times == elapsed_times(in_order(events_from(log))), log


def test_the_clock_at_the_reading_of_the_last_mark_shows_the_time_of_that_mark(page):
    # Clocks of random logs run wild, so the reading may lie before the mark before it.
    pairs = page.evaluate(NOW_OF_ALL, LOGS)
    assert all(now == at for now, at in pairs)
    assert sum(now is not None for now, _ in pairs) > 200


def test_the_browser_doubts_the_runs_that_the_server_doubts(page):
    cases = json.loads(Path("tests/doubt_cases.json").read_text(encoding="utf-8"))
    found = page.evaluate(
        """async (cases) => {
          const { doubtOf } = await import("/static/js/run/counting.js");
          return cases.map((each) => doubtOf(each, each.planned_s));
        }""",
        cases,
    )
    assert found == [each["doubt"] for each in cases]
