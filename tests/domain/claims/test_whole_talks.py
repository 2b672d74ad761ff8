"""What whole talks taught: whose a state is, whose an amount is, what was only tried."""

import pytest

from tests.domain.claims import said
from tests.table import table


def told(drink_id, text):
    """(phrase, what is claimed) of each claim of a text, in order."""
    one = said.Said(drink_id, "en", text, ())
    return [(find.phrase, find) for _, find, _ in said.compared(one)]


def phrases(drink_id, text):
    return [phrase for phrase, _ in told(drink_id, text)]


def states(drink_id, text, language="en"):
    one = said.Said(drink_id, language, text, ())
    return [state for _, _, state in said.compared(one)]


@pytest.mark.usefixtures("by_rules_alone")
@table(
    "text, claimed",
    [
        ("next i add oat drink 100 ml of it and it is cold", False),
        ("sixty millilitres of coconut cream, and this one is thick", False),
        ("The espresso is fresh.", False),
        ("It's cold.", True),
        ("i shake it hard and when you drink it is cold", True),
        ("I serve it ice cold.", True),
    ],
)
def test_a_state_of_a_measured_part_is_none_of_the_drink(text, claimed):
    words = {"cold", "thick", "fresh", "ice cold"}
    assert any(phrase in words for phrase in phrases("signal", text)) is claimed


@table(
    "text, amounts",
    [
        ("One hundred millilitres of rum, that is fifty for each of you.", [100, 50]),
        ("I take 200 ml of it, so it is fifty for everyone.", [200, 50]),
        ("Eighty millilitres in the tin, which makes twenty a head.", [80, 20]),
        ("I pour 40 ml in every glass, so it makes eighty.", [40, 80]),
        ("I have 40 ml of rum. It makes four people happy.", [40]),
    ],
)
def test_what_one_gets_or_all_get_is_an_amount_of_the_same_unit(text, amounts):
    finds = [find for _, find in told("cloth", text)]
    assert [find.low for find in finds if find.kind == "amount"] == amounts


def test_a_strength_behind_an_amount_lends_it_no_unit():
    text = "Rye, one hundred millilitres, at fifty percent. Red vermouth, fifty, at sixteen."
    found = [(find.kind, find.low) for _, find in told("ledger", text)]
    assert found == [("amount", 100), ("strength", 50), ("amount", 50), ("strength", 16)]


@table(
    "text, state",
    [
        ("In each glass there are 160 ml of gin.", "contradicted"),
        ("In each glass there are 40 ml of gin.", "backed"),
        ("There are 160 ml of gin in all.", "backed"),
        ("There are 40 ml of gin in all.", "contradicted"),
        ("Each glass holds 20 ml of lime juice.", "backed"),
        ("I use at least 50 ml of gin in each glass.", "contradicted"),
        ("I use no more than 50 ml of gin per glass.", "backed"),
        ("I take 160 ml of gin, forty in each glass.", "backed"),
        ("Less than a dash of salt.", "backed"),
    ],
)
def test_an_amount_is_held_against_one_glass_or_all_as_it_is_said(text, state):
    assert states("quay", text)[0] == state


def test_an_amount_for_one_glass_is_told_in_other_languages():
    assert states("de", "In jedes Glas kommen 160 ml Gin.", "de") == ["contradicted"]
    assert states("fr", "40 ml de gin par verre.", "fr") == ["backed"]


def test_the_ratio_of_a_syrup_to_water_is_not_that_to_the_soda():
    assert states("bee", "I warm the honey with water, two to one.") == ["backed"]
    assert states("bee", "I warm the honey with water, three to one.") == ["contradicted"]


@table(
    "text",
    [
        "I've tried three to one; it shouts.",
        "I cut the ice this morning and it took me one hour.",
        "For six hours nobody can reach you.",
        "Four minutes, said the harbour master.",
        "Not for those of you who can't have gluten.",
        "Many people think all agave is smoky.",
        "I'm sorry, because of the honey.",
        "It is a rum with a story.",
    ],
)
def test_what_was_tried_thought_or_done_claims_nothing(text):
    assert phrases("snow" if "rum" in text else "bee", text) == []


@table(
    "text, wanted",
    [
        ("Nothing in it is sharp.", [("sharp", "lacks")]),
        ("It's bitter without being harsh.", [("bitter", "has"), ("harsh", "lacks")]),
        (
            "It's strong, there's no use denying it, and it's cold.",
            [("strong", "has"), ("cold", "has")],
        ),
        ("You've got pepper behind that.", [("pepper", "has")]),
        ("It sparkles.", [("sparkles", "has")]),
        ("When you drink it is fresh.", [("fresh", "has")]),
    ],
)
def test_denials_and_states_reach_as_far_as_they_are_meant(text, wanted):
    assert [(phrase, find.polarity) for phrase, find in told("ledger", text)] == wanted


def test_a_drop_that_is_denied_is_no_amount():
    finds = [find.kind for _, find in told("tide", "It is made without a drop of alcohol.")]
    assert finds == ["free"]


def test_what_nobody_finds_in_it_is_left_out_of_it():
    assert states("ferry", "You won't find any cream in here.") == ["contradicted"]


@table(
    "language, text, polarity",
    [
        ("es", "Notas de almendra.", "has"),
        ("it", "Non sa di mandorla.", "lacks"),
        ("pt", "Tem gosto de amêndoa.", "has"),
        ("fr", "Il a un goût d'amande.", "has"),
    ],
)
def test_a_taste_behind_a_small_word_is_no_ingredient(language, text, polarity):
    one = said.Said(language, language, text, ())
    assert [find.polarity for _, find, _ in said.compared(one)] == [polarity]
