"""Changes tried on a routine. Inside check: the what-ifs of `server.domain.risk` on parts alone."""

from dataclasses import replace

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput, NotFound
from server.domain.belief.words_pace import learn_pace
from server.domain.claims.pace import costs
from server.domain.risk.activities import Fallback
from server.domain.risk.forecast import forecast
from server.domain.risk.model import model_of
from server.domain.risk.parts import parts_of
from server.domain.routine.routine import Spread
from server.domain.whole import tryouts
from tests.domain.risk.changes import AddHelper, Lengthen, SetFallback, StartAfter, Swap, what_if
from tests.factories import RULES, make_process, make_routine, make_segment

PACE = learn_pace([])
TALK = make_segment("s1", 20, lane="voice", said="Good evening to all. Please settle in. We begin.")
HANDS = make_segment("s2", 60, lane="hands")
BOTH = make_segment("s3", 60, said="Here it is.")
ROUTINE = make_routine(segments=(TALK, HANDS, BOTH, "s4"), processes=(make_process(before="s4"),))


def segment(routine, segment_id):
    return next(each for each in routine.segments if each.id == segment_id)


def test_a_sentence_left_out_takes_its_seconds_from_talk_alone():
    cost = costs(TALK.said, PACE)[1]
    changed = segment(tryouts.drop_sentence(ROUTINE, "s1", 1, PACE).edit(ROUTINE), "s1")
    assert changed.said == "Good evening to all. We begin."
    assert changed.duration.likely_s == pytest.approx(20 - cost.seconds, abs=0.05)


def test_a_sentence_left_out_leaves_the_time_of_the_hands():
    changed = segment(tryouts.drop_sentence(ROUTINE, "s3", 0, PACE).edit(ROUTINE), "s3")
    assert (changed.said, changed.duration.likely_s) == ("", 60)


def test_a_sentence_that_is_gone_is_told():
    with pytest.raises(InvalidInput, match="no such sentence"):
        tryouts.drop_sentence(ROUTINE, "s1", 9, PACE)


def test_changes_of_one_segment_add_up():
    steps = [
        tryouts.drop_sentence(ROUTINE, "s1", 1, PACE),
        tryouts.lengthen(ROUTINE, "s1", 10),
    ]
    one = segment(tryouts.all_tried(ROUTINE, steps), "s1")
    other = segment(tryouts.all_tried(ROUTINE, steps[::-1]), "s1")
    assert one == other
    assert one.said != TALK.said
    assert one.duration.likely_s > 20


@pytest.mark.parametrize(
    ("tryout", "change"),
    [
        (tryouts.lengthen(ROUTINE, "s2", -12), Lengthen("s2", -12)),
        (tryouts.swap(ROUTINE, "s2", "s3"), Swap("s2", "s3")),
        (tryouts.add_helper(ROUTINE, "s2", "s4", "new", PACE), AddHelper("s2", "s4")),
        (tryouts.start_after(ROUTINE, "p1", "s2"), StartAfter("p1", "s2")),
        (
            tryouts.set_fallback(ROUTINE, "p1", 3, 100, 5),
            SetFallback("p1", Fallback(3, 100, 5)),
        ),
        (tryouts.wait_for(ROUTINE, "p1"), SetFallback("p1", None)),
    ],
    ids=["longer", "swap", "helper", "start", "fallback", "wait"],
)
def test_a_tried_change_is_forecast_as_the_same_change_of_the_network(tryout, change):
    model = model_of(parts_of(ROUTINE))
    ours = forecast(model.changed(parts_of(tryout.edit(ROUTINE))), RULES, 4096)
    theirs = what_if(model, RULES, [change], 4096).after
    assert ours.mean_s == pytest.approx(theirs.mean_s, abs=0.05)
    assert ours.processes == theirs.processes


def test_a_helper_takes_the_hands_of_a_segment_and_leaves_its_words():
    changed = tryouts.add_helper(ROUTINE, "s3", "s4", "new", PACE).edit(ROUTINE)
    assert [each.id for each in changed.segments] == ["s1", "s2", "s3", "new", "s4"]
    spoken, hands = segment(changed, "s3"), segment(changed, "new")
    assert (spoken.lane, spoken.said, hands.lane, hands.said) == ("voice", BOTH.said, "hands", "")
    assert (hands.helper, hands.alongside, hands.duration) == (True, True, BOTH.duration)
    assert segment(changed, "s4").after_segment_ids == ("new",)


@pytest.mark.parametrize(
    ("routine", "told"),
    [
        (ROUTINE, "leaves a helper nothing"),
        (make_routine(segments=(replace(HANDS, id="s1", helper=True),)), "does .* already"),
    ],
)
def test_a_helper_without_work_is_told(routine, told):
    with pytest.raises(InvalidInput, match=told):
        tryouts.add_helper(routine, "s1", None, "new", PACE)


def test_an_order_of_other_segments_is_refused():
    with pytest.raises(InvalidInput, match="changed meanwhile"):
        tryouts.in_order(ROUTINE, ["s1", "s2"])
    with pytest.raises(NotFound):
        tryouts.in_order(ROUTINE, ["s1", "s2", "s3", "gone"])


def test_every_change_says_what_it_does():
    words = [
        tryouts.drop_sentence(ROUTINE, "s1", 1, PACE).words,
        tryouts.lengthen(ROUTINE, "s1", -5).words,
        tryouts.swap(ROUTINE, "s2", "s3").words,
    ]
    assert "leave out “Please settle in.” in “Segment s1” (−" in words[0]
    assert words[1:] == ["“Segment s1” 0:05 shorter", "swap “Segment s2” and “Segment s3”"]


@given(st.floats(0, 900), st.floats(0, 900), st.floats(0, 900), st.floats(-1000, 1000))
@example(0.0, 5e-324, 1.0, 1.0)
def test_a_changed_duration_keeps_its_order_and_is_never_negative(a, b, c, step_s):
    low_s, likely_s, high_s = sorted((a, b, c))
    changed = Spread(likely_s, low_s, high_s).changed_by(step_s)
    assert 0 <= changed.low_s <= changed.likely_s <= changed.high_s
    assert changed.likely_s == pytest.approx(max(likely_s + step_s, 0), abs=0.051)
