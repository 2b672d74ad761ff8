from dataclasses import dataclass, field, replace
from datetime import UTC

import pytest

from server.domain.base.durations import DAY_MS
from server.domain.drift.analysis import analyse
from server.domain.drift.run_table import run_table
from server.domain.runs.summary import RunSummary
from server.store.routines import StoredRoutine
from server.web.drift.drift_reading import DriftReading
from server.web.drift.pictures import picture_data
from tests.domain.drift.histories import make_ahead
from tests.factories import NOW_MS, RULES, make_line, make_routine, make_segment

PLAN = make_routine(segments=(make_segment("a", 60), make_segment("b", 90)))


@dataclass(frozen=True)
class WithClaims(RunSummary):
    claims: dict[str, str] = field(default_factory=dict)


def reading(*splits, claims=()):
    lines = [
        make_line(
            sum(each.values()),
            each,
            id=f"r{n}",
            label=f"Run {n}",
            started_ms=NOW_MS + n * DAY_MS,
            created_ms=NOW_MS + n * DAY_MS,
        )
        for n, each in enumerate(splits)
    ]
    for n, noted in claims:
        summary = lines[n].summary
        kept = WithClaims(summary.ends_ms, summary.splits_ms, claims=noted)
        lines[n] = replace(lines[n], summary=kept)
    ahead = make_ahead(PLAN, lines) if lines else None
    drift = analyse(run_table(PLAN, lines, {}, zone=UTC), RULES, ahead=ahead)
    stored = StoredRoutine(PLAN, 1, None, None, deleted=False)
    return DriftReading(stored, RULES, tuple(lines), {}, drift)


STEADY = [{"a": 60 + n % 3, "b": 90 - n % 2} for n in range(10)]


def test_a_control_chart_brings_its_limits_and_the_runs_beyond_them():
    told = picture_data(reading(*STEADY, {"a": 80, "b": 90}))
    chart = next(each for each in told["charts"] if each["id"] == "a")
    assert chart["numbers"] == list(range(1, 12))
    assert chart["times_s"][-1] == 80 > chart["limits"]["upper_s"]
    assert chart["signals"] == [10]


def test_a_chart_of_one_run_has_no_limits():
    (total, *_) = picture_data(reading({"a": 60, "b": 90}))["charts"]
    assert total["limits"] is None
    assert total["times_s"] == [150]


def test_a_chart_holds_only_runs_that_have_the_time():
    told = picture_data(reading({"a": 60, "b": 90}, {"a": 61}, {"a": 62, "b": 91}))
    chart = next(each for each in told["charts"] if each["id"] == "b")
    assert (chart["numbers"], chart["run_ids"]) == ([1, 3], ["r0", "r2"])


def test_claims_are_counted_for_the_runs_in_which_they_were_noted():
    noted = {"pear": "heard", "oak": "missed", "58 degrees": "wrong", "silky": "heard"}
    told = picture_data(reading(*STEADY, claims=[(3, noted)]))
    (counted,) = told["claims"]
    assert counted["number"] == 4
    assert (counted["heard"], counted["wrong"], counted["missed"]) == (2, 1, 1)


def test_a_forecast_is_drawn_for_every_run_that_had_one():
    told = picture_data(reading(*STEADY))
    assert [each["number"] for each in told["forecasts"]] == list(range(1, 11))
    assert all(each["low_s"] <= each["high_s"] for each in told["forecasts"])


@pytest.mark.parametrize("runs", [0, 1, 2])
def test_with_hardly_a_run_there_are_as_few_forecasts_to_draw(runs):
    told = picture_data(reading(*STEADY[:runs]))
    assert len(told["forecasts"]) == runs
    assert (told["waterfall"] is None) == (runs == 0)
