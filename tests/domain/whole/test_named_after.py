"""Segments that bear the name of a drink become its own when it is written down."""

from server.domain.routine.drink import Drink
from server.domain.whole.named_after import with_segments_named_after
from tests.factories import make_routine, make_segment

DRINKS = (Drink("d1", "Hay Loft", 2), Drink("d2", "Fig Morning", 2))


def owners(names, drink_id, drinks=DRINKS, **known):
    segments = [
        make_segment(f"s{n}", name=name, drink_id=known.get(f"s{n}"))
        for n, name in enumerate(names)
    ]
    routine = make_routine(segments=tuple(segments), drinks=drinks)
    return [each.drink_id for each in with_segments_named_after(routine, drink_id).segments]


def test_what_is_named_after_a_drink_becomes_its_own():
    names = ("Welcome", "Hay Loft, introduction", "make hay loft", "Fig Morning, serve")
    assert owners(names, "d1") == [None, "d1", "d1", None]
    assert owners(names, "d2") == [None, None, None, "d2"]


def test_what_names_both_or_is_anothers_already_stays_as_it_is():
    assert owners(("Hay Loft and Fig Morning", "Hay Loft, serve"), "d1", s1="d2") == [None, "d2"]


def test_what_is_only_said_gives_a_segment_to_no_drink():
    segment = make_segment("s1", name="Close", said="That was Hay Loft. Thank you.")
    routine = make_routine(segments=(segment,), drinks=DRINKS[:1])
    assert with_segments_named_after(routine, "d1") == routine
