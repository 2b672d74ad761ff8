"""Every kind of sentence that claims something beyond the runs is held against the truth of
simulated histories: how often it is said of a routine that does not move, how often its sign and
its interval are right where something does."""

from dataclasses import replace

import numpy as np
import pytest

from server.domain.drift.findings import groups_apart, heavy_share, moved, off_their_plan
from server.domain.drift.moves import WINDOW_RUNS
from server.domain.drift.sentences import sentences
from tests.domain.drift.histories import LAWS, make_drift, make_table
from tests.factories import RULES
from tests.thorough import all_but, some

SEGMENTS = 5
CLAIMS = {"total", "segment", "groups", "plan", "together", "share", "learning", "calibration"}

DRIFTS = {
    "slope": lambda run, runs: 6.0 * run / runs,
    "jump": lambda run, runs: 5.0 * (run >= runs // 2),
    "late jump": lambda run, runs: 6.0 * (run >= runs - 7),
    "learning": lambda run, runs: 9 * np.exp(-0.15 * run),
}


def simulated(law, runs, drift=None, *, seed, moving=3, **more):
    """Means of each run and segment, and the analysis of runs that scatter about them."""
    random = np.random.default_rng(seed)
    means = np.full((runs, SEGMENTS), 50.0)
    if drift is not None:
        means[:, :moving] += drift(np.arange(runs), runs)[:, None]
    splits = means + 2 * LAWS[law](random, (runs, SEGMENTS))
    return means, make_drift(splits, **more)


def within(count, tried, rate):
    """Whether `count` of `tried` is no more than a rate allows, within three errors."""
    return count / tried <= rate + 3 * (rate * (1 - rate) / tried) ** 0.5


# The four laws differ little, and twenty runs take thrice as long as six: one case each time.
FORECAST_CASES = [
    ("contaminated", 6),
    *(pytest.param(law, 6, marks=pytest.mark.thorough) for law in LAWS if law != "contaminated"),
    *(pytest.param(law, 20, marks=pytest.mark.thorough) for law in LAWS),
]


@pytest.mark.parametrize("law", some(LAWS, all_but("contaminated")))
@pytest.mark.parametrize("runs", [12, 30])
def test_a_stable_routine_is_hardly_ever_said_to_do_anything(law, runs):
    tried = 60
    reports = [sentences(simulated(law, runs, seed=seed)[1]) for seed in range(tried)]
    claiming = sum(any(each.kind in CLAIMS for each in report) for report in reports)
    assert within(claiming, tried, 0.05)


@pytest.mark.parametrize("law", some(["normal", "Student"], all_but("Student")))
@pytest.mark.parametrize("drift", DRIFTS)
def test_what_is_said_to_have_moved_moved_that_way_and_that_far(law, drift):
    said = signs = held = 0
    for seed in range(40):
        means, analysis = simulated(law, 35, DRIFTS[drift], seed=seed)
        totals = means.sum(axis=1)
        claims = [(each, totals) for each in moved([analysis.total])]
        claims += [(each, means[:, int(each.series.id[1:])]) for each in moved(analysis.segments)]
        for claim, truth in claims:
            latest = truth[-WINDOW_RUNS:]
            late, early = (
                latest[slice(*part)].mean() for part in (claim.move.late, claim.move.early)
            )
            said += 1
            signs += (late - early) * claim.extent.shift_s > 0
            held += claim.extent.low_s <= late - early <= claim.extent.high_s
    assert said >= 25
    assert within(said - signs, said, 0.01)
    assert within(said - held, said, 0.05)


@pytest.mark.parametrize("law", some(["normal", "Student"], all_but("Student")))
def test_a_segment_said_to_be_off_its_plan_is_off_by_as_much_as_said(law):
    said = held = 0
    for seed in range(50):
        _, analysis = simulated(law, 25, lambda run, runs: np.full(runs, 4.0), seed=seed)
        for claim in off_their_plan(analysis):
            true = 4.0 if claim.series.id in ("s0", "s1", "s2") else 0.0
            said += 1
            held += claim.off.low_s <= true <= claim.off.high_s
    assert said >= 60
    assert within(said - held, said, 0.05)


@pytest.mark.parametrize("law", some(["normal", "Student"], all_but("Student")))
def test_groups_said_to_differ_do_so_by_as_much_as_said(law):
    firsts = make_table(np.full((40, SEGMENTS), 50.0), hours_apart=8).first_of_day
    said = held = 0
    for seed in range(50):
        _, analysis = simulated(law, 40, lambda run, runs: 4.0 * firsts, seed=seed, hours_apart=8)
        for claim in groups_apart(analysis):
            said += 1
            held += claim.difference.low_s <= 12 <= claim.difference.high_s
    assert said >= 12
    assert within(said - held, said, 0.05)


@pytest.mark.parametrize("law", some(["normal", "Student"], all_but("Student")))
def test_a_segment_said_to_be_behind_the_variance_is(law):
    said = held = 0
    for seed in range(50):
        splits = 50 + 2 * LAWS[law](np.random.default_rng(seed), (40, SEGMENTS))
        splits[:, 4] = 50 + 3 * (splits[:, 4] - 50)
        share = heavy_share(make_drift(splits))
        if share is not None:
            said += 1
            held += share.segment_id == "s4" and share.low <= 9 / 13 <= share.high
    assert said >= 12
    assert within(said - held, said, 0.05)


@pytest.mark.parametrize(("law", "runs"), FORECAST_CASES)
def test_the_next_run_is_held_as_often_as_the_forecast_says(law, runs):
    tried, held, chance, fitted = 100, 0, 0.0, 0
    rules = replace(RULES, slot_s=252, target_s=250)
    for seed in range(tried):
        splits = 50 + 2 * LAWS[law](np.random.default_rng(seed), (runs + 1, SEGMENTS))
        (sentence, *_) = sentences(make_drift(splits[:-1], rules=rules, foretold=True))
        total = splits[-1].sum()
        held += sentence.numbers["low_s"] <= total <= sentence.numbers["high_s"]
        chance += sentence.numbers["inside"]
        fitted += total <= rules.slot_s
    assert within(tried - held, tried, 0.2 + 0.02)
    assert fitted / tried == pytest.approx(chance / tried, abs=3 * (0.25 / tried) ** 0.5)


def test_where_practice_is_said_to_have_flattened_little_is_left_to_gain():
    said = 0
    for seed in range(40):
        means, analysis = simulated("normal", 60, DRIFTS["learning"], seed=seed, moving=SEGMENTS)
        for sentence in sentences(analysis):
            if sentence.kind == "learning":
                said += 1
                run = int(sentence.numbers["flat_from"]) - 1
                totals = means.sum(axis=1)
                saved = totals[run] - totals[min(run + 10, 59)]
                # Half of the scatter was promised; the estimate of it has its own error.
                assert saved <= sentence.numbers["spread_s"]
    assert said >= 20
