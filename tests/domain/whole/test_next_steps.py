"""What to do next. Inside check: no list hides a false word, and none depends on its gathering."""

from dataclasses import replace

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from server.domain.whole.next_steps import MOST, MOST_OF_A_KIND, next_steps
from server.domain.whole.open_things import (
    GoalAhead,
    Grown,
    LateProcess,
    Open,
    OpenClaim,
    OpenRemark,
    PendingRun,
    Unheard,
    Wordy,
)
from server.domain.whole.readiness import empty_s, readiness
from tests.factories import RULES, make_routine, make_segment

IDS = st.integers(0, 30).map(lambda number: f"i{number}")
WORDS = st.sampled_from(["rosehip", "dark plum", "walnut", "30 ml"])
CHANCES = st.floats(0, 1)
TIMES = st.floats(0, 900)


def distinct(values):
    return st.lists(values, max_size=8, unique_by=lambda each: vars(each).get("id", id(each)))


OPEN = st.builds(
    Open,
    claims=distinct(
        st.builds(
            OpenClaim,
            IDS,
            st.sampled_from(["contradicted", "unbacked", "unsaid", "unplanned", "backed"]),
            WORDS,
        )
    ).map(tuple),
    grown=st.lists(
        st.builds(Grown, IDS, WORDS, TIMES, TIMES, st.integers(0, 9), CHANCES),
        max_size=6,
        unique_by=lambda each: each.segment_id,
    ).map(tuple),
    wordy=st.lists(
        st.builds(Wordy, IDS, WORDS, TIMES, TIMES, st.integers(1, 90), CHANCES),
        max_size=6,
        unique_by=lambda each: each.segment_id,
    ).map(tuple),
    unheard=st.none() | st.builds(Unheard, IDS, st.just("On 20 Nov"), st.lists(WORDS).map(tuple)),
    remarks=distinct(st.builds(OpenRemark, st.just("r1"), IDS, WORDS)).map(tuple),
    processes=st.lists(
        st.builds(LateProcess, IDS, WORDS, CHANCES, TIMES, st.booleans()),
        max_size=4,
        unique_by=lambda each: each.process_id,
    ).map(tuple),
    runs=st.lists(
        st.builds(PendingRun, IDS, WORDS, st.sampled_from(["open", "doubtful"])),
        max_size=4,
        unique_by=lambda each: each.run_id,
    ).map(tuple),
    rules_invented=st.booleans(),
    drinkless_segment_id=st.none() | IDS,
    goal=st.none() | st.builds(GoalAhead, WORDS, st.integers(0, 3), st.booleans()),
)

WRONG = OpenClaim(
    "c1", "contradicted", "30 ml lemon juice", why="You say 30 ml, the recipe has 40.",
    drink="Orchard", at_s=412.0, cures=(("say", "Say 40 ml"), ("make", "Make it 30 ml")),
)  # fmt: skip
UNSAID = OpenClaim("c2", "unsaid", "rosehip", drink="Orchard", segment_id="s4")
GROWN = Grown("s2", "Espresso across steel", 42.0, 47.0, 3, chance_lost=0.04)


def only(**things):
    (step,) = next_steps(Open(**things))
    return step


def kinds(**things):
    return [step.kind for step in next_steps(Open(**things))]


@given(OPEN)
def test_there_are_never_more_than_five_steps(open_):
    assert len(next_steps(open_)) <= MOST


@given(OPEN)
def test_a_contradiction_comes_before_any_unsaid_word(open_):
    found = [step.kind for step in next_steps(open_)]
    if "wrong" in found and "never said" in found:
        assert found.index("never said") > max(n for n, k in enumerate(found) if k == "wrong")
    contradicted = sum(claim.state == "contradicted" for claim in open_.claims)
    assert "never said" not in found or found.count("wrong") == contradicted


@given(OPEN, st.randoms())
def test_the_order_does_not_depend_on_how_things_were_gathered(open_, random):
    shuffled = {}
    for name in ("claims", "grown", "wordy", "remarks", "processes", "runs"):
        things = list(getattr(open_, name))
        random.shuffle(things)
        shuffled[name] = tuple(things)
    assert next_steps(replace(open_, **shuffled)) == next_steps(open_)


@given(OPEN)
def test_steps_are_told_with_the_most_costly_first(open_):
    costs = [step.cost for step in next_steps(open_)]
    assert costs == sorted(costs, reverse=True)


@given(OPEN)
@example(Open(claims=tuple(OpenClaim(f"c{n}", "unsaid", "rosehip") for n in range(9))))
def test_no_kind_but_contradictions_takes_more_than_two_lines(open_):
    found = [step.kind for step in next_steps(open_)]
    assert all(found.count(kind) <= MOST_OF_A_KIND for kind in {*found} - {"wrong"})


@given(OPEN)
def test_every_step_can_be_settled_from_its_line_and_is_named_once(open_):
    found = next_steps(open_)
    assert all(step.cures and step.sentence for step in found)
    assert len({step.id for step in found}) == len(found)


