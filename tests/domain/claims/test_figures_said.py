"""Figures told in the ways that invented presenters told them: by rules, never by a sentence."""

import pytest

from tests.domain.claims import said
from tests.table import table


def found(text, kinds):
    one = said.Said("quay", "en", text, ())
    finds = [find for _, find, _ in said.compared(one)]
    return [(f.kind, f.low, f.unit or f.word, f.bound) for f in finds if f.kind in kinds]


@table(
    "text, unit, number, bound",
    [
        ("I strain it twice through a cloth.", "strain", 2, "exactly"),
        ("I stir it at least thirty times.", "stir", 30, "over"),
        ("I lift the spoon only once.", "lift", 1, "exactly"),
        ("There are six things in the bottle.", "ingredient", 6, "exactly"),
        ("Thirty turns, no, sorry, forty turns.", "stir", 40, "exactly"),
    ],
)
def test_how_often_something_is_done_is_a_count(text, unit, number, bound):
    assert found(text, {"count"}) == [("count", number, unit, bound)]


@pytest.mark.parametrize(
    "text",
    ["Past fifteen it turns watery.", "I stir once it is cold.", "Three things here are brown."],
)
def test_what_no_hand_counts_is_no_count(text):
    assert found(text, {"count"}) == []


@table(
    "text, serves",
    [
        ("I'm making four.", [4]), ("Four tall glasses.", [4]), ("I will make four of these.", [4]),
        ("You've had eleven drinks with flowers in.", []),
    ],
)  # fmt: skip
def test_serves_are_understood_without_their_word(text, serves):
    assert [low for _, low, _, _ in found(text, {"serves"})] == serves


@pytest.mark.parametrize(
    "text",
    [
        "I have nine minutes.", "The aftertaste stays for at least a minute.",
        "After ten minutes it's strong.", "It is half a second wide.", "Those eleven minutes.",
    ],
)  # fmt: skip
def test_minutes_of_the_talk_and_of_tasting_are_no_times_of_the_drink(text):
    assert found(text, {"time"}) == []


@table(
    "text, seconds, bound",
    [
        ("In three pours over three minutes.", [180], "exactly"),
        ("One to ten, fourteen hours.", [50_400], "exactly"),
        ("I shake it dry, ten seconds. With ice, twelve.", [10, 12], "exactly"),
        ("It rests for no less than an hour.", [3_600], "over"),
    ],
)
def test_times_of_the_brew_and_the_shake_are_found(text, seconds, bound):
    told = found(text, {"time"})
    assert ([low for _, low, _, _ in told], told[-1][3]) == (seconds, bound)


@table(
    "text, last",
    [
        ("It's forty-two per cent; in the glass you're under sixteen.", ("strength", 16, "under")),
        ("The milk's at sixty degrees, never over sixty-five.", ("temperature", 65, "under")),
        ("Three drops of saline, never more than four.", ("amount", 4, "under")),
    ],
)
def test_a_bound_is_told_in_the_unit_of_what_was_told_before(text, last):
    kind, low, _, bound = found(text, {"strength", "temperature", "amount"})[-1]
    assert (kind, low, bound) == last


@table(
    "text, words",
    [
        ("Does it have alcohol? None.", ["alcohol"]),
        ("Egg is not. Nuts are not.", ["egg", "nuts"]),
        ("It is safe for coeliacs.", ["gluten"]), ("Vegans may drink it.", ["animal"]),
        ("It holds nothing of animal origin.", ["animal"]),
        ("If you avoid milk, tell me; there are no nuts.", ["nuts"]),
        ("Without egg, well, no, there is egg.", []), ("It has no sugar in its voice.", []),
        ("It isn't without caffeine.", []), ("Vegans: sorry.", []), ("It's vegan.", ["animal"]),
        ("My vegan cousin.", []),
        ("It has practically no sugar.", []),
    ],
)  # fmt: skip
def test_absences_are_read_behind_their_word_and_left_where_they_claim_nothing(text, words):
    assert [word for _, _, word, _ in found(text, {"free"})] == words
