"""What the page of a blind list says of all its words, and of those who tasted twice."""

from dataclasses import replace

import pytest

from server.domain.tasters.found_words import findings
from server.store.tastings.tasters import Taster
from server.web.tasters.conclusion import list_headline
from server.web.tasters.one_view import beneath_of, beside_lines, decoys_told
from server.web.tasters.results import Result, in_both
from tests.domain.tasters.test_found_words import SITTING, card


def result(*people):
    """Of (name, answer) of each who tasted."""
    tasters = tuple(
        Taster(f"k{at}", name, 1, at + 1, answer, apart=False)
        for at, (name, answer) in enumerate(people)
    )
    return Result(SITTING, tasters, findings(SITTING, [each.answer for each in tasters]), None)


@pytest.mark.parametrize(
    ("places", "told"),
    [
        ((0,), "Some words are found more often than others: chance sets them so far apart"),
        ((0, 2), "No word is surely found more often than another: chance sets them so far apart"),
    ],
)
def test_it_is_told_whether_words_are_found_alike(places, told):
    assert told in decoys_told(findings(SITTING, [card(*places)] * 6))


def test_of_two_tasters_it_is_told_that_no_word_can_be_found_and_how_many_it_takes():
    # Three, see test_found_words: two words among four decoys.
    two, three = (findings(SITTING, [card(0)] * tasters) for tasters in (2, 3))
    assert list_headline(two) == "2 tasters are too few to tell"
    assert decoys_told(two).endswith("even if all find it: let 3 or more taste.")
    assert list_headline(three) == "1 of 2 words found"


def test_a_tasting_is_called_by_its_name_on_its_page():
    named = result(("Ada", card(0)))
    assert beneath_of(named).startswith("Evening. Blind list: Sour, ")
    unnamed = replace(named, sitting=replace(SITTING, name="Sour"))
    assert beneath_of(unnamed).startswith("Blind list: Sour, ")


def test_of_three_tasters_nothing_is_told_of_words_against_one_another():
    assert "chance" not in decoys_told(findings(SITTING, [card(0)] * 3))


def test_who_tasted_twice_is_known_by_a_name_that_nobody_shares():
    one = result(("Ada", card(0)), ("Bea", card(0)), ("Cleo", card(0)), ("cleo", card()))
    other = result(("ada ", card(2)), ("Dora", card()), ("Cleo", card(2)))
    assert in_both(one, other) == [(card(0), card(2))]


def test_two_lists_of_the_same_tasters_stand_side_by_side():
    names = ["Ada", "Bea", "Cleo", "Dora", "Eve", "Fay", "Gil", "Hal"]
    before, after = (result(*((name, card(*places)) for name in names)) for places in ((0,), ()))
    verdicts = {line.word: line.verdict for line in beside_lines(before, after)}
    assert verdicts["plum"].startswith("differs")
    assert verdicts["rose"] == "no difference shown"
