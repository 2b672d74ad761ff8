"""What stands better elsewhere: never worse, measured as the page measures it."""

import random
from dataclasses import replace

from server.demo import demo_file
from server.domain.prepare.kit import KitThing, kit_of
from server.domain.prepare.station.amiss import amiss_of
from server.domain.prepare.station.better import better_station
from server.domain.prepare.station.travel import travel_of
from server.domain.prepare.station.uses import Use, pours_of, stood_of, uses_of
from server.domain.routine.station import Spot, Station, Surface


def drawn_station(seed, things=7):
    """Things of several sizes in a row, used in an order drawn by seed; one of them stays."""
    drawn = random.Random(seed)
    spots = tuple(
        Spot(f"t{n}", f"t{n}", None, 12 + 24 * n, drawn.choice((15, 45)), drawn.choice((8, 14)),
             drawn.choice((8, 14)), heat=drawn.choice(("hot", "cold", "")), stays=n == 3)
        for n in range(things)
    )  # fmt: skip
    station = Station((Surface("bar", "Bar", 180, 60),), spots)
    uses = [Use(f"s{n // 5}", f"t{drawn.randrange(things)}") for n in range(30)]
    return station, uses


def kit_for(station):
    return [KitThing(spot.thing, spot.thing, "tool") for spot in station.spots]


def travelled(station, uses):
    return travel_of(station, stood_of(station, kit_for(station)), uses).all_cm


def test_a_proposal_is_never_worse_and_leaves_what_stays():
    for seed in range(8):
        station, uses = drawn_station(seed)
        on_bar = stood_of(station, kit_for(station))
        found = better_station(station, on_bar, uses, ())
        after = stood_of(found.station, kit_for(station))
        assert len(amiss_of(found.station, after, ())) <= len(amiss_of(station, on_bar, ()))
        assert "t3" not in {move.spot_id for move in found.moves}
        assert found.least_cm <= travelled(found.station, uses) + 1e-6
        assert found.least_cm <= travelled(station, uses) + 1e-6


def test_a_thing_used_all_the_time_comes_near():
    far, near = Spot("far", "far", None, 170, 30), Spot("near", "near", None, 100, 40)
    station = Station((Surface("bar", "Bar", 200, 60),), (far, near))
    uses = [Use("s1", "far"), Use("s2", "near"), Use("s3", "far"), Use("s4", "far")]
    found = better_station(station, stood_of(station, kit_for(station)), uses, ())
    ends = {spot.id: spot.x_cm for spot in found.station.spots}
    assert abs(ends["far"] - 100) < 20
    assert travelled(found.station, uses) < travelled(station, uses) / 2


def test_nothing_is_moved_for_next_to_nothing():
    spots = (Spot("one", "one", None, 100, 50), Spot("other", "other", None, 100, 30))
    station = Station((Surface("bar", "Bar", 200, 60),), spots)
    found = better_station(station, stood_of(station, kit_for(station)), [Use("s1", "one")], ())
    assert (found.moves, found.station) == ((), station)


def test_the_demo_gets_shorter_ways_by_three_exchanges():
    file = demo_file()
    kit = kit_of(file.routine, file.rules)
    station = file.routine.preparation.station
    on_bar = stood_of(station, kit)
    uses, pours = uses_of(file.routine, on_bar), pours_of(file.routine, on_bar)
    before = travel_of(station, on_bar, uses)
    found = better_station(station, on_bar, uses, pours, 3)
    after = travel_of(found.station, stood_of(found.station, kit), uses)
    assert 2 <= len(found.moves) <= 6
    assert after.all_cm < before.all_cm - 100
    assert len({spot.key for spot in station.spots}) == len(replace(station).spots) >= 18
