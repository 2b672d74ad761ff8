"""Flavours told in more than one word are one claim, backed by what backs the words in it."""

from dataclasses import replace

from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Passage
from server.domain.claims.ledger import ledger
from server.domain.claims.rows import ScriptCase
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.more import a_juice, a_spirit, part
from tests.table import table

DRINK = Drink(
    "d",
    "Laterne",
    1,
    (part("rum", "Aged rum, 40 % vol", 40, "ml", ("walnut", "apricot"), a_spirit(40.0)),),
    ("plum", "toffee"),
)


def words(said):
    finds = find_claims([Passage("s", said, "d")], (DRINK,), "en")
    return [one.word for one in finds if one.kind == "descriptor"]


@table(
    "said, found",
    [
        ("You will find walnut cake and unripe mango.", ["walnut cake", "unripe mango"]),
        ("It tastes of watermelon rind, then of wet grass.", ["watermelon rind", "wet grass"]),
        ("It tastes of sour cherry.", ["sour cherry"]),
        ("You will find walnut, cake and mango.", ["walnut", "cake", "mango"]),
        ("There is grassy freshness in it.", ["grass", "fresh"]),
        ("You will find walnut or mango.", ["walnut", "mango"]),
    ],
)
def test_a_flavour_in_two_words_is_one_claim_and_a_list_is_not(said, found):
    assert words(said) == found


@table(
    "said, found",
    [
        (
            "It tastes of strawberry yoghurt and cherry muffin.",
            ["strawberry yoghurt", "cherry muffin"],
        ),
        ("It tastes of the skin of a grape.", ["grape skin"]),
        ("It tastes of chocolate-covered cherry.", ["chocolate covered cherry"]),
        ("It tastes of warm hay, dry grass, old wood.", ["warm hay", "dry grass", "old wood"]),
        ("You will find dry walnut.", ["dry", "walnut"]),
        ("It tastes of cold tea and soft vanilla.", ["cold", "tea", "soft", "vanilla"]),
        ("It tastes of floral honey.", ["flower", "honey"]),
        ("The plum leaves first, then comes the toffee.", ["plum", "toffee"]),
    ],
)
def test_states_parts_and_what_is_made_of_a_flavour_belong_to_it(said, found):
    assert words(said) == found


def test_who_says_a_word_of_the_card_with_its_state_has_said_it():
    said = "It tastes of ripe plum and of burnt toffee."
    assert words(said) == ["ripe plum", "burnt toffee"]
    rows = ledger(ScriptCase((Passage("s", said, "d"),), (DRINK,))).rows
    assert [row.label for row in rows if "unsaid" in row.states] == []


@table(
    "said, parts",
    [
        ("I pour 40 ml of dark rum.", ["rum"]),
        ("I pour 40 ml of the aged rum, slowly.", ["rum"]),
        ("Then 40 ml of rum, from a rum cask.", ["rum", "rum"]),
    ],
)
def test_an_ingredient_that_is_told_in_two_words_stays_one(said, parts):
    finds = find_claims([Passage("s", said, "d")], (DRINK,), "en")
    assert [one.ingredient_ids[0] for one in finds if one.kind == "ingredient"] == parts
    assert [one.ingredient_ids for one in finds if one.kind == "amount"] == [("rum",)]


def test_without_marks_two_flavours_side_by_side_may_be_two_claims():
    said = "so on the nose you get walnut mango and some leather " * 6
    assert set(words(said)) == {"walnut", "mango", "leather"}


def test_what_backs_the_last_word_backs_the_whole_as_something_more_particular():
    text = "You will find roasted walnut and apricot skin."
    rows = ledger(ScriptCase((Passage("s", text, "d"),), (DRINK,))).rows
    states = {row.label: row.state for row in rows if row.kind == "descriptor" and row.sayings}
    assert states == {"roasted walnut": "weakly backed", "apricot skin": "weakly backed"}


@table(
    "said, tastes",
    [
        ("I add 30 ml of fresh lemon juice, strained.", []),
        ("It smells of fresh lemon peel.", ["fresh lemon peel"]),
        ("It tastes fresh. Lemon juice does that.", ["fresh"]),
    ],
)
def test_the_name_of_a_part_tells_no_taste_in_whatever_order_its_words_are(said, tastes):
    juice = part("lemon", "Lemon juice, fresh", 30, "ml", (), a_juice(2.0, 6.0))
    drink = replace(DRINK, ingredients=(*DRINK.ingredients, juice))
    finds = find_claims([Passage("s", said, "d")], (drink,), "en")
    assert [one.word for one in finds if one.kind == "descriptor"] == tastes
