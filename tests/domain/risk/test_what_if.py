import pytest

from server.domain.base.errors import InvalidInput, NotFound
from server.domain.risk.network import Fallback
from server.domain.risk.parts import network_of
from server.domain.risk.times import schedule
from server.domain.risk.what_if import (
    AddHelper,
    DropWords,
    Lengthen,
    MoveTo,
    Remove,
    SetFallback,
    StartAfter,
    Swap,
    all_made,
)
from server.domain.routine.estimate import Estimate
from tests.domain.risk.plans import parts, process, segment

THREE = parts(segment("a", 10), segment("b", 20), segment("c", 30))


def ids(some):
    return [each.id for each in some.segments]


def finish_of(some):
    return schedule(network_of(some), some.likely_s).finish_s


def test_dropped_words_shorten_a_segment_only_where_the_voice_is_the_longer():
    talked = parts(segment("a", 40, voice_s=50.0))
    assert finish_of(DropWords("a", 6).made(talked)) == 44
    assert finish_of(DropWords("a", 30).made(talked)) == 40


def test_dropped_words_shorten_talk_alone_by_all_of_their_time():
    talked = parts(segment("a", planned=Estimate(36, 40, 48), lane="voice"))
    shorter = DropWords("a", 10).made(talked).segments[0]
    assert shorter.planned == Estimate(27, 30, 36)


def test_words_of_unknown_length_or_none_cannot_be_dropped():
    with pytest.raises(InvalidInput, match="not known yet"):
        DropWords("a", 5).made(THREE)
    with pytest.raises(InvalidInput, match="Nothing is said"):
        DropWords("a", 5).made(parts(segment("a", lane="hands")))


def test_a_dragged_edge_changes_hands_and_voice_together():
    longer = Lengthen("a", 5).made(parts(segment("a", 40, voice_s=42.0))).segments[0]
    assert (longer.planned.likely_s, longer.voice_s) == (45, 47)
    assert Lengthen("a", -90).made(THREE).segments[0].planned.likely_s == 0


def test_segments_move_and_change_places():
    assert ids(MoveTo("c", 0).made(THREE)) == ["c", "a", "b"]
    assert ids(Swap("a", "c").made(THREE)) == ["c", "b", "a"]
    assert ids(THREE) == ["a", "b", "c"]


def test_a_removed_segment_takes_its_links_along():
    linked = parts(segment("a"), segment("b", after_ids=("a",)))
    assert Remove("a").made(linked).segments[0].after_ids == ()


def test_a_segment_on_which_a_process_hangs_cannot_be_removed():
    with pytest.raises(InvalidInput, match="“Drip” hangs on"):
        Remove("a").made(parts(*THREE.segments, processes=[process()]))
    assert ids(Remove("b").made(parts(*THREE.segments, processes=[process()]))) == ["a", "c"]


def test_a_helper_frees_the_presenter_of_work_without_words():
    some = parts(segment("a", 10), segment("b", 20, lane="hands"), segment("c", 30))
    assert finish_of(AddHelper("b").made(some)) == 40


def test_what_waits_for_the_helper_starts_when_the_helper_is_done():
    some = parts(segment("a", 10), segment("b", 60, lane="hands"), segment("c", 30))
    assert finish_of(AddHelper("b", needed_by_id="c").made(some)) == 100


def test_the_presenter_still_says_what_is_said_while_a_helper_works():
    some = parts(segment("a", 10), segment("b", 60, voice_s=25.0), segment("c", 30))
    helped = AddHelper("b").made(some)
    assert ids(helped) == ["a", "b", "b-helper", "c"]
    times = schedule(network_of(helped), helped.likely_s).times
    assert (times["b-helper"].start_s, times["b"].end_s, times["c"].end_s) == (10, 35, 65)


def test_a_helper_saves_nothing_where_the_words_may_fill_the_segment():
    some = parts(segment("a", 10), segment("b", 60))
    assert finish_of(AddHelper("b").made(some)) == finish_of(some)


def test_a_helper_cannot_talk_for_the_presenter():
    with pytest.raises(InvalidInput, match="nothing to do"):
        AddHelper("a").made(parts(segment("a", lane="voice")))


def test_a_process_gets_another_fallback_and_another_start():
    some = parts(*THREE.segments, processes=[process(100, after="b", before="c")])
    assert finish_of(some) == 160
    assert finish_of(SetFallback("p", Fallback(cost_s=5)).made(some)) == 65
    assert finish_of(StartAfter("p", "a").made(some)) == 140


def test_a_start_after_its_use_is_refused_when_the_network_is_made():
    some = parts(*THREE.segments, processes=[process(after="a", before="b")])
    with pytest.raises(InvalidInput, match="circle"):
        network_of(StartAfter("p", "c").made(some))


@pytest.mark.parametrize(
    "change",
    [
        DropWords("x", 1), Lengthen("x", 1), MoveTo("x", 0), Swap("a", "x"), Remove("x"),
        AddHelper("x"), AddHelper("b", "x"), SetFallback("x", None), StartAfter("x", "a"),
    ],
)  # fmt: skip
def test_an_unknown_part_is_said_to_be_gone(change):
    with pytest.raises(NotFound):
        change.made(parts(segment("a"), segment("b", lane="hands")))


def test_changes_are_made_one_upon_the_other():
    changed = all_made(THREE, [Swap("a", "c"), Lengthen("c", 7), Remove("b")])
    assert [(each.id, each.planned.likely_s) for each in changed.segments] == [("c", 37), ("a", 10)]
