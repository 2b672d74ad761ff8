"""Numbers without a unit, read by what the recipe has; whose they are, and what they are not."""

from tests.domain.claims import said
from tests.table import table


def told(drink_id, text):
    """(phrase, kind, value, unit, state) of each number of a text, in order."""
    finds = said.compared(said.Said(drink_id, "en", text, ()))
    return [
        (find.phrase, find.kind, find.low, find.unit, state)
        for _, find, state in finds
        if find.kind not in ("descriptor", "free", "only")
    ]


@table(
    "drink_id, text, wanted",
    [
        ("whey", "Palm arrack, two hundred.", [("amount", 200, "ml")]),
        ("whey", "Mango, one-sixty.", [("amount", 160, "ml")]),
        ("whey", "It's arrack. It's at fifty.", [("strength", 50, "%")]),
        ("kettle", "The rum's fifty-four; don't breathe in.", [("strength", 54, "%")]),
        ("whey", "The milk goes in at five.", [("temperature", 5, "C")]),
        ("whey", "Chai brewed until it stands by itself: a hundred and twenty.",
         [("amount", 120, "ml")]),
        ("whey", "I use two hundred, and then I wait.", [("amount", 200, "ml")]),
        ("whey", "mango one-sixty lime eighty and then it waits",
         [("amount", 160, "ml"), ("amount", 80, "ml")]),
        ("whey", "Mango came in at number seven.", []),
        ("whey", "I carried arrack for two hundred miles.", []),
        ("whey", "Sixty people came for the mango.", []),
    ],
)  # fmt: skip
def test_a_bare_number_is_what_the_recipe_has_of_what_is_named(drink_id, text, wanted):
    assert [each[1:4] for each in told(drink_id, text)] == wanted


@table(
    "text, state",
    [
        ("Mango, one hundred and ninety millilitres.", "contradicted"),
        ("Mango, one hundred and sixty millilitres.", "backed"),
        # Where the number is not the recipe's, "Name, number" is still an amount.
        ("Mango, ninety.", "contradicted"),
    ],
)
def test_reading_by_the_recipe_does_not_make_a_false_amount_true(text, state):
    assert [each[4] for each in told("whey", text)] == [state]


@table(
    "text, wanted",
    [
        ("Twenty in, thirty-eight out.", [("amount", 20, "g"), ("amount", 38, "g")]),
        ("We pull twenty into thirty-eight.", [("amount", 20, "g"), ("amount", 38, "g")]),
        ("Two days in, four days out.", [("time", 172800, "s"), ("time", 345600, "s")]),
    ],
)
def test_what_goes_in_and_out_of_a_shot_is_told_in_grams(text, wanted):
    assert [each[1:4] for each in told("veranda", text)] == wanted


@table(
    "text, wanted",
    [
        ("Forty-five, twenty, twenty: mezcal, tamarind, lime.", [45, 20, 20]),
        ("Mezcal, ninety. Lime, half that.", [90, 45]),
        ("Twelve seconds dry and fifteen with ice.", [12, 15]),
        ("One of tamarind to three of mezcal.", [1]),
    ],
)
def test_numbers_in_a_row_and_shares_of_the_last_are_amounts(text, wanted):
    assert [each[2] for each in told("kiln", text)] == wanted


def test_an_amount_called_a_juice_is_of_the_juice_that_was_spoken_of():
    text = "What worked was verjus. That's the juice of green grapes, thirty millilitres each."
    assert [each[4] for each in told("still", text)] == ["backed"]
    # Sixty of the apple's 120 for one glass; the verjus has 30, and "apple juice" is named.
    text = "What worked was verjus. The apple juice is thirty millilitres each."
    assert [each[4] for each in told("still", text)] == ["contradicted"]


@table(
    "text",
    [
        "I brew it with eight grams to half a litre.",
        "Twelve grams the litre, and it is done.",
    ],
)
def test_how_strong_a_brew_is_made_is_no_amount_of_the_recipe(text):
    assert [each[3] for each in told("platform", text)] == ["g"]


def test_a_number_behind_an_article_and_a_comma_begins_no_range():
    assert [each[1:4] for each in told("kettle", "It's a heavy one, fifty-four percent.")] == [
        ("strength", 54, "%")
    ]


def test_a_decilitre_is_a_hundred_millilitres():
    assert told("slush", "To this I give half a decilitre of tequila per glass.")[0][1:] == (
        "amount", 50, "ml", "backed",
    )  # fmt: skip


@table(
    "text, state",
    [
        ("I warm the lime juice to sixty degrees.", "unchecked"),
        ("I bring the lime juice slowly to about sixty degrees.", "unchecked"),
        ("The lime juice is at sixty degrees.", "contradicted"),
        ("I warm the glass; the lime juice is at sixty degrees.", "contradicted"),
    ],
)
def test_what_an_ingredient_is_warmed_to_is_not_held_against_how_it_comes(text, state):
    assert [each[4] for each in told("whey", text) if each[1] == "temperature"] == [state]


