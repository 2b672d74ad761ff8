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


@pytest.mark.parametrize(
    "text",
    [
        "The second, roughly two seconds on, is bitter.",
        "And then, ten seconds after, there it is again.",
        "Take a sip and live in it for a minute.", "It is bitter and goes on for a minute.",
        "The mint: it lasts two seconds.", "It keeps things for two thousand years.",
        "So you could take five minutes.", "They gave me ten minutes.",
        "Last year I finished in four minutes.", "That's the five seconds between us.",
    ],
)  # fmt: skip
def test_what_lasts_so_long_but_is_no_step_is_no_time_of_the_drink(text):
    assert found(text, {"time"}) == []


@table(
    "text, seconds",
    [
        ("Dry, twelve seconds; wet, twelve.", [12, 12]),
        ("Ten seconds with nothing on, and for fifteen in ice.", [10, 15]),
        ("Dry shake, fifteen seconds. Wet shake. Ten.", [15, 10]),
        ("I shake it dry for fifteen seconds and wet for ten.", [15, 10]),
        ("Without ice, twenty seconds, and then with ice for ten.", [20, 10]),
        ("It stood for fourteen hours, the punch dripped for three.", [50_400, 10_800]),
        ("I shake for ten seconds, enough for two.", [10]),
        ("A dry shake of ten seconds and a wet one.", [10]),
        ("Twenty seconds on ice.", [20]),
        ("It dripped for an hour and a half.", [5_400]),
        ("Twenty-eight seconds by the kitchen clock.", [28]),
    ],
)
def test_a_second_time_is_told_in_the_unit_of_the_first(text, seconds):
    assert [low for _, low, _, _ in found(text, {"time"})] == seconds


@table(
    "text, amounts",
    [
        ("Thirty-six grams in, seventy-two out.", [(36, "g"), (72, "g")]),
        ("Forty grams for eighty in the cup.", [(40, "g"), (80, "g")]),
        ("I weighed twenty grams, I got sixty back.", [(20, "g"), (60, "g")]),
        ("A shot pulled from thirty-six.", [(36, "g")]),
        ("Dose is twenty-two to three hundred and twenty grams.", [(22, "g"), (320, "g")]),
        ("Twenty to thirty grams.", [(20, "g")]),
        ("Two dashes of bitters, one each.", [(2, "dash"), (1, "dash")]),
        ("Forty millilitres in each, eighty together.", [(40, "ml"), (80, "ml")]),
        ("Two hundred and forty millilitres, from a light roast.", [(240, "ml")]),
        ("Sixty millilitres, and here my uncle lost his hat.", [(60, "ml")]),
        ("Forty millilitres, until it holds a line.", [(40, "ml")]),
        # What no recipe measures, what is so of any egg, what it is no longer.
        ("It has a drop of varnish in it.", []),
        ("She plays a drop shot.", []),
        ("Soda, with a pinch of luck.", []),
        ("An egg white is nine parts water and one part protein.", []),
        ("We went down from ninety millilitres.", []),
        ("Of the sap it takes forty litres to make one.", []),
    ],
)
def test_amounts_are_found_and_images_are_none(text, amounts):
    assert [(low, unit) for _, low, unit, _ in found(text, {"amount"})] == amounts


@table(
    "text, figures",
    [
        ("It has two and a half per cent acid.", []),
        ("Ten per cent sugar.", []),
        ("Sugars and amino acids meet at a hundred and fifty degrees.", []),
        ("The water is at four degrees and I'm at thirty-eight.", [("temperature", 4)]),
        ("Eighty-six degrees, plus or minus one.", [("temperature", 86)]),
        ("The spirit's at sixteen below.", [("temperature", -16)]),
        ("Temperature: seventy-five in the cup.", [("temperature", 75)]),
        ("It's at four degrees. At half the dose it's the same.", [("temperature", 4)]),
    ],
)
def test_per_cents_of_acid_and_degrees_of_people_are_none_of_the_drink(text, figures):
    told = found(text, {"strength", "temperature"})
    assert [(kind, low) for kind, low, _, _ in told] == figures


@table(
    "text, counts",
    [
        ("Number of ingredients: four.", [("ingredient", 4)]),
        ("Twenty strokes with the whisk.", [("stroke", 20)]),
        ("Three passes, then it's bright.", [("strain", 3)]),
        ("I strain it once.", [("strain", 1)]),
        ("One lift from the bottom.", [("lift", 1)]),
        ("I slap it once.", []),
    ],
)
def test_what_a_hand_does_so_often_is_counted(text, counts):
    assert [(unit, low) for _, low, unit, _ in found(text, {"count"})] == counts