def test_nothing_open_leaves_nothing_to_do():
    assert next_steps(Open(goal=GoalAhead("3 runs", 1), spare_s=26.0)) == ()


@pytest.mark.parametrize(
    "things",
    [
        {"claims": (replace(WRONG, state="backed"),)},
        {"claims": (replace(WRONG, state="weakly backed"),)},
        {"grown": (replace(GROWN, runs=1),)},
        {"grown": (replace(GROWN, takes_s=42.4),)},
        {"wordy": (Wordy("s1", "Welcome", 30.0, 30.5, 1),)},
        {"processes": (LateProcess("p1", "Drip", 0.97, 428.0),)},
        {"remarks": (OpenRemark("r1", "m1", "Smile.", runs_ago=3),)},
        {"unheard": Unheard("r1", "On 20 Nov")},
        {"beyond_slot_s": 0.4},
    ],
    ids=[
        "backed",
        "weakly",
        "once",
        "a breath",
        "fits",
        "in time",
        "old",
        "all said",
        "to a second",
    ],
)
def test_what_is_in_order_asks_for_nothing(things):
    assert next_steps(Open(**things)) == ()


def test_more_time_is_the_last_cure_where_the_plan_would_not_fit_the_slot():
    fits, over = only(grown=(GROWN,)), only(grown=(replace(GROWN, beyond_slot_s=95.0),))
    assert [cure.label for cure in fits.cures] == ["Plan 0:47", "Cut words"]
    assert "slot" not in fits.detail.removesuffix("inside the slot")
    assert [cure.label for cure in over.cures] == ["Cut words", "Plan 0:47"]
    assert over.detail.endswith("; planned so, the plan is 1:35 longer than the slot")
    wordy = only(wordy=(Wordy("s1", "Welcome", 30.0, 40.0, 20, beyond_slot_s=95.0),))
    assert wordy.detail.endswith("; planned so, the plan is 1:35 longer than the slot")


def test_a_plan_longer_than_the_slot_is_to_be_looked_at_the_longer_the_sooner():
    little, much = only(beyond_slot_s=4.0), only(beyond_slot_s=37.0)
    assert much.sentence == "The plan is 0:37 longer than the slot."
    assert [(cure.action, cure.acts) for cure in much.cures] == [("open plan", False)]
    assert only(beyond_slot_s=300.0).cost == much.cost > little.cost > 0


def test_a_false_number_offers_its_own_cures():
    step = only(claims=(WRONG,))
    assert (step.sentence, step.detail) == ("You say 30 ml, the recipe has 40.", "Orchard, at 6:52")
    assert [(cure.label, cure.acts) for cure in step.cures] == [
        ("Say 40 ml", True), ("Make it 30 ml", True),
    ]  # fmt: skip
    assert step.cures[1].parameters == {"claim": "c1", "cure": "make"}


def test_a_grown_segment_offers_its_new_time_and_cutting():
    step = only(grown=(GROWN,))
    assert step.sentence == "“Espresso across steel” takes 0:47, planned 0:42."
    assert step.detail == "Three runs in a row; it costs 4 in 100 finishes inside the slot"
    assert step.cures[0].parameters == {"segment": "s2", "seconds": "47"}
    assert [cure.label for cure in step.cures] == ["Plan 0:47", "Cut words"]


def test_hands_alone_have_no_words_to_cut():
    assert [cure.label for cure in only(grown=(replace(GROWN, has_words=False),)).cures] == [
        "Plan 0:47"
    ]


def test_the_segment_that_costs_more_chance_comes_first():
    dear = replace(GROWN, segment_id="s9", takes_s=44.0, chance_lost=0.2)
    assert [step.id for step in next_steps(Open(grown=(GROWN, dear)))] == ["longer-s9", "longer-s2"]


def test_without_a_chance_lost_the_longer_one_comes_first():
    short = replace(GROWN, segment_id="s1", takes_s=44.0, chance_lost=0.0)
    long = replace(GROWN, segment_id="s9", takes_s=49.0, chance_lost=0.0)
    assert [step.id for step in next_steps(Open(grown=(short, long)))] == ["longer-s9", "longer-s1"]


def test_words_without_a_drink_ask_for_one():
    step = only(drinkless_segment_id="s1")
    assert (step.kind, step.sentence) == ("no drink", "No segment says which drink it is about.")
    assert [(each.action, each.parameters) for each in step.cures] == [
        ("choose drink", {"segment": "s1"})
    ]


def test_an_unsaid_word_is_written_or_taken_off():
    step = only(claims=(UNSAID,))
    assert step.sentence == "Rosehip is on the card, nobody says it."
    assert step.cures[0].parameters == {"segment": "s4", "word": "rosehip"}
    assert [cure.acts for cure in step.cures] == [False, True]


def test_a_word_that_nothing_gives_and_nobody_says_is_not_called_said():
    said, unsaid = (
        only(claims=(replace(UNSAID, state="unbacked", is_said=is_said),))
        for is_said in (True, False)
    )
    assert said.sentence == "Rosehip is said, nothing gives it."
    assert unsaid.sentence == "Rosehip is on the card and never said, nothing gives it."
    assert [cure.label for cure in unsaid.cures] == ["Write it", "Take it off"]


