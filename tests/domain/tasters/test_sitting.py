"""What a tasting must hold, and what of its tasters' answers belongs to it."""

from dataclasses import replace

import pytest

from server.domain.base.errors import InvalidInput
from server.domain.routine.drink import Drink
from server.domain.tasters.alcohol_each import AlcoholEach
from server.domain.tasters.decoys import AskedWord
from server.domain.tasters.record import SittingRecord, TasterRecord
from server.domain.tasters.serving import MOST_PLACES, GlassSet
from server.domain.tasters.sitting import Sitting
from server.domain.tasters.taster_answers import NOTHING_YET, Answer, Tick

SOUR, SWEET = Drink("d", "Sour"), Drink("e", "Sweet")
STATED, DECOY = AskedWord("pear", "stated"), AskedWord("oak", "near")
LIST = Sitting("s", "r", "list", "Evening", 0, 1, (SOUR,), words=(STATED, DECOY))
SETS = (GlassSet(("A", "B", "B"), ("111", "222", "333")),)
TRIANGLE = Sitting("t", "r", "triangle", "Evening", 0, 1, (SOUR, SWEET), sets=SETS)


@pytest.mark.parametrize(
    ("sitting", "changes", "field"),
    [
        (LIST, {"words": ()}, "drink"),
        (LIST, {"words": (DECOY,)}, "drink"),
        (LIST, {"words": (STATED,)}, "decoys"),
        (LIST, {"words": (STATED, *[DECOY] * 200)}, "decoys"),
        (LIST, {"sets": SETS}, "tasters"),
        (LIST, {"drinks": (SOUR, SWEET)}, "drink"),
        (TRIANGLE, {"drinks": (SOUR,)}, "drink"),
        (TRIANGLE, {"sets": ()}, "tasters"),
        (TRIANGLE, {"sets": SETS * (MOST_PLACES + 1)}, "tasters"),
        (TRIANGLE, {"kind": "preference"}, "tasters"),
    ],
)
def test_a_tasting_that_cannot_be_held_is_refused_with_its_field(sitting, changes, field):
    with pytest.raises(InvalidInput) as refused:
        replace(sitting, **changes)
    assert [fault.field for fault in refused.value.faults] == [field]


@pytest.mark.parametrize(
    ("versions", "codes", "words"),
    [
        ("AAB", ("1", "2", "2"), "code of its own"),
        ("AAB", ("1", "2"), "code of its own"),
        ("AAA", ("1", "2", "3"), "odd one"),
        ("AABB", ("1", "2", "3", "4"), "odd one"),
    ],
)
def test_glasses_without_an_odd_one_or_a_code_each_are_refused(versions, codes, words):
    with pytest.raises(InvalidInput, match=words):
        GlassSet(tuple(versions), codes)


def record(sitting, *tasters):
    return SittingRecord(sitting, tasters)


def test_answers_that_belong_to_the_tasting_are_taken():
    tick = Answer(ticks=(Tick(0), Tick(1)))
    listed = record(LIST, TasterRecord("a", 1, 0, answer=tick), TasterRecord("b", MOST_PLACES, 0))
    assert [each.answer for each in listed.tasters] == [tick, NOTHING_YET]
    odd = record(TRIANGLE, TasterRecord("a", 1, 0, answer=Answer(chosen="333")))
    assert odd.tasters[0].answer.chosen == "333"


@pytest.mark.parametrize(
    ("sitting", "tasters", "words"),
    [
        (LIST, [TasterRecord("a", 1, 0), TasterRecord("a", 2, 0)], "same key"),
        (LIST, [TasterRecord("a", 1, 0), TasterRecord("b", 1, 0)], "same place"),
        (TRIANGLE, [TasterRecord("a", 2, 0)], "places"),
        (LIST, [TasterRecord("a", 1, 0, answer=Answer(ticks=(Tick(2),)))], "not in the tasting"),
        (TRIANGLE, [TasterRecord("a", 1, 0, answer=Answer(chosen="444"))], "nobody had"),
        (LIST, [TasterRecord("a", 1, 0, answer=Answer(chosen="111"))], "nobody had"),
    ],
)
def test_answers_that_belong_to_no_such_tasting_are_refused(sitting, tasters, words):
    with pytest.raises(InvalidInput, match=words):
        record(sitting, *tasters)


@pytest.mark.parametrize(
    ("drinks", "most_drinks", "most_ml"), [(2, 1, 15), (1, 1, 30), (0.5, 1, 30), (0, 0, 30)]
)
def test_a_glass_is_as_large_as_wanted_up_to_the_limit_of_alcohol(drinks, most_drinks, most_ml):
    assert AlcoholEach(10.0 * drinks, drinks, ()).most_ml(30, most_drinks) == most_ml
