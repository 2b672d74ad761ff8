from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from server.domain.drift.analysis import analyse
from server.domain.drift.calibration import Coverage
from server.domain.drift.run_table import run_table
from server.domain.drift.sentences import MOST, sentences
from server.domain.risk.saying import inside_words, interval_words, median_words
from tests.domain.drift.histories import make_ahead, make_drift, make_lines, make_plan, make_table
from tests.domain.shorthand import before_and_after
from tests.factories import NOW_MS, RULES

ROOMY = replace(RULES, slot_s=560, target_s=540)


def scatter(runs, segments=10, seed=1):
    return 50 + np.random.default_rng(seed).normal(0, 2, (runs, segments))


def said(splits, kind=None, *, today=None, rules=ROOMY, **more):
    found = sentences(make_drift(splits, rules=rules, foretold=True, **more), today=today)
    return [each for each in found if kind is None or each.kind == kind]


# With few runs


def test_without_runs_there_is_nothing_to_say():
    assert said(np.empty((0, 3))) == []


@pytest.mark.parametrize("runs", [1, 2])
def test_few_runs_are_told_of_by_the_next_one_alone(runs):
    (sentence,) = said(scatter(runs))
    assert sentence.kind == "forecast"


def test_a_steady_routine_has_little_to_say():
    assert [each.kind for each in said(scatter(15))] == ["forecast"]


# What is said


def test_the_forecast_names_chance_middle_and_interval():
    drift = make_drift(scatter(24), rules=ROOMY, foretold=True)
    told, sentence = drift.ahead.forecast, sentences(drift)[0]
    assert sentence.anchor == "forecast"
    words = (
        f"{inside_words(told, 560)} as things stand; "
        f"typical finish {median_words(told)}, most runs between {interval_words(told)}."
    )
    assert sentence.text == words[0].upper() + words[1:]
    assert sentence.numbers["inside"] == told.chance_inside


def test_runs_that_were_broken_off_are_owned_up_to():
    lines = make_lines(scatter(12))
    for number in (3, 7):
        lines[number] = replace(lines[number], status="abandoned")
    plan = make_plan(10)
    found = sentences(
        analyse(run_table(plan, lines, {}), ROOMY, ahead=make_ahead(plan, lines, ROOMY))
    )
    assert "It speaks of finished runs; two were broken off." in found[0].text


def test_a_segment_that_was_cut_less_than_the_others_is_not_said_to_take_longer_than_before():
    # Five runs of a slot of 10:00 and three of one of 8:00; the first segment lost 4 s, not 6.
    splits = np.array(
        [
            [33, 70, 140, 72, 70, 150, 75, 32], [31, 68, 138, 70, 66, 145, 70, 30],
            [30, 70, 134, 68, 67, 140, 70, 31], [29, 66, 135, 66, 66, 138, 69, 30],
            [30, 67, 133, 66, 65, 137, 68, 29], [26, 54, 110, 54, 54, 112, 54, 22],
            [25, 53, 108, 53, 54, 110, 53, 22], [26.2, 54, 108, 55, 57.5, 111.5, 55, 24],
        ]
    )  # fmt: skip
    told = {each.anchor: each.text for each in said(splits, "look")}
    assert "s longer since run 6" in told["segment-s0"]
    assert "than the change of the whole routine lets expect" in told["segment-s0"]
    assert "s less since run 6" in told["total"]
    assert "than before" in told["total"]


def test_a_segment_that_slows_down_is_named_with_its_evidence():
    splits = scatter(30)
    splits[:, 3] += 0.4 * np.arange(30)
    (sentence,) = said(splits, "segment")
    assert sentence.text.startswith("“Segment s3” takes ")
    assert "s longer than " in sentence.text
    assert "10 runs against 10, 95 % interval " in sentence.text
    assert (sentence.anchor, sentence.segment_ids) == ("segment-s3", ("s3",))
    numbers = sentence.numbers
    assert 0 < numbers["low_s"] < numbers["shift_s"] < numbers["high_s"]


