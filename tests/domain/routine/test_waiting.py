"""What waits before it goes in. Outside check: Newton's law of cooling, worked by hand."""

from dataclasses import replace
from math import exp

import pytest

from server.domain.base.amounts import Amount
from server.domain.base.errors import InvalidInput
from server.domain.glass.balance import balance
from server.domain.glass.cooling import usual_cooling_per_min
from server.domain.glass.figures import Figure
from server.domain.glass.substance import Substance
from server.domain.glass.vessel import Vessel
from server.domain.routine.ahead import Ahead
from server.domain.routine.drink import Drink, Ingredient, Service
from server.domain.routine.edits import remove_drink, remove_ingredient
from server.domain.routine.routine import Spread
from server.domain.routine.waiting import as_used, cooling_of
from tests.factories import make_process, make_routine, make_segment

ROOM = Service(room_c=20.0)


def water(temp_c, **ahead):
    substance = None if temp_c is None else Substance(kind="water", temp_c=Figure(temp_c))
    return Ingredient("w", "Water", Amount(150, "ml"), substance=substance, ahead=Ahead(**ahead))


def glass(part, service=ROOM):
    return Drink("d", "Dusk", 1, (part,), service=service)


def brewing(**changes):
    """Start, two minutes of talk, pour; the process takes one of the two minutes."""
    segments = (
        make_segment("start", 10),
        make_segment("talk", 120),
        make_segment("pour", 10),
    )
    process = make_process(
        duration=Spread(60), after_segment_id="start", before_segment_id="pour",
        product_id="w", **changes,
    )  # fmt: skip
    return segments, (process,)


def test_a_product_that_is_ready_early_cools_until_it_is_needed():
    segments, processes = brewing(to_c=80)
    used = as_used(glass(water(None)), segments, processes)
    (waited,) = used.waited
    assert (waited.stand.likely_s, waited.process_id) == (60, processes[0].id)
    # One minute at 0.04 a minute, which is the usual constant of 150 ml and more.
    assert waited.after.value == pytest.approx(20 + 60 * exp(-0.04))
    assert balance(used.drink).batch.temp_c.value == pytest.approx(waited.after.value)


def test_a_slow_process_and_quick_segments_make_the_shortest_wait():
    segments, (process,) = brewing(to_c=80)
    talk = replace(segments[1], duration=Spread(120, 100, 150))
    slow = replace(process, duration=Spread(60, 50, 90))
    (waited,) = as_used(glass(water(None)), (segments[0], talk, segments[2]), (slow,)).waited
    assert waited.stand == (10, 60, 100)
    assert waited.after.least < waited.after.value < waited.after.most < 80


def test_a_batch_out_of_the_fridge_warms_while_it_stands():
    part = water(4.0, out_min=Figure(10.0, 5.0, 20.0))
    used = as_used(glass(part), (), ())
    assert used.waited[0].after.value == pytest.approx(20 - 16 * exp(-0.4))
    served = balance(used.drink).batch.temp_c
    assert (served.low, served.high) == pytest.approx(
        (20 - 16 * exp(-0.02 * 5), 20 - 16 * exp(-0.08 * 20))
    )


@pytest.mark.parametrize("part", [water(None, out_min=Figure(10.0)), water(4.0)])
def test_what_does_not_wait_or_has_no_temperature_stays_as_it_is(part):
    drink = glass(part)
    assert as_used(drink, *brewing()[:1], ()).drink == drink


def test_a_process_without_a_link_feeds_nothing():
    segments, (process,) = brewing(to_c=80)
    loose = replace(process, before_segment_id=None)
    assert as_used(glass(water(None)), segments, (loose,)).waited == ()


def test_a_product_cools_as_fast_in_the_vessel_as_its_process_did():
    own = Service(Vessel(cooling_per_min=Figure(0.2)), 20.0)
    segments, processes = brewing(to_c=80, vessel_drink_id="d")
    (waited,) = as_used(glass(water(None), own), segments, processes).waited
    assert waited.after.value == pytest.approx(20 + 60 * exp(-0.2))


def test_a_vessel_nobody_measured_cools_little_faster_than_much():
    assert cooling_of(ROOM, 40) == usual_cooling_per_min(40) != usual_cooling_per_min(200)
    own = Service(Vessel(cooling_per_min=Figure(0.05)))
    assert cooling_of(own, 40) == Figure(0.05)


def test_a_product_that_is_deleted_is_no_product_any_more():
    segments, processes = brewing()
    routine = make_routine(drinks=(glass(water(4.0)),), segments=segments, processes=processes)
    assert remove_ingredient(routine, "d", "w").processes[0].product_id is None
    assert remove_drink(routine, "d").processes[0].product_id is None


def test_a_process_makes_only_what_is_there():
    segments, processes = brewing()
    with pytest.raises(InvalidInput, match="makes no ingredient of this"):
        make_routine(segments=segments, processes=processes)


@pytest.mark.parametrize("out_min", [Figure(-1.0), Figure(2000.0)])
def test_nothing_stands_out_for_less_than_nothing_or_beyond_a_day(out_min):
    with pytest.raises(InvalidInput, match="stands out"):
        Ahead(out_min=out_min)
