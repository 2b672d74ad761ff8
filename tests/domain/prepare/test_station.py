"""The bar from above: travel, reach, what is amiss, in numbers worked by hand."""

from dataclasses import replace

import pytest

from server.domain.base.errors import InvalidInput
from server.domain.prepare.kit import KitThing
from server.domain.prepare.station.amiss import amiss_of
from server.domain.prepare.station.places import free_places, held_on, set_down
from server.domain.prepare.station.seconds import own_s_per_cm, saved
from server.domain.prepare.station.setting_up import in_order, where_words
from server.domain.prepare.station.sizes import size_of
from server.domain.prepare.station.travel import step_to, travel_of
from server.domain.prepare.station.uses import Use, pours_of, stood_of, uses_of
from server.domain.routine.station import Spot, Station, Surface
from tests.factories import make_routine, make_segment

BAR = Surface("bar", "Bar", 200, 60)
FEET = {"feet_x_cm": 100.0, "feet_y_cm": 80.0}


def spot(name, x, y, **more):
    return Spot(name, name, None, x, y, **more)


def thing(name, kind="tool", **more):
    return KitThing(name, name, kind, **more)


def standing(*spots, **more):
    return Station((BAR,), spots, **{**FEET, **more})


def stood(station, kinds=()):
    kinds = dict(kinds)
    kit = [thing(each.thing, kinds.get(each.thing, "tool")) for each in station.spots]
    return stood_of(station, kit)


def travelled(station, *names, kinds=()):
    return travel_of(station, stood(station, kinds), [Use("s1", name) for name in names])


def amiss(station, pours=(), kinds=()):
    found = amiss_of(station, stood(station, kinds), pours)
    return [(each.kind, each.spot_id, each.other_id) for each in found]


def test_hands_go_straight_from_thing_to_thing():
    station = standing(spot("kettle", 100, 50), spot("cup", 140, 20), reach_cm=150)
    travel = travelled(station, "kettle", "cup", "kettle")
    # 30 from where one stands, then the long side of a triangle of 40 and 30, twice.
    assert (travel.hands_cm, travel.feet_cm) == (30 + 50 + 50, 0)


def test_feet_step_only_as_far_as_a_thing_needs():
    # Across 40 of a reach of 50 leaves 30 to the side: of 80 that is 50 to step.
    assert step_to((100, 80), 50, (180, 40)) == 150
    assert step_to((100, 80), 50, (125, 40)) == 100
    assert step_to((100, 80), 50, (20, 40)) == 50
    assert step_to((100, 80), 50, (130, 20)) == 130


def test_a_reach_beyond_comfort_is_told_with_how_often():
    station = standing(spot("kettle", 180, 40), spot("cup", 100, 10), reach_cm=60)
    far = travelled(station, "kettle", "cup", "kettle").far
    assert [(each.spot_id, each.times, each.is_out) for each in far] == [
        ("cup", 1, True),
        ("kettle", 2, False),
    ]
    assert far[1].beyond_cm == pytest.approx((80**2 + 40**2) ** 0.5 - 60)


def test_arms_cross_where_the_left_hand_goes_farther_right():
    glass, bottle = spot("glass", 150, 40), spot("bottle", 60, 40)
    kinds = {"glass": "glass"}
    assert travelled(standing(glass, bottle), "bottle", "glass", kinds=kinds).crossings
    left = standing(glass, bottle, hand="left")
    assert not travelled(left, "bottle", "glass", kinds=kinds).crossings


def test_a_taller_thing_towards_the_judges_hides_a_pour():
    glass = spot("glass", 100, 40, height_cm=15)
    bottle = spot("bottle", 104, 10, height_cm=30)
    assert amiss(standing(glass, bottle), ["glass"]) == [("hidden", "glass", "bottle")]
    assert amiss(standing(glass, replace(bottle, height_cm=15)), ["glass"]) == []
    assert amiss(standing(glass, replace(bottle, x_cm=111)), ["glass"]) == []
    assert amiss(standing(glass, bottle, judges="left"), ["glass"]) == []
    beside = replace(bottle, x_cm=60, y_cm=42)
    assert amiss(standing(glass, beside, judges="left"), ["glass"]) != []


def test_hot_beside_cold_is_told_by_the_gap_between_them():
    kettle, ice = spot("Kettle", 50, 30), spot("Ice", 70, 30)
    assert amiss(standing(kettle, ice, apart_cm=11)) == [("hot", "Kettle", "Ice")]
    assert amiss(standing(kettle, ice, apart_cm=10)) == []
    assert amiss(standing(replace(kettle, heat="neither"), ice, apart_cm=50)) == []


