"""What is said of another time, hand, thing or part is not called wrong; what is said of this drink
as it is served still is.
"""

from dataclasses import replace

from server.domain.base.amounts import Amount
from server.domain.claims.cases import case_of
from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Passage
from server.domain.claims.glass_facts import facts_of_glass
from server.domain.claims.ledger import ledger
from server.domain.claims.rows import ScriptCase
from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate, Bring
from server.domain.glass.substance import Substance
from server.domain.glass.vessel import Vessel
from server.domain.routine.drink import Drink, Ingredient, Service
from server.domain.routine.plan import Plan
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, a_water, part
from tests.factories import RULES, make_routine, make_segment
from tests.table import table

SLUICE = Drink(
    "sluice",
    "Down the Sluice",
    2,
    (
        part("rye", "Rye spirit, 44 % vol", 80, "ml", ("caraway", "marzipan"), a_spirit(44.0)),
        part("pear", "Pear juice", 60, "ml", ("pear",), a_juice(10.0, 0.4, temp_c=Figure(4.0))),
        part("hazel", "Hazelnut syrup", 20, "ml", ("hazelnut",), a_syrup()),
        part("tonka", "Tonka tincture, 40 % vol", 4, "dash", ("vanilla",), a_spirit(40.0)),
        part("soda", "Sparkling water", 160, "ml", (), a_water(3.0)),
        part("salt", "Sea salt", 1, "g", (), Substance("salt")),
    ),
    ("pear", "hazelnut", "vanilla", "sparkling"),
    steps=(Agitate("shake", "shake", Figure(20.0)),),
    service=Service(Vessel("tall glass", mass_g=240.0, temp_c=-7.0)),
)
"""What it tastes of is in the name of no part, save pear and hazelnut."""

MILKY = Drink(
    "milky",
    "Lock Keeper",
    2,
    (
        Ingredient(
            "espresso", "Espresso", Amount(80, "ml"), ("plum",),
            Substance("coffee", acid=Content(0.3), caffeine=Content(200.0), temp_c=Figure(68.0)),
            Brew(dose_g=19, beverage_g=42, kind="espresso", time_s=30, water_c=92),
        ),
        part("cream", "Double cream", 40, "ml", ("cream",), Substance(
            "dairy", sugar=Content(2.6), fat=Content(48.0), protein=Content(1.7), abv=Figure(0.0),
            acid=Content(0.0), allergens=("milk",), temp_c=Figure(5.0),
        )),
        part("honey", "Honey syrup", 20, "ml", ("honey",), a_syrup()),
    ),
    ("plum", "honey", "creamy"),
)  # fmt: skip


TEPID = Drink(
    "tepid",
    "Low Water",
    2,
    (
        part("water", "Hot water", 120, "ml", (), a_water(60.0)),
        part("apple", "Apple juice", 80, "ml", ("apple",), a_juice(10.0, 0.5, temp_c=Figure(8.0))),
    ),
    ("apple",),
    steps=(Bring("chill", "chill", 3.0),),
    service=Service(
        Vessel("mug", mass_g=240.0, temp_c=-12.0, cooling_per_min=Figure(0.03)),
        poured_segment_id="s1",
        drunk_segment_id="s2",
    ),
)
NUTTY = replace(
    SLUICE,
    ingredients=(
        *SLUICE.ingredients,
        part("peanut", "Peanuts, crushed", 6, "g", ("peanut",),
             Substance("nut", allergens=("peanuts",))),
    ),
)  # fmt: skip


def states(text, drink=SLUICE):
    segments = (make_segment("s1"), make_segment("s2"))
    facts = (facts_of_glass(drink, segments, "WHO"),)
    passage = Passage("s", text, drink.id)
    rows = ledger(ScriptCase((passage,), (drink,), facts=facts)).rows
    return {row.label: row.state if row.is_checked else "unchecked" for row in rows if row.sayings}


def wrong(text, drink=SLUICE):
    return [label for label, state in states(text, drink).items() if state == "contradicted"]


