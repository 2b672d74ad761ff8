"""Numbers that name no unit, or that are none of the drink's, and what an answer leaves out."""

from tests.domain.claims import said
from tests.table import table


def numbers(text, drink_id="dome"):
    """(kind, from, unit) of each number that is claimed."""
    one = said.Said(drink_id, "en", text, ())
    finds = [find for _, find, _ in said.compared(one)]
    return [(find.kind, find.low, find.unit) for find in finds if find.low is not None]


def lacking(text):
    one = said.Said("comet", "en", text, ())
    return [find.word for _, find, _ in said.compared(one) if find.kind == "free"]


@table(
    "text, wanted",
    [
        ("Thirty lemon, twenty caraway, all in all.", [30, 20]),
        ("Brandy, eighty. Quince, a hundred.", [80, 100]),
        ("brandy eighty quince a hundred lemon thirty", [80, 100, 30]),
    ],
)
def test_a_recipe_that_names_no_unit_is_in_millilitres(text, wanted):
    assert numbers(text) == [("amount", value, "ml") for value in wanted]


@table(
    "text, wanted",
    [
        ("I want it at zero.", [("temperature", 0, "C")]),
        ("It should be under zero.", [("temperature", 0, "C")]),
        ("I brew it at ninety-three.", [("temperature", 93, "C")]),
        ("The jug is at ninety degrees, but it has maybe seventy.",
         [("temperature", 90, "C"), ("temperature", 70, "C")]),
        ("Two degrees at noon.", []),
        ("If it's at minus five, it's too cold.", []),
    ],
)  # fmt: skip
def test_degrees_are_heard_without_their_word_and_those_of_a_day_are_none(text, wanted):
    assert numbers(text, "meridian") == wanted


def test_a_drop_that_is_denied_lends_its_unit_to_nothing():
    text = "Ten millilitres of ginger. Cider vinegar, fifteen, not a drop more."
    assert numbers(text, "comet") == [("amount", 10, "ml"), ("amount", 15, "ml")]


@table(
    "text, wanted",
    [
        ("it is forty five percent no i beg your pardon it's forty one percent", [41]),
        ("i pour ten seconds or rather fifteen seconds of it", [15]),
    ],
)
def test_a_number_that_is_taken_back_without_a_pause_claims_nothing(text, wanted):
    assert [low for _, low, _ in numbers(text)] == wanted


@table(
    "text, ratio",
    [
        ("so it's four to one brandy to syrup", (4, 1)),
        ("i make a syrup of it two to one ten millilitres in each cup", (2, 1)),
    ],
)
def test_a_ratio_without_a_pause_is_one(text, ratio):
    one = said.Said("dome", "en", text, ())
    finds = [find for _, find, _ in said.compared(one) if find.kind == "ratio"]
    assert [(find.low, find.high) for find in finds] == [ratio]


@table(
    "text, wanted",
    [
        ("What isn't in it? Alcohol, as I said. Nuts. Milk.", ["alcohol", "nuts", "dairy"]),
        ("What isn't in it? Nuts. There's caffeine, from the tea.", ["nuts"]),
        ("What's in it? Nuts. Milk.", []),
        ("In this cup you'll find no nuts.", ["nuts"]),
        ("You won't find a grain of sugar in it.", ["sugar"]),
        ("There's no milk and it's gluten free.", ["dairy", "gluten"]),
        ("The walnut is a flavour, not a nut.", []),
        ("She never minced words and she never added sugar.", []),
        ("People ask me why not sugar.", []),
        ("Coconut: not the milk, the water.", []),
    ],
)
def test_only_what_is_said_to_be_left_out_is_left_out(text, wanted):
    assert lacking(text) == wanted