def test_a_segment_that_gets_faster_takes_less_with_positive_bounds():
    splits = scatter(30)
    splits[:, 3] -= 0.4 * np.arange(30)
    (sentence,) = said(splits, "segment")
    assert " s less " in sentence.text
    assert "−" not in sentence.text
    assert sentence.numbers["high_s"] < 0


def test_a_jump_is_dated_by_the_run_it_began_with():
    splits = scatter(30)
    splits[18:, 3] += 6
    (sentence,) = said(splits, "segment")
    started = datetime.fromtimestamp(NOW_MS / 1000, UTC) + timedelta(hours=18 * 9)
    when = f"since run 19 ({started.day} {started:%B}) than before"
    assert when in sentence.text
    assert "12 runs against 18" in sentence.text


def test_a_jump_that_is_not_sure_is_only_worth_a_look():
    splits = scatter(12, 16)
    splits[6:, 3] += 4.5
    (sentence,) = said(splits, "look")
    assert sentence.text.startswith("Worth a look: “Segment s3” seems to take ")
    assert "6 runs against 6, 95 % interval " in sentence.text
    assert "One steady routine in ten shows as much somewhere." in sentence.text
    assert sentence.anchor == "segment-s3"


def test_of_twelve_runs_a_clear_jump_is_said_for_sure():
    splits = scatter(12, 16)
    splits[6:, 3] += 12
    (sentence,) = said(splits, "segment")
    assert "s longer since run 7 " in sentence.text


def test_spans_reach_from_the_last_run_or_from_today():
    splits = scatter(30)
    splits[:, 3] += 0.4 * np.arange(30)
    first = datetime.fromtimestamp(NOW_MS / 1000, UTC).date()
    assert "than nine days earlier" in said(splits, "segment")[0].text
    today = first + timedelta(days=15)
    assert "than two weeks ago" in said(splits, "segment", today=today)[0].text


def test_runs_without_a_date_are_counted_instead():
    splits = scatter(30)
    splits[:, 3] += 0.4 * np.arange(30)
    lines = [replace(line, started_ms=None) for line in make_lines(splits)]
    drift = analyse(run_table(make_plan(10), lines, {}), ROOMY)
    (sentence,) = [each for each in sentences(drift) if each.kind == "segment"]
    assert "than 24 runs earlier" in sentence.text


def test_runs_of_one_day_are_told_apart_by_the_hour():
    splits = scatter(30)
    splits[:, 3] += 0.4 * np.arange(30)
    assert "than earlier that day" in said(splits, "segment", hours_apart=0.2)[0].text


def test_the_whole_routine_is_named_where_all_of_it_moves():
    (sentence,) = said(scatter(30) - 0.3 * np.arange(30)[:, None], "total")
    assert sentence.text.startswith("The whole routine takes ")
    assert sentence.anchor == "total"


def test_a_segment_far_off_its_plan_is_named():
    splits = scatter(30)
    splits[:, 4] += 9
    (sentence,) = said(splits, "plan")
    assert "“Segment s4” takes " in sentence.text
    assert "longer than planned (median of the last 20 runs" in sentence.text
    quicker = scatter(30)
    quicker[:, 4] -= 9
    assert "less than planned" in said(quicker, "plan")[0].text


def test_slow_first_runs_of_the_day_are_named():
    splits = scatter(45)
    splits[make_table(splits, hours_apart=8).first_of_day] += 3
    (sentence,) = said(splits, "groups", hours_apart=8)
    assert sentence.text.startswith("The first run of a day takes ")
    assert "longer than later ones" in sentence.text
    assert sentence.anchor == "pair-first-of-day"


