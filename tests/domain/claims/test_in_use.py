"""What misled those who used it: brewing water, exceptions, two drinks in a sentence, acts."""

from server.domain.base.amounts import Amount
from server.domain.claims.cures import cures_of
from server.domain.claims.finds import Passage
from server.domain.claims.ledger import ledger
from server.domain.claims.rows import ScriptCase
from server.domain.glass.brew import Brew
from server.domain.routine.drink import Drink, Ingredient
from tests.domain.claims.drinks.all_drinks import facts
from tests.domain.claims.drinks.more import a_spirit, a_syrup, a_water, part
from tests.factories import make_routine, make_segment
from tests.table import table

STILE = Drink(
    "stile",
    "Over the Stile",
    1,
    (
        Ingredient("coffee", "Filter coffee", Amount(200, "ml"), brew=Brew(dose_g=30, water_g=480)),
        part("soda", "Soda water", 120, "ml", (), a_water(4.0)),
        part("bitters", "Orange bitters", 3, "dash", ("orange",)),
    ),
    ("orange", "cold"),
)
HIVE = Drink(
    "hive",
    "Back of the Hive",
    1,
    (
        part("rum", "Dark rum, 40 % vol", 40, "ml", ("raisin",), a_spirit(40.0)),
        part("honey", "Honey syrup", 10, "ml", ("honey",), a_syrup()),
        part("water", "Still water", 30, "ml", (), a_water(4.0)),
    ),
    ("raisin", "honey"),
)


def rows(text, drinks=(STILE,), drink_id="stile"):
    passage = Passage("s", text, drink_id)
    known = tuple(one for drink in drinks for one in facts(drink))
    found = ledger(ScriptCase((passage,), drinks, facts=known)).rows
    return [row for row in found if row.sayings]


def told(text, *where):
    return [(row.label, row.state if row.is_checked else "unchecked") for row in rows(text, *where)]


@table(
    "text, wanted",
    [
        ("Brewed with 480 ml of water.", [("480 ml of brewing water", "backed")]),
        ("I pour 480 g of hot water on the grounds.", [("480 g of brewing water", "backed")]),
        ("Brewed with 300 ml of water.", [("300 ml of brewing water", "contradicted")]),
        ("We top it with 90 ml of soda water.", [("90 ml of Soda water", "contradicted")]),
    ],
)
def test_an_amount_of_brewing_water_is_the_brews_and_no_other_ingredients(text, wanted):
    assert told(text) == wanted


def test_no_button_changes_another_ingredient_for_the_water_of_a_brew():
    text = "Brewed with 300 ml of water."
    routine = make_routine(
        segments=(make_segment("s", said=text, drink_id="stile"),), drinks=(STILE,)
    )
    assert [cures_of(row, routine) for row in rows(text)] == [()]


@table(
    "text, state",
    [
        ("There is no sugar apart from the honey.", "backed"),
        ("There is no sugar in it besides the honey.", "backed"),
        ("No alcohol other than the rum.", "backed"),
        ("No sugar except what the rum has.", "unchecked"),
        ("There is no sugar.", "contradicted"),
    ],
)
def test_an_exception_names_what_is_left(text, state):
    assert [how for label, how in told(text, (HIVE,), "hive") if label.startswith("no ")] == [state]


def test_a_taste_that_is_denied_but_for_a_part_is_not_called_wrong():
    assert ("not sweet", "unchecked") in told(
        "There's no sweetness besides the honey.", (HIVE,), "hive"
    )
    assert ("not sweet", "contradicted") in told("There's no sweetness.", (HIVE,), "hive")


@table(
    "text, wanted",
    [
        ("The first is cold, the second is hot.", ["stile", "hive"]),
        ("the first is cold the second is hot", ["stile", "hive"]),
        ("The second is hot and dry, the first cold.", ["hive", "hive", "stile"]),
        ("You get orange in the first and raisin in the second.", ["stile", "hive"]),
        ("The first sip is cold, the second is dry.", [None, None]),
        ("You taste first the honey, then the raisin.", [None, None]),
        ("First comes the orange, and raisin second.", [None, None]),
        (
            "Over the Stile has notes of orange, Back of the Hive of raisin.",
            ["stile", "hive"],
        ),
    ],
)
def test_each_of_two_drinks_in_a_sentence_has_what_is_said_of_it(text, wanted):
    found = rows(text, (STILE, HIVE), None)
    assert [row.drink_id for row in found if row.kind == "descriptor"] == wanted


@table(
    "text, wanted",
    [
        ("Over the Stile: orange. Back of the Hive: raisin.", ["stile", "hive"]),
        ("Back of the Hive – honey and raisin.", ["hive", "hive"]),
        ("Back of the Hive gives raisin, and this is cold: orange.", ["stile"] * 3),
    ],
)
def test_a_name_before_a_colon_tells_whose_it_is_whatever_the_segment_is_about(text, wanted):
    found = rows(text, (STILE, HIVE))
    assert [row.drink_id for row in found if row.kind == "descriptor"] == wanted


@table("word", ["You will find plum.", "There is no smoke in it."])
def test_without_a_recipe_no_word_is_held_against_the_glass(word):
    empty = Drink("stile", "Over the Stile")
    (row,) = ledger(ScriptCase((Passage("s", word, "stile"),), (empty,))).rows
    assert (row.is_checked, row.why[0]) == (False, "No recipe is written yet to hold it against.")


@table(
    "text",
    [
        "We pick them after the frost.",
        "My line stays sharp.",
        "Light roast. Washed.",
        "Fire is lit.",
        "A spoon of syrup, two pinches of salt, three times.",
    ],
)
def test_acts_and_things_claim_no_taste_and_no_amount_of_what_is_in_the_glass(text):
    found = [row for row in rows(text) if row.kind == "descriptor" or row.backings]
    assert found == []


def test_how_long_a_finish_stays_is_left_to_the_taster():
    assert told("The finish is long.") == [("long", "unchecked")]


@table("text", ["You drink it at 60 degrees.", "It is hot."])
def test_where_a_temperature_is_not_known_the_way_to_it_is_told(text):
    (row,) = rows(text)
    assert "in which segments it is poured and drunk" in " ".join(row.why)


def test_a_counted_amount_stands_in_the_plural_on_the_button_and_in_the_script():
    text = "Two dashes of orange bitters."
    routine = make_routine(
        segments=(make_segment("s", said=text, drink_id="stile"),), drinks=(STILE,)
    )
    (row,) = rows(text)
    say, make = cures_of(row, routine)
    assert (say.words, make.words) == ("Say 3 dashes", "Make it 2 dashes")
    assert say.routine.segments[0].said == "3 dashes of orange bitters."
