import pytest

from server.domain.base.errors import NotFound
from server.domain.risk.advice import MOST_CUTS
from server.domain.risk.forecast import cut_advice, forecast, start_options
from server.domain.risk.model import model_of
from server.domain.risk.parts import Parts
from tests.domain.risk.changes import Lengthen, StartAfter, what_if
from tests.domain.risk.plans import estimated, parts, process, segment, sheet

SLOTS = 8192
CHAIN = parts(estimated("a", 50), estimated("b", 250), estimated("c", 300))
WAITING = parts(
    segment("z", 20),
    estimated("a", 30),
    estimated("b", 100),
    segment("c", 60),
    processes=[process(170, after="a", before="c")],
)


def advised(plan, rules, level=0.95, by_s=None):
    """The advice where cutting a segment is making it shorter as What if does."""
    model = model_of(plan)
    now = forecast(model, rules, SLOTS)
    return cut_advice(model, rules, level, lambda each, s: shorter(model, each, s), now, by_s)


def shorter(model, segment_id, seconds):
    return model.changed(Lengthen(segment_id, -seconds).made(model.parts))


def test_so_many_seconds_cut_give_the_chance_asked_for():
    rules, model = sheet(620), model_of(CHAIN)
    advice = advised(CHAIN, rules, 0.9)
    assert advice.needed_s > 5
    after = what_if(model, rules, [Lengthen("c", -advice.needed_s)]).after
    # A little above: a shorter segment also varies less.
    assert 0.9 <= after.chance_inside < 0.94


def test_each_cut_says_what_it_brings_and_the_best_comes_first():
    advice = advised(CHAIN, sheet(620))
    chances = [cut.chance for cut in advice.cuts]
    assert chances == sorted(chances, reverse=True)
    assert advice.cuts[0].segment_id == "c"
    assert all(cut.chance > advice.chance_now for cut in advice.cuts)


def test_of_many_segments_those_are_tried_whose_cut_is_worth_most():
    lengths_s = [5.0 * number for number in range(1, MOST_CUTS + 4)]
    plan = parts(*(estimated(f"s{number}", each) for number, each in enumerate(lengths_s)))
    tried = {cut.segment_id for cut in advised(plan, sheet(sum(lengths_s) - 60)).cuts}
    assert tried == {f"s{number}" for number in range(len(lengths_s))[-MOST_CUTS:]}


def test_a_cut_of_ten_seconds_is_asked_for_whatever_is_needed():
    for slot_s in (620, 900):
        advice = advised(CHAIN, sheet(slot_s), by_s=10)
        assert {cut.seconds for cut in advice.cuts} == {10}


def test_a_cut_brings_exactly_what_trying_it_shows():
    rules, model = sheet(620), model_of(CHAIN)
    for cut in advised(CHAIN, rules).cuts:
        shown = forecast(shorter(model, cut.segment_id, cut.seconds), rules, SLOTS)
        assert cut.chance == shown.chance_inside


def test_nobody_is_told_to_cut_more_than_half_of_a_segment():
    cuts = {cut.segment_id: cut for cut in advised(CHAIN, sheet(560)).cuts}
    assert cuts["a"].seconds == 25


def test_a_cut_while_a_process_is_waited_for_does_not_arrive_at_the_finish():
    cuts = {cut.segment_id: cut for cut in advised(WAITING, sheet(240)).cuts}
    assert cuts["b"].counts == pytest.approx(0, abs=0.01)
    assert cuts["a"].counts == pytest.approx(1, abs=0.05)
    assert cuts["c"].counts == pytest.approx(1, abs=0.01)


def test_with_time_left_nothing_is_to_be_cut():
    advice = advised(CHAIN, sheet(1000))
    assert advice.needed_s < 0
    assert (advice.cuts, advice.chance_now) == ((), pytest.approx(1, abs=2e-3))


def test_a_segment_of_no_time_is_none_to_cut_from():
    cuts = advised(parts(segment("z", 0), *CHAIN.segments), sheet(620)).cuts
    assert {cut.segment_id for cut in cuts} == {"a", "b", "c"}


def test_of_a_long_plan_only_the_segments_that_hold_the_finish_are_tried():
    plan = parts(*(estimated(f"s{n}", 20 + n) for n in range(20)))
    cuts = advised(plan, sheet(500)).cuts
    assert {cut.segment_id for cut in cuts} == {f"s{n}" for n in range(12, 20)}


def test_each_earlier_start_says_what_it_is_worth():
    options = start_options(model_of(WAITING), sheet(260), "p")
    assert [option.after_id for option in options] == ["a", "z"]
    now, earlier = options
    assert (now.earlier_s, earlier.earlier_s) == pytest.approx((0, 30))
    assert earlier.chance_ready >= now.chance_ready
    assert earlier.finish_s == pytest.approx(now.finish_s - 30, abs=1)


def test_an_option_is_what_trying_it_shows():
    model, rules = model_of(WAITING), sheet(260)
    option = start_options(model, rules, "p")[1]
    shown = forecast(model.changed(StartAfter("p", "z").made(WAITING)), rules)
    assert option.chance_inside == pytest.approx(shown.chance_inside, abs=0.02)
    assert option.finish_s == pytest.approx(shown.mean_s, abs=0.5)


def test_a_process_without_a_start_or_a_use_has_little_to_choose():
    free = parts(*WAITING.segments, processes=[process(after=None)])
    assert start_options(model_of(free), sheet(260), "p") == ()
    unused = parts(*WAITING.segments, processes=[process(after="a", before=None)])
    assert start_options(model_of(unused), sheet(260), "p")[0].waits_s is None


def test_an_unknown_process_is_said_to_be_gone():
    with pytest.raises(NotFound):
        start_options(model_of(CHAIN), sheet(260), "x")


def test_a_plan_of_nothing_needs_no_cut():
    advice = advised(Parts(), sheet(600))
    assert (advice.needed_s, advice.cuts) == (-600, ())
