"""Outside check: `RuleSheet.penalty`, the judge of single runs, for every simulated finish."""

import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.belief.history import Run
from server.domain.risk.activities import Fallback
from server.domain.risk.forecast import QUICK, forecast
from server.domain.risk.model import model_of
from server.domain.risk.outcome import QUANTILES
from server.domain.risk.parts import Parts
from server.domain.risk.simulate import simulate
from server.domain.risk.summing import BINS, histogram, penalties, quantile_s
from server.domain.routine.estimate import TimeEstimate
from tests.domain.risk.changes import Lengthen, SetFallback, StartAfter, Swap, what_if
from tests.domain.risk.plans import parts, process, segment, sheet
from tests.domain.strategies import rule_sheets


def spread_plan(count=20, likely_s=30.0):
    planned = TimeEstimate(likely_s * 0.9, likely_s, likely_s * 1.2)
    return parts(*(segment(f"s{n}", planned=planned) for n in range(count)))


DRIPPING = parts(
    segment("a", planned=TimeEstimate(45, 50, 60)),
    segment("b", planned=TimeEstimate(180, 200, 230)),
    segment("c", planned=TimeEstimate(90, 100, 120)),
    processes=[process(duration=TimeEstimate(170, 190, 240), after="a", before="c")],
)


def test_chances_follow_from_the_simulated_finishes():
    model, rules = model_of(spread_plan()), sheet(620, target_s=600)
    found, finish = forecast(model, rules, 20_000), simulate(model, 20_000).finish_s
    assert found.chance_inside == pytest.approx((finish <= 620).mean())
    assert found.chance_target == pytest.approx((finish <= 600).mean())
    assert (found.mean_s, found.sd_s) == pytest.approx((finish.mean(), finish.std()))
    assert found.quantiles_s == pytest.approx(np.quantile(finish, QUANTILES), rel=1e-4)


def test_quick_and_full_figures_agree_within_their_standard_errors():
    model, rules = model_of(spread_plan()), sheet(620)
    quick, full = forecast(model, rules, QUICK), forecast(model, rules)
    assert full.slots >= 100_000
    assert quick.chance_inside == pytest.approx(full.chance_inside, abs=4 * quick.error)


def test_without_chains_all_but_the_shares_of_segments_is_the_same():
    model, rules = model_of(DRIPPING), sheet(350)
    plain, whole = (forecast(model, rules, QUICK, with_chains=each) for each in (False, True))
    assert (plain.segments, len(whole.segments)) == ((), 4)
    shares = {"segments": (), "share_incidents": 0.0, "share_waiting": 0.0}
    assert plain == replace(whole, **shares)


@pytest.mark.parametrize("probability", [0.0, 0.00001, 0.1, 0.5, 0.999, 1.0])
def test_a_quantile_lies_between_the_two_finishes_beside_it(probability):
    finishes_s = np.sort(np.random.default_rng(2).normal(600, 10, 1001))
    middles = (np.arange(1001) + 0.5) / 1001
    assert quantile_s(finishes_s, probability) == np.interp(probability, middles, finishes_s)


def test_the_error_of_a_few_slots_covers_other_seeds():
    model = model_of(spread_plan())
    chances = [(simulate(model, 2000, seed).finish_s <= 620).mean() for seed in range(40)]
    error = forecast(model, sheet(620), 2000).error
    # The day is drawn in strata, so that the true spread is smaller than a plain sample's.
    assert np.std(chances) < error


@given(rule_sheets(), st.lists(st.integers(0, 2_000_000), min_size=1, max_size=20))
def test_penalties_of_many_finishes_are_those_of_each(rules, finishes_ms):
    finishes = np.array(finishes_ms) / 1000
    expected = [rules.penalty(each) for each in finishes.tolist()]
    assert penalties(finishes, rules).tolist() == pytest.approx(expected)


def test_the_expected_penalty_knows_grace_cap_and_cut_off():
    rules = sheet(600, grace_s=5.0, penalty_per_s=2.0, penalty_cap=30.0, cutoff_s=640.0)
    model = model_of(spread_plan())
    found, finish = forecast(model, rules, 5000), simulate(model, 5000).finish_s
    expected = np.mean([rules.penalty(each) for each in finish.tolist()])
    assert found.penalty == pytest.approx(expected)
    assert found.chance_cut_off == pytest.approx(np.mean(finish > 640), abs=1e-4)


def test_a_plan_longer_than_the_slot_is_shown_with_no_chance():
    found = forecast(model_of(spread_plan(30)), sheet(600), QUICK)
    assert found.chance_inside < 0.001
    # More may be lost than gained in each segment: half the slots end after the likely times.
    assert 900 < found.quantile_s(0.5) < 940


def test_a_plan_of_exactly_the_slot_is_inside_where_all_is_certain():
    exact = forecast(model_of(parts(*(segment(f"s{n}", 60) for n in range(10)))), sheet(600), 500)
    assert (exact.chance_inside, exact.chance_target, exact.penalty) == (1, 1, 0)


@pytest.mark.parametrize("tenth_s", [0.1, 0.3, 0.7])
def test_binary_dust_does_not_push_a_certain_plan_over_the_slot(tenth_s):
    plan = parts(*(segment(f"s{n}", tenth_s) for n in range(60)))
    found = forecast(model_of(plan), sheet(round(60 * tenth_s)), 500)
    assert (found.chance_inside, found.penalty) == (1, 0)
    assert (found.sd_s, found.share_meeting) == (pytest.approx(0, abs=1e-9), 0)


