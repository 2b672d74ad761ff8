"""What is denied from afar, and numbers that hang on others, are read by the order of words."""

import pytest

from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Passage
from tests.domain.claims.drinks.all_drinks import DRINKS
from tests.table import table


def finds(text, drink_id="quay"):
    drink = DRINKS[drink_id]
    return find_claims([Passage("s", text, drink.id)], (drink,))


@pytest.mark.usefixtures("by_rules_alone")
@table(
    "text, claimed",
    [
        ("Without bitterness, smoke or burn.", ["lacks", "lacks", "lacks"]),
        ("It doesn't taste bitter, or grassy for that matter.", ["lacks", "lacks"]),
        ("There's smoke, caramel and chocolate in it.", ["has", "has", "has"]),
        ("If it has no smoke, lime or almond lead it.", ["lacks", "has", "has"]),
        ("It's not sweet, nor is it bitter.", ["lacks", "lacks"]),
        ("What you won't get is smoke.", ["lacks"]),
        ("Cloying it is not.", ["lacks"]),
        ("You'd be hard pressed to find smoke in it.", ["lacks"]),
        ("It refuses to be sweet.", ["lacks"]),
        ("Nobody will accuse it of being sweet.", ["lacks"]),
        ("Would I call it smoky? I would not.", ["lacks"]),
        ("Would I call it smoky? I would.", ["has"]),
        ("would i call it smoky i would not", ["lacks"]),
        ("Is it thick? Quite the opposite.", ["lacks"]),
        ("There's precious little smoke.", ["some"]),
        ("It stops just before cloying.", ["lacks"]),
        ("Could you do without the smoke? I couldn't.", ["has"]),
        ("As for bitterness, there isn't any.", ["lacks"]),
        ("I could tell you it's fruity, but I'd be lying.", ["lacks"]),
        ("It isn't so much sour as bitter.", ["some", "has"]),
        ("Isn't that silky?", ["has"]),
        ("It has no business being this silky.", ["has"]),
        ("It isn't all smoke.", ["has"]),
    ],
)
def test_a_denial_reaches_what_its_sentence_denies_and_no_more(text, claimed):
    told = [find.polarity for find in finds(text) if find.kind == "descriptor"]
    assert told == claimed


@table(
    "drink_id, text, amounts",
    [
        ("bee", "The soda is ninety, sorry, eighty a glass.", [80]),
        ("quay", "I said fifteen of almond, I meant sixty for the lot.", [60]),
        ("terrace", "Rum, one-twenty; lime, a third of that.", [120, 40]),
        ("ferry", "The barley spirit is thirty each, that's sixty between you.", [30, 60]),
        ("kiln", "Forty-five of mezcal, that's the whole of it.", [45]),
        ("platform", "I pour ninety on the whisky side, then ice.", [90]),
    ],
)
def test_a_number_that_hangs_on_another_has_its_unit(drink_id, text, amounts):
    assert [find.low for find in finds(text, drink_id) if find.kind == "amount"] == amounts


@table(
    "drink_id, text, ratio, pair",
    [
        ("terrace", "A third as much lime as rum.", (1, 3), ("lime", "rum")),
        ("whey", "There's exactly as much milk in it as chai.", (1, 1), ("milk", "chai")),
        ("shrub", "Five to three, plum to pear.", (5, 3), ("shrub", "pear")),
        ("ledger", "There's rye, and five times as much as amaro.", (5, 1), ("rye", "amaro")),
    ],
)
def test_a_ratio_is_of_the_two_that_its_words_set_side_by_side(drink_id, text, ratio, pair):
    (found,) = [find for find in finds(text, drink_id) if find.kind == "ratio"]
    assert round(found.low * ratio[1], 6) == round(found.high * ratio[0], 6)
    assert (found.ingredient_ids[0], found.against[0]) == pair
