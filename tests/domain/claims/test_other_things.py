"""An amount of what the recipe does not list is held against nothing, least of all a namesake."""

from itertools import cycle, islice

import pytest

from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Passage
from server.domain.claims.lexicon import aliases
from tests.domain.claims.drinks.all_drinks import ABROAD, DRINKS
from tests.domain.claims.test_reasons import rows_of
from tests.table import table
from tests.thorough import few


def amounts(text, drink):
    finds = find_claims([Passage("s", text, drink.id)], (drink,))
    return [find for find in finds if find.kind == "amount"]


@table(
    "drink_id, text, thing",
    [
        ("bee", "I start with 400 ml of clarified tomato water.", "clarified tomato water"),
        ("bee", "Tomato water, four hundred millilitres.", "Tomato water"),
        ("quay", "Two hundred millilitres of tomato juice stand behind me.", "tomato juice"),
        ("quay", "I add 80 ml of the juice of tomatoes.", "the juice of tomatoes"),
        ("quay", "I use sixty millilitres hibiscus tea.", "hibiscus tea"),
        ("ferry", "There are 40 ml of oat milk for those who want it.", "oat milk"),
        ("ferry", "You get 20 ml of walnut syrup.", "walnut syrup"),
        ("quay", "Ten grams of sorrel go in with the gin.", "sorrel"),
    ],
)
def test_an_amount_of_something_else_is_told_by_its_own_name(drink_id, text, thing):
    (row,) = [row for row in rows_of(text, drink_id) if row.kind == "amount"]
    assert (row.state, row.is_checked) == ("unbacked", False)
    assert row.why[0].endswith(f"of {thing}; the recipe lists nothing such.")


PLAIN = ("", "the ", "fresh ", "cold ", "our own ", "good ", "homemade ", "that lovely ")


@pytest.mark.parametrize("words_each", few((2, len(PLAIN))))
def test_whatever_short_name_of_the_recipe_is_used_is_still_that(words_each):
    """Each name with all words that may stand before it, or with some of them in turn."""
    named = [
        (drink, name)
        for drink_id, drink in list(DRINKS.items())[::2]
        if drink_id not in ABROAD
        for part in drink.ingredients
        for name in aliases(part.name)
        if not name.startswith("from")
    ]
    told = [
        (each, name, find.of_other)
        for place, (drink, name) in enumerate(named)
        for each in islice(cycle(PLAIN), place * words_each, (place + 1) * words_each)
        for find in amounts(f"I pour 37 ml of {each}{name} into the tin.", drink)
        if find.of_other
    ]
    assert len(named) > 100
    assert told == []


@table(
    "drink_id, text, owner",
    [
        ("quay", "Sixty of the tea, which we brewed cold.", "tea"),
        ("quay", "I pour 60 ml of tomato juice and 40 ml of gin.", "gin"),
        ("bee", "That's 90 ml of the water with the bubbles.", "soda"),
        (
            "still",
            "I take thirty millilitres of juice from green grapes, then 60 of apple.",
            "apple",
        ),
    ],
)
def test_the_other_amounts_of_the_sentence_keep_their_ingredients(drink_id, text, owner):
    assert amounts(text, DRINKS[drink_id])[-1].ingredient_ids == (owner,)


def test_the_whole_of_a_drink_is_nothing_else():
    for words in ("liquid", "the drink", "it", "everything", "alcohol", "ice"):
        assert not [
            each for each in amounts(f"I pour 90 ml of {words}.", DRINKS["quay"]) if each.of_other
        ]