def test_runs_since_an_edit_are_spoken_of_as_many():
    splits = scatter(30)
    splits[15:] += 3
    pair = before_and_after(make_table(splits), "r15")
    drift = make_drift(splits, pairs=(pair,), rules=ROOMY)
    (sentence,) = [each for each in sentences(drift) if each.kind == "groups"]
    assert sentence.text.startswith("Runs since then take ")


def test_the_segment_behind_most_of_the_variance_is_named():
    splits = scatter(40)
    splits[:, 6] += np.random.default_rng(2).normal(0, 9, 40)
    (sentence,) = said(splits, "share")
    assert sentence.text.startswith("“Segment s6” alone makes up ")
    assert sentence.numbers["low"] > 1 / 6


def test_a_curve_that_has_flattened_is_said_to():
    splits = scatter(60) + 8 * np.exp(-0.25 * np.arange(60))[:, None]
    (sentence,) = said(splits, "learning")
    assert sentence.text.startswith("Practice has flattened: since run ")


def test_a_curve_that_still_falls_is_not_said_to_have_flattened():
    splits = scatter(40, 1) + 60 * np.exp(-0.05 * np.arange(40))[:, None]
    planned_s = float(np.median(splits[-20:]))
    curve = make_drift(splits, planned_s=planned_s).total.learning
    assert curve.believed
    assert curve.flat_from > 40
    assert {"learning", "plan"}.isdisjoint(each.kind for each in said(splits, planned_s=planned_s))


def test_times_typed_in_whole_seconds_move_like_others():
    splits = np.full((24, 4), 50.0)
    splits[12:, 1] = 53
    (sentence,) = said(splits, "segment", rules=RULES)
    assert "takes 3.0 s longer since run 13" in sentence.text


def test_three_equal_runs_after_equal_ones_are_bounded_by_nothing_and_not_spoken_of():
    splits = np.full((24, 4), 50.0)
    splits[21:, 1] = 53
    assert make_drift(splits).segments[1].move.p < 0.01
    assert said(splits, "segment", rules=RULES) == []


def test_a_last_run_out_of_the_ordinary_is_named():
    splits = scatter(20)
    splits[-1] += 8
    (sentence,) = said(splits, "last")
    assert "ended outside what the runs before it led to expect" in sentence.text
    assert sentence.anchor == "run-r19"


def test_segments_that_slow_down_together_are_named():
    splits = scatter(60)
    shared = np.random.default_rng(3).normal(0, 4, 60)
    splits[:, 0] += shared
    splits[:, 1] -= shared
    splits[:, 2] += shared
    (sentence,) = said(splits, "together")
    assert sentence.segment_ids == ("s0", "s2")
    assert "slow down together" in sentence.text


def test_forecasts_that_held_too_few_runs_come_with_a_warning():
    drift = make_drift(scatter(30), rules=ROOMY, foretold=True)
    poor = replace(drift.calibration, coverage=(Coverage(0.8, 29, 14, 0.31, 0.66),))
    found = sentences(replace(drift, calibration=poor))
    assert found[1].text == (
        "Take the forecast with care: of 29 earlier intervals meant to hold 80 % of the runs, "
        "14 held theirs (48 %)."
    )


def test_never_more_than_five_are_said_and_the_forecast_comes_first():
    splits = scatter(45)
    splits[:, :8] += np.arange(45)[:, None] * np.linspace(0.2, 0.6, 8)
    splits[make_table(splits, hours_apart=8).first_of_day] += 4
    found = said(splits, hours_apart=8)
    assert len(found) == MOST
    assert found[0].kind == "forecast"
    assert sum(each.kind == "segment" for each in found) == 2


@pytest.mark.parametrize("seed", range(3))
def test_every_sentence_is_one_and_ends_like_one(seed):
    splits = scatter(40, seed=seed)
    splits[:, 2] += 0.4 * np.arange(40)
    for sentence in said(splits):
        assert sentence.text[0].isupper() or sentence.text[0] == "“"
        assert sentence.text.endswith(".")
        assert "  " not in sentence.text
        assert "nan" not in sentence.text
