"""What a spoken number is held against: whose it is, which side of a brew, one glass's or all."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.claims.facts import GlassFacts, KnownNumber
from server.domain.claims.finds import Passage
from server.domain.claims.ledger import ledger
from server.domain.claims.rows import ScriptCase
from server.domain.glass.brew import Brew
from server.domain.glass.figures import Figure
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.tolerance import Tolerance


def part(key, name, amount, unit="ml", **more):
    return Ingredient(key, name, Amount(amount, unit), **more)


SHOT = Brew(kind="espresso", dose_g=36, beverage_g=72, time_s=28)
DRINK = Drink(
    "d",
    "Ferry",
    3,
    (
        part("rum", "Aged rum, 46 % vol", 120),
        part("tea", "Green tea, chilled", 180),
        part("lime", "Lime juice", 60),
        part("pine", "Pineapple juice", 120),
        part("card", "Cardamom syrup", 45, syrup=Syrup(sugar=2, water=1)),
        part("milk", "Whole milk", 90, substance=Substance("dairy", temp_c=Figure(5.0))),
    ),
)
CUPS = Drink(
    "d",
    "Cups",
    2,
    (
        part("espresso", "Espresso, hot", 72, brew=SHOT),
        part("liqueur", "Walnut liqueur, 24 % vol", 40),
        part("oat", "Oat drink", 160),
    ),
)
FACTS = GlassFacts(
    "d",
    (
        KnownNumber("strength", "in the glass", 10.8, 10.8),
        KnownNumber("strength", "Walnut liqueur, 24 % vol", 24.0, 24.0, "liqueur"),
        KnownNumber("temperature", "for Whole milk in the recipe", 5.0, 5.0, "milk"),
        KnownNumber("temperature", "for Green tea in the recipe", 3.0, 3.0, "tea"),
        KnownNumber("temperature", "when the judges drink", 8.0, 9.0),
    ),
)


def states(text, kind, drink=DRINK):
    case = ScriptCase((Passage("s", text, "d"),), (drink,), facts=(FACTS,))
    rows = [row for row in ledger(case).rows if row.kind == kind]
    told = [
        (place.start, row.state if row.is_checked else "unchecked")
        for row in rows
        for place in row.sayings
    ]
    return [state for _, state in sorted(told)]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("I've put green tea in all of them, sixty millilitres a glass.", ["backed"]),
        ("Green tea, 180 millilitres a glass.", ["contradicted"]),
        ("One twenty ml each of rum and pineapple, sixty ml of lime.", ["backed"]),
        ("Sixty ml of lime in each glass.", ["contradicted"]),
    ],
)
def test_an_each_is_that_of_the_number_it_stands_by_and_in_all_of_them_is_no_total(text, told):
    assert states(text, "amount")[-1:] == told


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("I dose thirty-six grams, I extract seventy-two grams in twenty-eight seconds.", "backed"),
        ("The dose is thirty-six grams, its yield is seventy-two grams.", "backed"),
        ("The yield is fifty grams.", "contradicted"),
        ("Espresso. I want seventy-two grams in the cup.", "backed"),
        ("Espresso. I want fifty grams in the cup.", "contradicted"),
        ("Espresso. I dose eighteen grams, thirty-six out.", "backed"),
        ("Espresso. I dose eighteen grams in all.", "contradicted"),
        ("Espresso. Thirty-six grams in, please.", "backed"),
        ("Espresso. Eighteen grams a cup.", "backed"),
        ("Espresso. Thirty-six grams; water, well, as much as it takes.", "backed"),
    ],
)
def test_a_mass_of_a_brew_is_held_against_the_side_that_is_told(text, told):
    assert states(text, "amount", CUPS)[-1] == told


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Rum next. I spread it over about 615 ml of everything.", "backed"),
        ("Rum next. There are 400 ml of liquid in all.", "unchecked"),
        ("Lime next. I take 60 ml in all.", "backed"),
    ],
)
def test_what_is_said_of_everything_is_held_against_all_and_not_what_was_named_last(text, told):
    assert states(text, "amount") == [told]


def test_names_told_before_their_amounts_with_an_of_keep_that_order_throughout():
    said = "Of the cardamom syrup 45 millilitres, of the milk ninety, and of patience much."
    assert states(said, "amount") == ["backed", "backed"]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Lime juice. You'll know it. It's sharp. 120 ml of that.", ["contradicted"]),
        ("Lime, I went down to 60 ml, because the pineapple is tart.", ["backed"]),
        ("I use 180 ml of it, green tea, and so on.", ["backed"]),
        ("The bottle has 40 ml of still water in it.", ["unchecked"]),
    ],
)
def test_an_amount_is_of_what_its_words_point_at(text, told):
    assert states(text, "amount") == told


def test_the_same_amount_said_of_another_thing_is_judged_by_itself():
    said = "The lime juice: 120 ml. Now to pineapple juice, and that is 120 ml."
    assert states(said, "amount") == ["contradicted", "backed"]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("The cardamom syrup's built two to one, and the lime meets the pineapple.", "backed"),
        ("The cardamom syrup's built three to one, and lime meets pineapple.", "contradicted"),
        ("The lime to pineapple is one to two.", "backed"),
        ("The lime to pineapple is two to one.", "contradicted"),
    ],
)
def test_a_ratio_right_behind_a_syrup_tells_how_that_is_made(text, told):
    assert states(text, "ratio")[:1] == [told]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("It has ten percent alcohol.", "contradicted"),
        ("It has around ten percent alcohol.", "backed"),
        ("It has around eight percent alcohol.", "contradicted"),
        ("Her leading man's a walnut liqueur. Forty millilitres, thirty per cent.", "contradicted"),
        ("Her leading man's a walnut liqueur. Forty millilitres, 24 per cent.", "backed"),
    ],
)
def test_a_strength_said_with_about_has_its_own_margin_and_one_beside_an_amount_its_owner(
    text, told
):
    assert states(text, "strength", CUPS) == [told]


def test_the_margin_of_about_follows_the_routines_own():
    assert Tolerance(strength_points=1.0).about_strength_points == 3.0


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("The whole lot ends at about four degrees.", ["contradicted"]),
        ("The whole lot ends at eight degrees.", ["backed"]),
        ("The glass is at minus twelve degrees.", ["unchecked"]),
        ("In the glass it is at eight degrees.", ["backed"]),
        ("I infuse it for two minutes at seventy-five degrees.", ["unchecked"]),
        ("The tea and the milk, at three and five degrees.", ["backed", "backed"]),
    ],
)
def test_a_warmth_of_the_whole_of_the_vessel_or_of_making_is_none_of_an_ingredient(text, told):
    assert states(text, "temperature") == told


@pytest.mark.parametrize(
    "text",
    ["There's no gluten that I could trace.", "I'd say gluten-free.", "No gluten, ask the maker."],
)
def test_what_is_said_to_be_lacking_with_a_reservation_is_not_backed(text):
    known = part("g", "Grape spirit, 40 % vol", 40, substance=Substance("spirit", allergens=()))
    assert states(text, "free", Drink("d", "Plain", 1, (known,))) == ["unchecked"]
    assert states("It has no gluten.", "free", Drink("d", "Plain", 1, (known,))) == ["backed"]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("There are three ingredients.", "backed"),
        ("There are two ingredients.", "unchecked"),
        ("There are four ingredients.", "contradicted"),
    ],
)
def test_whether_a_soda_counts_as_an_ingredient_is_left_open(text, told):
    parts = (
        part("r", "Rum", 40),
        part("l", "Lime juice", 20),
        part("s", "Soda water", 90, substance=Substance("water")),
    )
    assert states(text, "count", Drink("d", "Long", 1, parts)) == [told]


def test_nothing_but_those_that_were_counted_names_nothing_and_is_left_alone():
    said = "there are six ingredients and nothing but those one by one lime first"
    assert states(said, "only") == []
