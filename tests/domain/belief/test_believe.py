"""What is believed after practice of many kinds, and laws that hold for any."""

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.domain.belief import believe as believing
from server.domain.belief.believe import belief_of, state_after
from server.domain.belief.history import PlannedPart, Run, in_order
from server.domain.belief.levels import Levels
from server.domain.belief.practised import practised
from server.domain.belief.state import folded
from server.domain.routine.estimate import TimeEstimate, around
from tests.domain.belief.practices import DAY_MS, make_plan, make_runs, scattered, surely
from tests.domain.shorthand import believe

PLAN = make_plan()
SPLITS = st.lists(
    st.lists(st.floats(1, 500) | st.just(float("nan")), min_size=4, max_size=4),
    max_size=9,
)


def medians(belief):
    return np.array([part.median_s for part in belief.parts.values()])


def numbers(belief):
    parts = [v for each in belief.parts.values() for v in vars(each).values()]
    return np.array(
        [*parts, *belief.total.quantiles_s([0.1, 0.5, 0.9]), *vars(belief.why).values()]
    )


def test_without_runs_the_plan_is_believed_exactly():
    plan = {"talk": surely(40, 44, 52), "shake": surely(9, 10, 13)}
    parts = believe([], plan).parts
    told = parts["talk"].estimate
    assert (told.low_s, told.likely_s, told.high_s) == pytest.approx((40, 44, 52), rel=1e-4)
    assert (parts["shake"].runs, parts["shake"].plan_weight) == (0, 1)


def test_many_runs_leave_nothing_of_the_plan():
    belief = believe(make_runs(scattered(40) * 1.4, PLAN), PLAN)
    assert medians(belief) == pytest.approx(1.4 * np.array([30, 60, 45, 20]), rel=0.05)
    assert belief.why.plan_share < 0.02


def test_a_segment_cut_five_runs_ago_is_believed_short():
    splits = scattered(15)
    splits[10:, 1] *= 0.8
    belief = believe(make_runs(splits, PLAN), PLAN)
    assert belief.parts["s1"].median_s == pytest.approx(48, rel=0.06)
    assert belief.parts["s0"].median_s == pytest.approx(30, rel=0.06)


def test_learning_is_carried_forward_and_not_taken_for_slow_days():
    fading = np.exp(0.3 * np.exp(-np.arange(12) / 5))
    learning = believe(make_runs(scattered(12, day=0.01) * fading[:, None], PLAN), PLAN)
    steady = believe(make_runs(scattered(12, day=0.01), PLAN), PLAN)
    assert learning.why.slope_s < -0.5
    assert learning.total.scale < 2 * steady.total.scale
    assert learning.total.median_s == pytest.approx(155 * np.exp(0.3 * np.exp(-12 / 5)), rel=0.03)


def test_a_plan_cut_since_the_runs_moves_what_is_believed():
    runs = make_runs(scattered(12), PLAN)
    cut = {**PLAN, "s1": PlannedPart(around(50.0))}
    before, after = believe(runs, PLAN), believe(runs, cut)
    step_s = after.parts["s1"].median_s - before.parts["s1"].median_s
    assert step_s == pytest.approx(-10, abs=0.5)
    assert after.parts["s1"].high_scale > before.parts["s1"].high_scale


def test_a_plan_that_was_only_put_right_moves_nothing():
    runs = make_runs(scattered(12) * [1, 1.25, 1, 1], PLAN)
    right = {**PLAN, "s1": PlannedPart(around(72.0))}
    before, after = believe(runs, PLAN), believe(runs, right)
    assert after.parts["s1"].median_s == pytest.approx(before.parts["s1"].median_s, rel=0.01)


def test_a_noted_incident_is_a_cost_and_not_a_pace():
    splits = scattered(10)
    runs = make_runs(splits, PLAN)
    splits[4, 2] += 30
    struck = replace(make_runs(splits, PLAN)[4], incidents=("s2",))
    usual, told = believe(runs, PLAN), believe([*runs[:4], struck, *runs[5:]], PLAN)
    assert told.parts["s2"].median_s == pytest.approx(usual.parts["s2"].median_s, rel=0.02)
    assert told.incidents.costs_s[0] == pytest.approx(30, abs=6)
    assert told.incidents.shape == usual.incidents.shape + 1


def test_a_process_follows_its_own_runs_and_not_the_day():
    plan = {**PLAN, "steep": PlannedPart(around(100.0), own=False)}
    runs = [
        replace(run, durations_s={**run.durations_s, "steep": 130.0})
        for run in make_runs(scattered(12) * 1.3, PLAN)
    ]
    belief = believe(runs, plan)
    assert belief.parts["steep"].median_s == pytest.approx(130, rel=0.03)
    assert belief.parts["steep"].loading == 0
    assert belief.total.median_s == pytest.approx(1.3 * 155, rel=0.04)