def test_what_hangs_over_or_stands_in_another_is_told():
    cup, tray = spot("cup", 198, 30), spot("tray", 193, 34)
    assert amiss(standing(cup, tray)) == [("over", "cup", ""), ("upon", "cup", "tray")]
    assert amiss(standing(spot("cup", 300, 30))) == [("beside", "cup", "")]


def test_uses_follow_the_order_of_the_words():
    segment = make_segment("s1", hands="Pear brandy, then ginger into the jug. Wipe the jug.")
    station = standing(
        spot("Jug", 100, 40), spot("Ginger cordial", 50, 40), spot("Pear brandy", 0, 0)
    )
    routine = make_routine(segments=(segment,))
    uses = [each.spot_id for each in uses_of(routine, stood(station))]
    assert uses == ["Pear brandy", "Ginger cordial", "Jug"]


def test_what_is_used_unnamed_comes_last_and_a_poured_glass_is_watched():
    segment = make_segment("s1", hands="Strain over the ice.")
    station = standing(spot("Cup", 50, 40), spot("Ice", 20, 40))
    kit = [thing("Cup", "glass", segment_ids=("s1",)), thing("Ice", "water", segment_ids=("s1",))]
    on_bar = stood_of(station, kit)
    routine = make_routine(segments=(segment,))
    assert [each.spot_id for each in uses_of(routine, on_bar)] == ["Ice", "Cup"]
    assert pours_of(routine, on_bar) == ("Cup",)


def test_a_thing_is_set_down_where_nothing_stands():
    station = standing()
    for number in range(20):
        down = set_down(station, spot(f"box{number}", 0, 0, width_cm=40, depth_cm=25))
        if down is not None:
            station = replace(station, spots=(*station.spots, down))
    assert 5 <= len(station.spots) <= 8
    assert amiss(station) == []
    assert all(amiss(replace(station, spots=(*station.spots, spot("x", *at)))) == []
               for at in free_places(station))  # fmt: skip


def test_a_thing_that_is_let_go_beside_the_bar_comes_to_lie_on_it():
    held = held_on(standing(), spot("tray", 300, 90, width_cm=40, depth_cm=30))
    assert (held.x_cm, held.y_cm) == (180, 45)


def test_it_is_set_up_from_the_far_side_and_cold_last():
    station = standing(
        spot("Ice", 10, 10),
        spot("near", 10, 50),
        spot("far", 90, 10),
        spot("machine", 99, 50, stays=True),
    )
    order = [each.spot.id for each in in_order(station, stood(station))]
    assert order == ["machine", "far", "near", "Ice"]


def test_glasses_stand_in_rows_of_five():
    assert size_of(thing("Stemmed glass", "glass", how_many="4 + 1"))[:2] == (45, 9)
    assert size_of(thing("Stemmed glass", "glass", how_many="8 + 1"))[:2] == (45, 18)


def test_one_thing_stands_in_one_place():
    with pytest.raises(InvalidInput):
        Station((), (Spot("a", "Cup"), Spot("b", "Cup")))


def test_own_splits_tell_the_pace_only_where_they_grow_with_the_way():
    clear = [(cm, 10 + 0.05 * cm + (-1) ** cm * 0.1) for cm in range(10, 90, 11)]
    assert own_s_per_cm(clear) == pytest.approx(0.05, rel=0.1)
    assert own_s_per_cm(clear[:5]) is None
    assert own_s_per_cm([(cm, (-1) ** cm * 10.0) for cm in range(10, 90, 11)]) is None


def test_what_is_saved_is_held_against_how_far_runs_differ():
    near = travelled(standing(spot("cup", 100, 40), reach_cm=150), "cup")
    away = travelled(standing(spot("cup", 180, 20), reach_cm=150), "cup")
    runs = [{"s1": 20.0}, {"s1": 24.0}, {"s1": 28.0}]
    gain = saved(away, near, {"s1": 24.0}, runs)
    assert gain.noise_s == 4
    assert gain.cm == pytest.approx(60)
    assert 0 < gain.seconds < 4
    assert gain.is_noise
    assert saved(away, near, {}, runs[:2]).noise_s is None


def test_a_card_names_the_surface_where_there_are_several():
    cup = spot("cup", 230, 40)
    one = standing(cup)
    two = replace(one, surfaces=(BAR, Surface("side", "Side table", 60, 50, 200, 10)))
    (each,) = stood(two)
    assert where_words(two, each) == "Side table, 30 cm from the left, 30 from the far edge"
    assert where_words(one, each) == "on no surface"