def test_a_plan_of_nothing_has_a_forecast():
    found = forecast(model_of(Parts()), sheet(600), 100)
    assert (found.chance_inside, found.mean_s, found.segments) == (1, 0, ())


def test_a_hundred_segments_have_a_forecast_with_shares_that_add_up():
    found = forecast(model_of(spread_plan(100, 6.0)), sheet(620), QUICK)
    assert sum(each.share for each in found.segments) == pytest.approx(1)
    assert len(found.segments) == 100


def test_the_histogram_counts_every_slot_in_bins_of_round_width():
    found = forecast(model_of(spread_plan()), sheet(600), QUICK).histogram
    assert found.earlier + sum(found.counts) + found.later >= QUICK
    assert found.width_s in (1, 2, 5, 10, 20, 50)
    assert len(found.counts) <= 60


@given(st.lists(st.floats(0, 5000), min_size=1, max_size=30))
def test_every_finish_lies_in_the_bin_that_counts_it(finishes):
    ordered = np.sort(np.array(finishes))
    found = histogram(ordered)
    edges = found.start_s + found.width_s * np.arange(len(found.counts) + 1)
    assert edges[0] <= ordered[0]
    assert ordered[-1] < edges[-1]
    assert np.histogram(ordered, edges)[0].tolist() == list(found.counts)


@pytest.mark.parametrize(
    ("bin_s", "width_s"), [(0.1, 1), (1.0, 1), (1.01, 2), (2.0, 2), (2.01, 5), (5.0, 5), (5.01, 10)]
)
def test_a_bin_is_the_least_round_width_in_which_they_fit(bin_s, width_s):
    assert histogram(np.array([0.0, bin_s * (BINS - 1)])).width_s == width_s


def test_a_long_tail_is_counted_behind_the_last_bin_and_squeezes_none():
    found = histogram(np.sort(np.array([*np.linspace(500, 599, 9_990), *[1e9] * 10])))
    assert (found.width_s, found.later) == (2, 10)
    assert found.earlier + sum(found.counts) + found.later == 10_000


def test_a_process_has_a_chance_a_lateness_and_a_wait():
    (drip,) = forecast(model_of(DRIPPING), sheet(400), 20_000).processes
    assert 0.4 < drip.chance_ready < 0.8
    assert drip.late_s > 5
    assert drip.waits_s[0] <= drip.waits_s[1] <= drip.waits_s[2]
    assert drip.chance_fallback == 0


def test_what_belongs_to_no_single_part_makes_the_shares_complete():
    found = forecast(model_of(DRIPPING), sheet(400), 20_000)
    shares = sum(each.share for each in found.segments) + found.share_meeting
    assert shares + found.share_incidents + found.share_waiting == pytest.approx(1)
    assert abs(found.share_meeting) < 0.1


def test_a_fallback_is_taken_where_the_process_is_late():
    falling = SetFallback("p", Fallback(cost_s=4)).made(DRIPPING)
    (drip,) = forecast(model_of(falling), sheet(400), 20_000).processes
    assert drip.chance_fallback == pytest.approx(1 - drip.chance_ready, abs=1e-9)


def test_a_fallback_that_is_always_taken_leaves_no_wait():
    late = SetFallback("p", Fallback()).made(parts(*DRIPPING.segments, processes=[process(900)]))
    (drip,) = forecast(model_of(late), sheet(400), 500).processes
    assert (drip.chance_ready, drip.chance_fallback, drip.waits_s) == (0, 1, None)


def test_to_finish_with_all_ready_is_less_likely_than_to_finish():
    found = forecast(model_of(DRIPPING), sheet(400), 20_000)
    assert found.chance_all < min(found.chance_inside, found.processes[0].chance_ready)


def test_the_fallback_gains_what_waiting_costs():
    both = what_if(model_of(DRIPPING), sheet(380), [SetFallback("p", Fallback())], QUICK)
    assert both.after.chance_inside > both.before.chance_inside + 0.02
    assert both.after.mean_s < both.before.mean_s


def test_before_and_after_meet_the_same_luck():
    model, rules = model_of(spread_plan()), sheet(620)
    swapped = what_if(model, rules, [Swap("s2", "s9")], QUICK)
    assert swapped.after.mean_s == pytest.approx(swapped.before.mean_s, abs=1e-9)
    shorter = what_if(model, rules, [Lengthen("s2", -3)], QUICK)
    # 3 s of a likely 30, whose mean is a little above them.
    assert shorter.before.mean_s - shorter.after.mean_s == pytest.approx(3, abs=0.2)


def test_starting_the_process_earlier_helps_it():
    some = parts(segment("z", 30), *DRIPPING.segments, processes=DRIPPING.processes)
    both = what_if(model_of(some), sheet(430), [StartAfter("p", "z")], QUICK)
    assert both.after.processes[0].chance_ready > both.before.processes[0].chance_ready + 0.2


def test_incidents_of_the_runs_make_the_finish_later():
    names = [f"s{n}" for n in range(20)]
    calm = [Run(dict.fromkeys(names, 30.0 + n)) for n in range(4)]
    struck = [Run(run.durations_s | {"s3": 70.0}, incidents=("s3",)) for run in calm]
    before = forecast(model_of(spread_plan(), calm), sheet(620), QUICK)
    after = forecast(model_of(spread_plan(), struck), sheet(620), QUICK)
    assert after.mean_s - before.mean_s == pytest.approx(4.5 / 7 * 38.5 - 0.5 / 7 * 11.7, rel=0.1)
    assert after.share_incidents > 0.2


def test_the_server_can_ask_without_numpy_being_loaded_at_its_start():
    code = "import sys; import server.domain.risk.forecast; sys.exit('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