def test_what_the_last_run_missed_is_told_in_one_line():
    missed = Unheard("r7", "On 20 Nov", ("warm ginger", "apricot", "plum", "fig"), ("walnut",))
    step = only(unheard=missed)
    assert step.sentence == "Apricot, fig, plum and 1 more left out, walnut said wrong."
    assert (step.detail, step.cures[0].parameters) == ("On 20 Nov", {"run": "r7"})


def test_a_goal_that_asks_for_every_claim_makes_misses_dearer():
    missed = Unheard("r7", "On 20 Nov", ("warm ginger",))
    asked = only(unheard=missed, goal=GoalAhead("3 runs", 1, with_claims=True))
    assert asked.cost == 2 * only(unheard=missed).cost


def test_a_remark_pales_with_the_runs_since():
    old, new = OpenRemark("r1", "m1", "Smile.", runs_ago=1), OpenRemark("r2", "m2", "Slower.")
    assert [step.sentence for step in next_steps(Open(remarks=(old, new)))] == [
        "“Slower.”", "“Smile.”",
    ]  # fmt: skip


def test_a_late_process_offers_an_earlier_start():
    drip = LateProcess("p1", "Drip", 0.6, 428.0, earlier_id="s1", earlier_name="Welcome")
    step = only(processes=(drip,))
    assert step.sentence == "“Drip” is ready in time 60 in 100."
    assert step.detail == "As it will run, needed at 7:08, no plan B"
    assert step.cures[0].parameters == {"process": "p1", "segment": "s1"}


def test_a_run_never_ended_is_ended_and_a_doubtful_one_judged():
    found = next_steps(
        Open(
            runs=(
                PendingRun("r1", "the run of 20 Nov", "open"),
                PendingRun("r2", "the run of 21 Nov", "doubtful", "most segments not marked"),
            )
        )
    )
    assert [step.sentence for step in found] == [
        "The run of 20 Nov was never ended.", "Does the run of 21 Nov count?",
    ]  # fmt: skip
    assert [[cure.action for cure in step.cures] for step in found] == [
        ["end run", "open run"], ["count run", "leave out run"],
    ]  # fmt: skip


def test_the_list_of_a_full_day_reads_from_the_false_word_to_the_remark():
    assert kinds(
        claims=(UNSAID, WRONG),
        grown=(GROWN,),
        unheard=Unheard("r7", "On 20 Nov", ("warm ginger",), ("walnut",)),
        remarks=(OpenRemark("r7", "m1", "Hands in front of the dripper."),),
    ) == ["wrong", "longer", "never said", "missed", "remark"]


def lines(**things):
    return {line.about: (line.is_so, line.words) for line in readiness(Open(**things))}


def test_a_routine_in_order_is_ready_in_every_line():
    assert lines(spare_s=26.4, goal=GoalAhead("3 runs in a row", 0)) == {
        "drinks": (True, "Drinks are in order"),
        "words": (True, "The words fit, 0:26 to spare"),
        "claims": (True, "No claims to settle"),
        "rules": (True, "Rules chosen"),
        "goal": (True, "3 runs in a row: reached"),
    }


def test_words_that_fit_are_no_news_while_minutes_of_the_slot_are_empty():
    assert lines(spare_s=1.0, empty_s=521.0)["plan"] == (False, "8:41 of the slot is still empty")
    assert "words" not in lines(spare_s=1.0, empty_s=521.0)
    assert lines(spare_s=-12.0, empty_s=521.0)["words"] == (False, "The words are 0:12 too long")


def test_a_plan_leaves_the_slot_empty_from_a_minute_before_the_target():
    rules = replace(RULES, slot_s=600, target_s=590)
    planned = {530.0: 70.0, 531.0: 0.0, 590.0: 0.0, 640.0: 0.0}
    found = {
        seconds: empty_s(make_routine(segments=(make_segment("s1", seconds),)), rules)
        for seconds in planned
    }
    assert found == planned


def test_what_is_not_ready_is_told_with_its_size():
    told = lines(
        spare_s=-12.0,
        drinks=("Lamp",),
        claims_to_settle=2,
        rules_invented=True,
        goal=GoalAhead("3 runs in a row", 1),
    )
    assert not any(is_so for is_so, _ in told.values())
    assert [words for _, words in told.values()] == [
        "1 drink to look at", "The words are 0:12 too long", "2 claims to settle",
        "Rules are invented: use your event’s", "3 runs in a row: 1 to go",
    ]  # fmt: skip


def test_drinks_are_not_in_order_while_parts_are_names_alone():
    assert lines(unknown_parts=1)["drinks"] == (False, "1 part not fully known")
    assert lines(unknown_parts=8)["drinks"] == (False, "8 parts not fully known")


def test_a_routine_without_ingredients_or_words_is_not_ready():
    told = lines(no_parts=True)
    assert told["drinks"] == (False, "No ingredients yet")
    assert told["words"] == (False, "No words yet")