@table(
    "drink_id, text, wanted",
    [
        # Behind an amount of a spirit, a bare number is its strength.
        ("mill_sesame", "Grape brandy, thirty to a cup, forty-two.",
         [("amount", 30, "ml"), ("strength", 42, "%")]),
        ("mill_sesame", "Grape brandy, thirty millilitres a head, at fifty.",
         [("amount", 30, "ml"), ("strength", 50, "%")]),
        ("mill_sesame", "Grape brandy. Eighty millilitres of that, at forty-three.",
         [("amount", 80, "ml"), ("strength", 43, "%")]),
        ("mill_sesame", "Grape brandy, sixty, thirty each.",
         [("amount", 60, "ml"), ("amount", 30, "ml")]),
        ("mill_sesame", "Grape brandy, eighty millilitres, forty.",
         [("amount", 80, "ml"), ("amount", 40, "ml")]),
        ("mill_sesame", "Grape brandy, thirty, fifty, seventy.",
         [("amount", 30, "ml"), ("amount", 50, "ml"), ("amount", 70, "ml")]),
        ("mill_sesame", "Grape brandy, thirty-eight per cent, seventy between the pair.",
         [("strength", 38, "%"), ("amount", 70, "ml")]),
        ("mill_sesame", "Sesame syrup, forty millilitres, twenty-two.",
         [("amount", 40, "ml"), ("amount", 22, "ml")]),
        # Parts of a syrup are a ratio, those of a drink amounts.
        ("tram_bell", "Vanilla syrup, made of two parts sugar and one of water.",
         [("ratio", 2, "ratio")]),
        ("tram_bell", "The vanilla syrup: one part sugar, one part water.",
         [("ratio", 1, "ratio")]),
        ("tram_bell", "The vanilla syrup. Two parts of it, one of water.",
         [("ratio", 2, "ratio")]),
        ("tram_bell", "The vanilla syrup, half sugar and half water.", [("ratio", 1, "ratio")]),
        ("tram_bell", "The syrup has as much sugar as water.", [("ratio", 1, "ratio")]),
        ("tram_bell", "The syrup is one is to one.", [("ratio", 1, "ratio")]),
        ("tram_bell", "The vanilla syrup. Three parts sugar, one part water, three to one.",
         [("ratio", 3, "ratio"), ("ratio", 3, "ratio")]),
        ("tram_bell", "It was brewed at a ratio of one for fifteen.", [("ratio", 1, "ratio")]),
        ("tram_bell", "Brewed at one to sixteen a moment ago.", [("ratio", 1, "ratio")]),
        ("tram_bell", "Gin and lime stand at four to nine.", [("ratio", 4, "ratio")]),
        ("tram_bell", "Two parts of honey, one part of water.",
         [("amount", 2, "part"), ("amount", 1, "part")]),
        # What the recipe counts in pieces; a name and its number between marks.
        ("gondola", "Honey twelve grams, cloves two.",
         [("amount", 12, "g"), ("amount", 2, "piece")]),
        ("court_clay", "Second: the weight. Maple syrup, forty; it's mostly sugar.",
         [("amount", 40, "ml")]),
        ("court_clay", "A pinch of nutmeg.", [("amount", 1, "pinch")]),
        ("court_clay", "Four: maple.", []),
        # A drink's own name counts nothing.
        ("saffron", "It's called Seven Threads.", []),
        ("saffron", "I use seven threads of saffron.", [("count", 7, "thread")]),
        # For all that are made.
        ("court_rally", "Eighty millilitres in each of three.",
         [("amount", 80, "ml"), ("serves", 3, "serve")]),
        ("court_rally", "This is it, three of it.", [("serves", 3, "serve")]),
        ("court_rally", "It's for three visitors.", [("serves", 3, "serve")]),
        ("court_rally", "Serves: three.", [("serves", 3, "serve")]),
    ],
)  # fmt: skip
def test_the_recipe_tells_what_a_bare_number_behind_an_amount_is(drink_id, text, wanted):
    assert [each[1:4] for each in told(drink_id, text)] == wanted


@table(
    "drink_id, text, state",
    [
        ("mill_sesame", "Grape brandy, thirty to a cup, thirty-eight.", "backed"),
        ("mill_sesame", "Grape brandy, thirty to a cup, fifty-five.", "contradicted"),
        # Water is what the tea is made with, not the tonic water beside it.
        ("court_umpire", "Fifteen grams of cascara in water at one to twenty.", "backed"),
        ("greenhouse", "Thirty grams to five hundred, at ninety-four degrees.", "backed"),
    ],
)
def test_a_strength_a_ratio_and_a_warmth_hold_against_what_they_are_of(drink_id, text, state):
    assert told(drink_id, text)[-1][4] == state