BAD = {
    "one run": [[30, 60, 45, 20]],
    "all equal": [[30, 60, 45, 20]] * 6,
    "no marks": [[float("nan")] * 4] * 3,
    "one mark": [[float("nan"), float("nan"), float("nan"), 20]] * 3,
    "ten times the length": [[30, 60, 45, 20]] * 4
    + [[300, 600, 450, 200]]
    + [[30, 60, 45, 20]] * 4,
    "no time at all": [[0, 0, 0, 0]] * 3,
}


@pytest.mark.parametrize("name", BAD)
def test_odd_practice_leaves_a_belief_of_finite_numbers(name):
    belief = believe(make_runs(BAD[name], PLAN), PLAN)
    assert np.isfinite(numbers(belief)).all()
    assert (medians(belief) > 0).all()


def test_one_run_of_ten_times_the_length_moves_the_forecast_little():
    splits = scattered(9)
    with_it = splits.copy()
    with_it[4] *= 10
    usual, told = (believe(make_runs(each, PLAN), PLAN) for each in (splits, with_it))
    assert told.total.median_s == pytest.approx(usual.total.median_s, rel=0.02)
    assert told.parts["s0"].median_s == pytest.approx(usual.parts["s0"].median_s, rel=0.03)


@pytest.mark.parametrize("runs", [1, 3, 12])
def test_a_clock_left_running_last_time_is_no_new_usual_time(runs):
    splits = scattered(runs)
    usual = believe(make_runs(splits, PLAN), PLAN)
    told = believe(make_runs([*splits, splits[-1] * 10], PLAN), PLAN)
    assert told.total.median_s == pytest.approx(usual.total.median_s, rel=0.03)
    assert told.parts["s0"].median_s == pytest.approx(usual.parts["s0"].median_s, rel=0.04)


@pytest.mark.parametrize("split_s", [2.0, 130.0, 600.0])
def test_a_mark_forgotten_or_pressed_twice_makes_no_new_usual_time(split_s):
    splits = scattered(11)
    before = believe(make_runs(splits[:10], PLAN), PLAN)
    splits[10, 1] = split_s
    after = believe(make_runs(splits, PLAN), PLAN)
    assert after.parts["s1"].median_s == pytest.approx(before.parts["s1"].median_s, rel=0.3)
    assert after.total.median_s == pytest.approx(before.total.median_s, rel=0.13)


def test_a_segment_that_takes_twice_as_long_in_two_runs_is_believed():
    splits = scattered(12)
    splits[10:, 1] *= 2
    assert believe(make_runs(splits, PLAN), PLAN).parts["s1"].median_s > 100


def test_a_run_of_which_only_the_total_is_known_moves_the_pace():
    runs = [Run({}, {f"s{n}": s for n, s in enumerate((30.0, 60.0, 45.0, 20.0))}, total_s=180.0,
                at_ms=n * DAY_MS) for n in range(8)]  # fmt: skip
    belief = believe(runs, PLAN)
    assert belief.total.median_s == pytest.approx(180, rel=0.02)


def test_segments_that_replace_all_others_start_from_their_plan():
    new = {f"n{n}": PlannedPart(around(20.0)) for n in range(3)}
    belief = believe(make_runs(scattered(10), PLAN), new)
    assert medians(belief) == pytest.approx([20, 20, 20], rel=0.05)
    assert belief.why.plan_share == 1


def test_a_plan_far_off_is_left_after_two_runs():
    splits = scattered(2)
    splits[:, 0] *= 6
    belief = believe(make_runs(splits, PLAN), PLAN)
    assert belief.parts["s0"].median_s == pytest.approx(180, rel=0.15)


def test_a_part_once_planned_without_time_is_believed_as_planned_now():
    earlier = {**{each: part.estimate.likely_s for each, part in PLAN.items()}, "new": 0.0}
    runs = [replace(run, planned_s=earlier) for run in make_runs(scattered(5), PLAN)]
    belief = believe(runs, {**PLAN, "new": PlannedPart(around(25.0))})
    assert belief.parts["new"].median_s == pytest.approx(25, rel=0.05)


def test_a_plan_of_nothing_takes_no_time_whatever_the_runs():
    helped = {"steep": PlannedPart(around(90.0), own=False)}
    for plan in ({}, helped):
        bare = [replace(run, planned_s={}) for run in make_runs(scattered(3), PLAN)]
        assert believe(bare, plan).total.median_s == pytest.approx(0, abs=1e-9)


def test_what_was_believed_before_each_run_is_kept_beside_it():
    runs = make_runs(scattered(8), PLAN)
    past = believe(runs, PLAN).past
    anew = believe(runs[:5], PLAN)
    assert len(past) == 8
    assert past[5].took_s == runs[5].total_s
    assert past[5].ahead.quantiles_s([0.1, 0.9]) == pytest.approx(
        anew.total.quantiles_s([0.1, 0.9])
    )


def test_two_runs_of_one_minute_stay_in_one_order():
    one, other = (Run({}, at_ms=5, id=name) for name in "ab")
    assert in_order([one, other]) == in_order([other, one])


@settings(max_examples=25, deadline=None)
@given(SPLITS, st.randoms(use_true_random=False))
def test_the_order_in_which_runs_are_given_does_not_matter(splits, random):
    runs = make_runs(splits, PLAN)
    shuffled = random.sample(runs, len(runs))
    assert np.array_equal(numbers(believe(runs, PLAN)), numbers(believe(shuffled, PLAN)))


