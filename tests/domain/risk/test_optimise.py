"""Outside check: trying every order (`itertools.permutations`)."""

from itertools import permutations

import pytest

from server.domain.base.errors import NotFound
from server.domain.risk.forecast import propose_order
from server.domain.risk.model import model_of
from server.domain.risk.optimise import in_order
from server.domain.risk.optimise import propose_order as search
from server.domain.risk.trials import Trials
from tests.domain.risk.plans import estimated, parts, process, segment, sheet

DRIPPING = parts(
    estimated("open", 20),
    estimated("fill", 20),
    estimated("use", 40),
    estimated("talk", 60),
    estimated("clean", 50),
    estimated("close", 30),
    processes=[process(100, after="fill", before="use")],
)
RULES = sheet(240)


def test_what_can_be_done_while_the_process_runs_is_moved_before_its_use():
    proposal = propose_order(model_of(DRIPPING), RULES, ["talk", "clean"])
    assert proposal.order.index("use") > proposal.order.index("talk")
    assert proposal.after > proposal.before
    assert proposal.after.chance_all > proposal.before.chance_all + 0.5


def test_the_search_finds_the_best_of_all_orders_of_a_small_plan():
    model, movable = model_of(DRIPPING), ["fill", "use", "talk", "clean"]
    proposal = propose_order(model, RULES, movable)
    trials = Trials(model, RULES, 2048)
    scores = [
        trials.score(trials.of(in_order(DRIPPING, ("open", *order, "close"))))
        for order in permutations(movable)
        if order.index("fill") < order.index("use")
    ]
    assert not any(score > proposal.after for score in scores)


def test_only_movable_segments_leave_their_places():
    proposal = propose_order(model_of(DRIPPING), RULES, ["clean"])
    assert [each for each in proposal.order if each != "clean"] == [
        "open", "fill", "use", "talk", "close",
    ]  # fmt: skip
    assert proposal.moved_ids == ("clean",)


def test_the_first_and_the_last_segment_stay_where_they_are_not_movable():
    proposal = propose_order(model_of(DRIPPING), RULES, ["fill", "use", "talk", "clean"])
    assert (proposal.order[0], proposal.order[-1]) == ("open", "close")


def test_the_first_and_the_last_segment_may_move_where_they_are_movable():
    some = parts(
        estimated("talk", 60),
        estimated("fill", 20),
        estimated("use", 40),
        estimated("clean", 50),
        processes=[process(100, after="fill", before="use")],
    )
    proposal = propose_order(model_of(some), sheet(190), ["talk", "clean"])
    assert (proposal.order[0], proposal.order[-1]) == ("fill", "use")


def test_an_order_to_be_kept_is_kept():
    proposal = propose_order(model_of(DRIPPING), RULES, ["talk", "clean"], [("use", "talk")])
    assert proposal.order.index("use") < proposal.order.index("talk")


def test_a_link_is_kept():
    segments = [
        s if s.id != "talk" else estimated("talk", 60, after_ids=("use",))
        for s in DRIPPING.segments
    ]
    linked = parts(*segments, processes=DRIPPING.processes)
    proposal = propose_order(model_of(linked), RULES, ["talk", "clean"])
    assert proposal.order.index("use") < proposal.order.index("talk")


def test_what_runs_alongside_moves_with_its_segment():
    segments = list(DRIPPING.segments)
    segments[3:4] = [
        estimated("shake", 60, lane="hands"),
        estimated("tell", 40, lane="voice", alongside=True),
    ]
    some = parts(*segments, processes=DRIPPING.processes)
    proposal = propose_order(model_of(some), RULES, ["shake"])
    assert proposal.order.index("tell") == proposal.order.index("shake") + 1
    assert proposal.order.index("shake") < proposal.order.index("use")


def test_an_order_that_cannot_be_bettered_stays():
    good = in_order(DRIPPING, ("open", "fill", "talk", "clean", "use", "close"))
    proposal = propose_order(model_of(good), RULES, ["talk", "clean"])
    assert proposal.moved_ids == ()
    assert proposal.order == ("open", "fill", "talk", "clean", "use", "close")


def test_the_same_plan_gets_the_same_proposal():
    model = model_of(DRIPPING)
    assert propose_order(model, RULES, ["talk", "clean"]) == propose_order(
        model, RULES, ["talk", "clean"]
    )


def test_a_search_that_runs_out_of_tries_says_so():
    proposal = search(model_of(DRIPPING), RULES, ["talk", "clean"], most_tries=2)
    assert proposal.exhausted
    assert proposal.tries == 2


def test_a_long_plan_is_searched_with_fewer_tries():
    names = [f"s{n}" for n in range(200)]
    found = search(model_of(parts(*(segment(each, 3) for each in names))), sheet(600), names[1:5])
    assert found.exhausted
    assert found.tries == 75


def test_an_unknown_segment_is_said_to_be_gone():
    with pytest.raises(NotFound):
        propose_order(model_of(DRIPPING), RULES, ["x"])
