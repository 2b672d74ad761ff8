import pytest
from hypothesis import given

from server.domain.base.amounts import Amount
from server.domain.base.errors import InvalidInput
from server.domain.base.text import LINE, LONG_TEXT
from server.domain.routine.drink import MOST_WORDS, Drink, Ingredient
from server.domain.routine.routine import MOST_SEGMENTS, Process, Routine, Segment, Spread
from tests.domain.strategies import routines
from tests.table import table


def segment(segment_id="s1", **changes):
    return Segment(**{"id": segment_id, "name": segment_id, "duration": Spread(30), **changes})


def routine(*segments, **changes):
    return Routine(
        **{"id": "r", "name": "Mine", "rule_sheet_id": "x", "segments": segments, **changes}
    )


def faults_of(build):
    with pytest.raises(InvalidInput) as refused:
        build()
    return [fault.field for fault in refused.value.faults]


def test_a_segment_needs_only_a_name_and_a_duration():
    plain = Segment(id="s", name="Pour", duration=Spread(30))
    assert (plain.lane, plain.hands, plain.said, plain.drink_id) == ("both", "", "", None)


def test_the_likely_duration_stands_in_where_lowest_and_highest_are_not_given():
    assert (Spread(30).least_s, Spread(30).most_s) == (30, 30)
    assert (Spread(30, 20, 45).least_s, Spread(30, 20, 45).most_s) == (20, 45)


@pytest.mark.parametrize(
    ("low_s", "high_s", "fields"),
    [(31, None, ["low"]), (None, 29, ["high"]), (40, 20, ["low", "high"])],
)
def test_a_likely_duration_lies_between_lowest_and_highest(low_s, high_s, fields):
    assert faults_of(lambda: Spread(30, low_s, high_s)) == fields


@pytest.mark.parametrize(
    ("spread_s", "fields"),
    [
        ((-1.0,), ["likely"]),
        ((float("nan"),), ["likely"]),
        ((86_401.0,), ["likely"]),
        ((30.0, -1.0), ["low"]),
        ((30.0, None, 86_401.0), ["high"]),
    ],
)
def test_a_duration_is_neither_negative_nor_longer_than_a_day(spread_s, fields):
    assert faults_of(lambda: Spread(*spread_s)) == fields


def test_what_just_fits_is_taken():
    assert Spread(30, 30, 30).least_s == 30
    assert (Spread(0).most_s, Spread(86_400).most_s) == (0, 86_400)
    assert len(segment(name="x" * LINE, said="x" * LONG_TEXT).name) == LINE
    assert len(Drink("d", "D", 100, (), ("plum",) * (MOST_WORDS - 1) + ("x" * LINE,)).name) == 1
    assert len(routine(*[segment(f"s{n}") for n in range(MOST_SEGMENTS)]).segments) == 200


@table(
    "build, field",
    [
        (lambda: segment(name=" "), "name"),
        (lambda: segment(name="x" * (LINE + 1)), "name"),
        (lambda: segment(hands="x" * (LONG_TEXT + 1)), "hands"),
        (lambda: segment(said="x" * (LONG_TEXT + 1)), "said"),
        (lambda: Drink("d", ""), "name"),
        (lambda: Drink("d", "D", serves=0), "serves"),
        (lambda: Drink("d", "D", serves=101), "serves"),
        (lambda: Drink("d", "D", descriptors=("plum",) * (MOST_WORDS + 1)), "descriptors"),
        (lambda: Ingredient("i", "I", Amount(1, "ml"), ("",)), "descriptors"),
        (lambda: Ingredient("i", "I", Amount(1, "ml"), ("x" * (LINE + 1),)), "descriptors"),
        (lambda: Process("p", "", Spread(1)), "name"),
        (lambda: Process("p", "P", Spread(1), fallback="x" * (LONG_TEXT + 1)), "fallback"),
        (lambda: routine(name=""), "name"),
        (lambda: routine(presenter="x" * (LINE + 1)), "presenter"),
        (lambda: routine(language="tlh"), "language"),
        (lambda: routine(segment("a"), segment("a")), "id"),
        (lambda: routine(segment("a", drink_id="gone")), "drink"),
        (lambda: routine(processes=(Process("p", "P", Spread(1), "gone"),)), "after"),
        (lambda: routine(processes=(Process("p", "P", Spread(1), None, "gone"),)), "before"),
        (lambda: routine(*[segment(f"s{n}") for n in range(MOST_SEGMENTS + 1)]), "name"),
    ],
)
def test_a_part_that_breaks_a_rule_cannot_exist(build, field):
    assert faults_of(build) == [field]


def test_text_with_markup_in_it_is_kept_as_it_was_typed():
    assert segment(name="<b>Pour</b>").name == "<b>Pour</b>"


def test_a_process_may_start_and_be_needed_at_neighbouring_segments():
    process = Process("p", "Drip", Spread(60), "s1", "s2")
    assert routine(segment("s1"), segment("s2"), processes=(process,)).processes == (process,)


@pytest.mark.parametrize(("after", "before"), [("s2", "s1"), ("s1", "s1"), ("s3", "s2")])
def test_a_process_that_must_be_ready_before_it_starts_cannot_exist(after, before):
    process = Process("p", "Drip", Spread(60), after, before)
    segments = [segment(name) for name in ("s1", "s2", "s3")]
    assert faults_of(lambda: routine(*segments, processes=(process,))) == ["before"]


def test_a_circle_of_waiting_is_told_by_the_names_along_it():
    process = Process("p", "Drip", Spread(60), "s2", "s1")
    with pytest.raises(InvalidInput) as refused:
        routine(segment("s1", name="Serve"), segment("s2", name="Start"), processes=(process,))
    for name in ("“Drip”", "“Serve”", "“Start”"):
        assert name in refused.value.message


@given(routines())
def test_no_two_parts_of_a_routine_share_an_id(value):
    ids = [part.id for part in (*value.drinks, *value.segments, *value.processes)]
    ids += [part.id for drink in value.drinks for part in drink.ingredients]
    assert len(ids) == len(set(ids))