@table(
    "text",
    [
        "It was fifty percent in the spring, these days the rye's forty-four.",
        "My first version had sixty of hazelnut syrup and it was pudding.",
        "Last month I used forty millilitres of hazelnut syrup.",
        "We had the pear juice at nine degrees all through training.",
        "I tried thirty millilitres of hazelnut syrup and it turned to jam.",
        "My neighbour takes forty millilitres of hazelnut syrup for that.",
        "The rye's eighty, the menu card says sixty, ignore it.",
        "I'd never put a hundred millilitres of pear juice in a long drink.",
        "It was a litre of pear juice at the wedding, here it's sixty.",
        "I wanted forty millilitres of hazelnut syrup and my lawyer wanted none.",
        "I know a lad who pours five hundred mils of sparkling water on top.",
        "Juice out of a carton comes at eight degrees, mine's pressed and it's four.",
        "A cider spritz has got a hundred and twenty of pear juice, this has sixty.",
        "I put forty millilitres of hazelnut syrup in and it tasted like jam.",
        "Two million litres of sparkling water went down that sluice.",
    ],
)
def test_a_number_of_another_time_or_hand_or_of_what_would_be_is_not_wrong(text):
    assert wrong(text) == []


@table(
    "text, label",
    [
        ("The rye's fifty percent.", "50 % of Rye spirit, 44 % vol"),
        ("Last month I used ten, now it's forty millilitres of hazelnut syrup.",
         "40 ml of Hazelnut syrup"),
        ("It takes forty millilitres of hazelnut syrup, mine's home-made.",
         "40 ml of Hazelnut syrup"),
        ("Forty millilitres of hazelnut syrup, which my neighbour grew.",
         "40 ml of Hazelnut syrup"),
        ("Hazelnut syrup, forty millilitres, I made it yesterday.", "40 ml of Hazelnut syrup"),
        ("In the spring the pears are hard. The pear juice is at nine degrees.", "9 °C"),
    ],
)  # fmt: skip
def test_what_comes_back_to_what_is_served_is_held_against_it(text, label):
    assert label in wrong(text)


@table(
    "text, label, state",
    [
        ("The glass is at minus seven degrees.", "-7 °C", "backed"),
        ("The pear juice is at four degrees, the glass at minus seven.", "-7 °C", "backed"),
        ("The glass is at minus two degrees.", "-2 °C", "contradicted"),
        ("The glass was chilled to minus two degrees.", "-2 °C", "unchecked"),
        ("The steel's at minus twenty, it's been in there all night.", "-20 °C", "unchecked"),
    ],
)
def test_a_temperature_of_the_glass_is_held_against_the_glass_and_of_a_tool_against_nothing(
    text, label, state
):
    assert states(text)[label] == state


@table(
    "text, label, state",
    [
        ("It's at minus twelve degrees.", "-12 °C", "unchecked"),
        ("You drink it at minus twelve degrees.", "-12 °C", "contradicted"),
        ("It's at seventeen degrees.", "17 °C", "contradicted"),
        ("The slab was at minus twenty degrees.", "-20 °C", "unchecked"),
        ("Apple juice needn't be warm, it's three degrees.", "3 °C", "unchecked"),
        ("The apple juice is three degrees.", "3 °C", "contradicted"),
    ],
)
def test_what_names_neither_part_nor_glass_nor_drink_may_be_of_any_of_them(text, label, state):
    assert states(text, TEPID)[label] == state


def test_what_is_colder_against_what_is_warmer_is_no_ratio():
    said = "The glass is colder than the coffee, eight against twelve."
    assert not any(" to " in label for label in states(said, MILKY))


def test_eggs_that_are_counted_are_no_millilitres():
    white = part("egg", "Egg white", 60, "ml", (), Substance("egg", allergens=("eggs",)))
    eggy = replace(SLUICE, ingredients=(*SLUICE.ingredients, white))
    assert wrong("Egg white, sixty, that's two eggs, if they're small ones.", eggy) == []
    assert wrong("Two millilitres of egg white.", eggy) == ["2 ml of Egg white"]


@table(
    "text",
    [
        "I'm only after a bit of water, twenty percent or so.",
        "I take on about a fifth of water, a bit over, twenty-two percent.",
    ],
)
def test_per_cents_of_water_degrees_and_counts_are_no_strengths_ratios_or_amounts(text):
    assert wrong(text) == []


@table(
    "text, state",
    [
        ("The shot takes thirty seconds.", "backed"),
        ("The shot takes twenty-eight seconds.", "backed"),
        ("The shot takes about twenty-five seconds.", "backed"),
        ("The shot takes twenty-five seconds.", "unchecked"),
    ],
)
def test_a_brews_time_that_is_said_outright_does_not_hold_when_it_is_a_fifth_off(text, state):
    times = [one for label, one in states(text, MILKY).items() if label.endswith(" s")]
    assert times == [state]