@settings(max_examples=25, deadline=None)
@given(SPLITS)
def test_folding_a_run_in_gives_what_starting_anew_gives(splits):
    runs = make_runs([*splits, [30, 60, 45, 20]], PLAN)
    state = folded(state_after(runs[:-1], PLAN), runs[-1])
    assert np.array_equal(numbers(belief_of(state, PLAN)), numbers(believe(runs, PLAN)))
    anew = state_after(runs, PLAN).levels
    for field in fields(Levels):
        assert np.array_equal(getattr(state.levels, field.name), getattr(anew, field.name))


def test_only_runs_that_were_not_seen_before_are_folded_in(monkeypatch):
    runs = make_runs(scattered(6), PLAN)
    seen, anew = practised(runs[:5], PLAN), practised(runs, PLAN)
    folds = []
    monkeypatch.setattr(
        believing, "folded", lambda state, run: folds.append(run.id) or folded(state, run)
    )
    after = practised(runs, PLAN, seen)
    assert folds == ["r5"]
    told, expected = (numbers(belief_of(each.state, PLAN)) for each in (after, anew))
    assert np.array_equal(told, expected)


def test_a_late_run_that_changed_leaves_most_of_the_earlier_ones_folded_in(monkeypatch):
    runs = make_runs(scattered(13), PLAN)
    seen, now = practised(runs, PLAN), [*runs[:11], *runs[12:]]
    folds = []
    monkeypatch.setattr(
        believing, "folded", lambda state, run: folds.append(run.id) or folded(state, run)
    )
    practised(now, PLAN, seen)
    assert folds == ["r10", "r12"]


@settings(max_examples=20, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 16), st.sampled_from(["put in", "take out"])), max_size=6))
def test_after_any_changes_the_state_is_that_of_starting_anew(changes):
    runs, spare = make_runs(scattered(17), PLAN), set(range(12, 17))
    seen = practised([run for n, run in enumerate(runs) if n not in spare], PLAN)
    for place, change in changes:
        spare = spare - {place} if change == "put in" else spare | {place}
        now = [run for n, run in enumerate(runs) if n not in spare]
        seen = practised(now, PLAN, seen)
        told = numbers(belief_of(seen.state, PLAN))
        assert np.array_equal(told, numbers(believe(now, PLAN)))


@pytest.mark.parametrize("changed", ["an earlier run", "a run taken out", "the plan"])
def test_what_changes_the_past_has_all_runs_folded_in_anew(changed):
    runs = make_runs(scattered(6), PLAN)
    seen = practised(runs[1:] if changed == "an earlier run" else runs, PLAN)
    now = runs[:3] + runs[4:] if changed == "a run taken out" else runs
    plan = make_plan((30.0, 60.0, 45.0, 25.0)) if changed == "the plan" else PLAN
    told = numbers(belief_of(practised(now, plan, seen).state, plan))
    assert np.array_equal(told, numbers(believe(now, plan)))


@settings(max_examples=25, deadline=None)
@given(SPLITS, st.sampled_from([0.5, 2.0, 60.0]))
def test_times_in_another_unit_give_the_same_belief_in_that_unit(splits, unit):
    other = {
        each: PlannedPart(TimeEstimate(unit * part.estimate.low_s, unit * part.estimate.likely_s,
                                   unit * part.estimate.high_s))
        for each, part in PLAN.items()
    }  # fmt: skip
    table = np.array(splits).reshape(-1, 4)
    plain, scaled = (
        believe(make_runs(table, PLAN), PLAN),
        believe(make_runs(unit * table, other), other),
    )
    assert medians(scaled) == pytest.approx(unit * medians(plain), rel=1e-6)
    assert scaled.total.scale == pytest.approx(plain.total.scale, rel=1e-6)


@settings(max_examples=40, deadline=None)
@given(SPLITS, st.floats(5, 120), st.floats(0.1, 60))
def test_a_longer_plan_is_never_believed_to_take_less(splits, likely_s, longer_s):
    runs = make_runs(splits, PLAN)
    told = [
        believe(runs, {**PLAN, "s1": PlannedPart(around(each))}).parts["s1"].median_s
        for each in (likely_s, likely_s + longer_s)
    ]
    # The runs started from each plan, so that the unevenness of its spread may differ a little.
    assert told[1] >= told[0] * 0.999


def test_intervals_hold_as_often_as_they_say():
    held = {0.8: 0, 0.95: 0}
    tried = 60
    for seed in range(tried):
        splits = scattered(11, (30, 60, 45, 20, 70, 50), seed=seed)
        plan = make_plan((30, 60, 45, 20, 70, 50))
        ahead = believe(make_runs(splits[:-1], plan), plan).total
        for level in held:
            held[level] += abs(ahead.chance_by(splits[-1].sum()) - 0.5) <= level / 2
    for level, count in held.items():
        assert abs(count / tried - level) <= 3 * (level * (1 - level) / tried) ** 0.5