def test_a_ratio_that_is_said_to_be_passed_is_not_wrong_for_being_passed():
    said = "The espresso's nineteen in and forty-two out, that's a bit over one to two."
    assert wrong(said, MILKY) == []
    assert wrong("It's an espresso brewed at one to three.", MILKY) == ["1 to 3"]


def test_the_waters_warmth_is_the_waters_with_an_s_behind_it_too():
    assert states("The water's ninety-two degrees.", MILKY)["92 °C"] == "backed"
    assert states("The water's eighty degrees.", MILKY)["80 °C"] == "contradicted"
    soda = part("soda", "Soda water", 240, "ml", (), a_water(2.0))
    watered = replace(MILKY, ingredients=(*MILKY.ingredients, soda))
    said = "The machine says ninety-four, the water's ninety-two in the basket."
    assert wrong(said, watered) == []
    assert wrong("The soda water's ninety.", watered) == ["90 ml of Soda water"]


@table(
    "text",
    [
        "No vanilla went in.",
        "I didn't put any vanilla in it.",
        "There's no marzipan, it's the rye that does that.",
        "You'll find vanilla, though there's no vanilla in it.",
        "I made it for those who don't like hazelnut.",
        "It isn't salty.",
        "The rye isn't cold.",
        "The water goes in last, or you lose the bubbles.",
        "My first version had no hazelnut.",
    ],
)
def test_a_word_denied_of_what_went_in_of_people_or_of_a_part_is_not_wrong(text):
    assert wrong(text) == []


@table(
    "text, label",
    [
        ("There's no vanilla.", "no vanilla"),
        ("No pear, no almond went in.", "no pear"),
        ("It isn't sparkling.", "not sparkling"),
        ("It isn't cold.", "not cold"),
    ],
)
def test_a_taste_denied_of_the_drink_that_gives_it_is_wrong(text, label):
    assert wrong(text) == [label]


def test_what_is_denied_right_before_is_denied_whatever_weights_say():
    passage = Passage("s", "There is no hazelnut in it.", SLUICE.id)
    ways = [find.polarity for find in find_claims([passage], (SLUICE,)) if find.word]
    assert ways == ["lacks"]


def test_only_tasting_tells_whether_an_espresso_in_milk_is_bitter():
    assert states("It isn't bitter.", MILKY)["not bitter"] == "unchecked"


@table(
    "text",
    [
        "I don't add any sugar, just honey.",
        "I've left out the sugar, the sweetness is honey.",
        "There's no sugar in the cream itself.",
        "There's no egg in the cream.",
        "There's no sugar to speak of.",
        "There's no sugar on the rim.",
        "No sugar, well, the honey has sugar.",
        "A black coffee hasn't got any milk.",
        "Don't let me hear anybody call it dairy free.",
        "Honey isn't sugar.",
    ],
)
def test_an_absence_of_a_part_of_another_drink_loose_or_taken_back_is_not_wrong(text):
    assert wrong(text, MILKY) == []


@table(
    "text, labels",
    [
        ("There's no sugar in it.", ["no sugar"]),
        ("There's no sugar in it, only honey.", ["no sugar"]),
        ("I don't add any sugar.", ["no sugar"]),
        ("It's dairy free.", ["no milk"]),
        ("There's no cream in this glass.", ["no milk"]),
    ],
)
def test_an_absence_said_of_the_whole_drink_that_holds_it_is_wrong(text, labels):
    assert wrong(text, MILKY) == labels


def test_what_something_is_not_called_is_no_absence():
    assert wrong("Peanuts aren't nuts, they're peanuts, and both are in here.", NUTTY) == []
    assert wrong("There aren't nuts in it.", NUTTY) == ["no nuts"]


def test_peanut_free_that_is_denied_denies_no_peanuts():
    assert wrong("It isn't nut free and it isn't peanut free.", NUTTY) == []
    assert wrong("It's peanut free.", NUTTY) == ["no nuts"]


def test_what_the_hands_do_otherwise_at_another_time_is_not_wrong():
    def rows(hands):
        segment = make_segment("s1", drink_id="sluice", hands=hands, said="")
        routine = make_routine(drinks=(SLUICE,), segments=(segment,))
        facts = (facts_of_glass(SLUICE, (), "WHO"),)
        found = ledger(case_of(Plan(routine, RULES), facts=facts)).rows
        return [row.label for row in found if row.in_hands]

    assert rows("Pour 40 ml of hazelnut syrup.") == ["40 ml of Hazelnut syrup (hands)"]
    assert rows("Pour 20 ml of hazelnut syrup. Last month it was 40 ml of hazelnut syrup.") == []
