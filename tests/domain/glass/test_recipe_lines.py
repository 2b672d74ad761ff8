"""Lines of recipes as people write them, and what was read of each.

Written by hand for this test: no corpus. 2 US proof are 1 % vol (27 CFR 5.1)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.amounts import UNITS, Amount
from server.domain.glass.library import library
from server.domain.glass.recipe_lines import MOST_LINES, read_line, read_recipe
from tests.table import table

LINES = {
    "45 ml whisky 43 %": ("45 ml", "whisky", 43, "whisky-40"),
    "1 ½ cucharadas de azúcar moreno": ("1½ tbsp", "azúcar moreno", None, None),
    "350 ml de leche entera": ("350 ml", "leche entera", None, None),
    "2 EL brauner Zucker": ("2 tbsp", "brauner Zucker", None, None),
    "2 cuillères à café d’eau de rose": ("2 tsp", "eau de rose", None, None),
    "2 chili peppers": ("2 pieces", "chili peppers", None, None),
    "20 g white sugar": ("20 g", "white sugar", None, "white-sugar"),
    "2 dashes bitters": ("2 dashes", "bitters", None, "aromatic-bitters"),
    "1 1/2 oz gin": ("1½ oz", "gin", None, "gin-40"),
    "1-1/2 oz tequila": ("1½ oz", "tequila", None, "agave-40"),
    "1½ oz lime juice": ("1½ oz", "lime juice", None, "lime-juice"),
    "¾ oz simple syrup": ("¾ oz", "simple syrup", None, "syrup-1-1"),
    "3/4 oz lemon juice, fresh": ("¾ oz", "lemon juice, fresh", None, "lemon-juice"),
    ".75 oz orange liqueur": ("¾ oz", "orange liqueur", None, "orange-liqueur-40"),
    "7,5 g citric acid": ("7.5 g", "citric acid", None, "citric-acid"),
    "half an ounce of dry vermouth": ("½ oz", "dry vermouth", None, "dry-vermouth-18"),
    "half oz maraschino": ("½ oz", "maraschino", None, "cherry-liqueur-32"),
    "a dash of orange bitters": ("1 dash", "orange bitters", None, "orange-bitters"),
    "a pinch of salt": ("1 pinch", "salt", None, "salt"),
    "a good pinch of sea salt": ("1 pinch", "sea salt", None, "salt"),
    "1 heaped tsp white sugar": ("1 tsp", "white sugar", None, "white-sugar"),
    "a couple of dashes orange bitters": ("2 dashes", "orange bitters", None, "orange-bitters"),
    "a few drops saline": ("3 drops", "saline", None, "saline-20"),
    "80 ml rum, aged [40% vol]": ("80 ml", "rum, aged", 40, "rum-aged-40"),
    "20 ml sugar syrup": ("20 ml", "sugar syrup", None, "syrup-1-1"),
    "20 ml sugar syrup 1:1": ("20 ml", "sugar syrup 1:1", None, "syrup-1-1"),
    "20 ml sugar syrup 2:1": ("20 ml", "sugar syrup 2:1", None, "syrup-2-1"),
    "20 ml simple syrup (2:1)": ("20 ml", "simple syrup (2:1)", None, "syrup-2-1"),
    "20 ml honey syrup 1:1": ("20 ml", "honey syrup 1:1", None, None),
    "two dashes aromatic bitters": ("2 dashes", "aromatic bitters", None, "aromatic-bitters"),
    "one and a half ounces white rum": ("1½ oz", "white rum", None, "rum-white-40"),
    "three quarters of an ounce grenadine": ("¾ oz", "grenadine", None, "grenadine"),
    "quarter oz absinthe": ("¼ oz", "absinthe", None, "anise-spirit-60"),
    "40-45 ml vodka": ("42.5 ml", "vodka", None, "vodka-40"),
    "40–50 ml vodka": ("45 ml", "vodka", None, "vodka-40"),
    "2 to 4 dashes bitters": ("3 dashes", "bitters", None, "aromatic-bitters"),
    "2 or 4 drops saline": ("3 drops", "saline", None, "saline-20"),
    "about 60 ml espresso": ("60 ml", "espresso", None, "espresso"),
    "ca. 30 ml tonic water": ("30 ml", "tonic water", None, "tonic-water"),
    "~15 ml honey syrup": ("15 ml", "honey syrup", None, "honey-syrup-2-1"),
    "whisky 45 ml": ("45 ml", "whisky", None, "whisky-40"),
    "Whisky: 45 ml": ("45 ml", "Whisky", None, "whisky-40"),
    "Gin – 50 ml": ("50 ml", "Gin", None, "gin-40"),
    "gin (45 ml)": ("45 ml", "gin", None, "gin-40"),
    "1 oz (30 ml) gin": ("1 oz", "gin", None, "gin-40"),
    "30 ml / 1 oz lemon juice": ("30 ml", "lemon juice", None, "lemon-juice"),
    "2 egg whites": ("2 pieces", "egg whites", None, "egg-white"),
    "1 egg white": ("1 piece", "egg white", None, "egg-white"),
    "6 mint leaves": ("6 leaves", "mint leaves", None, "mint"),
    "1 orange peel": ("1 piece", "orange peel", None, "orange-peel"),
    "4 strips orange peel": ("4 strips", "orange peel", None, "orange-peel"),
    "2 sprigs of rosemary": ("2 sprigs", "rosemary", None, None),
    "1 slice lemon": ("1 slice", "lemon", None, None),
    "juice of half a lemon": ("½ piece", "lemon juice", None, "lemon-juice"),
    "Juice of 1/2 lime": ("½ piece", "lime juice", None, "lime-juice"),
    "top with soda water": (None, "soda water", None, "soda-water"),
    "soda water to top": (None, "soda water", None, "soda-water"),
    "splash of tonic": (None, "tonic", None, "tonic-water"),
    "garnish with mint": (None, "mint", None, "mint"),
    "1 part gin": ("1 part", "gin", None, "gin-40"),
    "3 parts white wine": ("3 parts", "white wine", None, "white-wine-12"),
    "1 barspoon maraschino": ("1 barspoon", "maraschino", None, "cherry-liqueur-32"),
    "1 bar spoon of sugar": ("1 barspoon", "sugar", None, "white-sugar"),
    "1 bsp agave syrup": ("1 barspoon", "agave syrup", None, "agave-syrup"),
    "2 shots espresso": ("2 shots", "espresso", None, "espresso"),
    "rum 63% abv 30 ml": ("30 ml", "rum", 63, "rum-aged-40"),
    "30 ml white rum (63 % vol)": ("30 ml", "white rum", 63, "rum-white-40"),
    "1 oz 100-proof rye whisky": ("1 oz", "rye whisky", 50, "rye-50"),
    "60ml 86 proof scotch": ("60 ml", "scotch", 43, "whisky-40"),
    "50 ml gin 56 %": ("50 ml", "gin", 56, "gin-57"),
    "30 ml cream 35 %": ("30 ml", "cream 35 %", None, "cream-35"),
    "250 ml whole milk 3.6 % fat": ("250 ml", "whole milk 3.6 % fat", None, "whole-milk"),
    "1 kg ice": ("1 kg", "ice", None, "ice"),
    "- 45 ml gin": ("45 ml", "gin", None, "gin-40"),
    "• 20 ml lime juice": ("20 ml", "lime juice", None, "lime-juice"),
    "1. 45 ml gin": ("45 ml", "gin", None, "gin-40"),
    "2) 30 ml lemon juice": ("30 ml", "lemon juice", None, "lemon-juice"),
    "15 ml heather honey": ("15 ml", "heather honey", None, "honey"),
    "40 ml coconut water": ("40 ml", "coconut water", None, None),
    "40 ml plum juice": ("40 ml", "plum juice", None, None),
    "30 ml grapefuit juice": ("30 ml", "grapefuit juice", None, "grapefruit-juice"),
    "0.5 l water": ("0.5 l", "water", None, "water"),
    "12 cl sparkling wine": ("12 cl", "sparkling wine", None, "sparkling-wine-12"),
    "1 tsp sugar": ("1 tsp", "sugar", None, "white-sugar"),
    "2 tbsp orgeat": ("2 tbsp", "orgeat", None, "orgeat"),
    "3 cinnamon sticks": ("3 sticks", "cinnamon sticks", None, "cinnamon"),
    "5 coffee beans": ("5 beans", "coffee beans", None, None),
    "2 thimbles of plum wine": ("2 thimbles", "plum wine", None, None),
    "120 ml plum infusion on cane spirit, 35 % vol": (
        "120 ml", "plum infusion on cane spirit", 35, None,
    ),
    "2 cups black tea": ("2 cups", "black tea", None, "black-tea"),
    "Pinch of salt": ("1 pinch", "salt", None, "salt"),
    "dash orange bitters": ("1 dash", "orange bitters", None, "orange-bitters"),
    "20 ml gin per glass": ("20 ml", "gin", None, "gin-40"),
    "Lemon juice": (None, "Lemon juice", None, "lemon-juice"),
}  # fmt: skip
"""A line -> its amount, name, strength and the entry of the library that it surely is."""

NO_INGREDIENT = (
    "Stir with ice and strain", "Old Harbour", "Method: shake hard", "Double strain.", "", "?", "½",
    "45 ml", "1/0 oz gin", "9999999 ml gin", "Serve in a chilled glass at 4 °C",
)  # fmt: skip


@table("text", LINES)
def test_a_line_is_read_as_a_person_means_it(text):
    amount, name, abv, key = LINES[text]
    line = read_line(text)
    assert line is not None
    found = (line.amount and line.amount.words, line.name, line.abv_percent)
    assert found == (amount, name, abv)
    assert (line.match.entry.key if line.match else None) == key


@table("text", NO_INGREDIENT)
def test_what_names_no_ingredient_is_left(text):
    line = read_line(text)
    assert line is None or line.amount is None or not line.match


def test_a_recipe_says_for_how_many_it_is():
    heads = ("For 2:", "Serves four", "(makes 3 drinks)", "Recipe for 6 people", "12 servings")
    assert [read_recipe(f"{each}\n45 ml gin").serves for each in heads] == [2, 4, 3, 6, 12]
    assert read_recipe("20 g sugar for 4").serves == 4
    assert read_recipe("45 ml gin").serves is None


def test_how_long_something_is_done_is_not_for_how_many_it_is():
    steps = (
        "Stir with ice for 25 s", "Shake for ten seconds.", "Simmer for 2 to 3 minutes",
        "Chill for 10-12 min", "Steep for 4 hours", "Let it rest for two days",
        "Stir for 5 more seconds",
    )  # fmt: skip
    assert [read_recipe(f"45 ml gin\n{each}").serves for each in steps] == [None] * len(steps)
    assert read_recipe("45 ml gin\nStir for 25 s\nServes 4").serves == 4
    assert read_recipe("Stir for 25 s").left == ("Stir for 25 s",)
    assert read_recipe("For 2 mint drinks: 45 ml gin").serves == 2


def test_how_long_something_is_done_is_no_ingredient():
    steps = (
        "Shake with ice, 12 seconds", "12 seconds", "Steep, about 4 to 5 min", "Rest, two days",
        "For 20 s",
    )  # fmt: skip
    found = [read_recipe(f"45 ml gin, 20 ml cordial\n{each}") for each in steps]
    assert [[line.name for line in each.lines] for each in found] == [["gin", "cordial"]] * 5
    assert [each.left for each in found] == [(each,) for each in steps]
    named = read_recipe("200 ml 24 hour cold brew\n2 day-old croissants").lines
    assert [line.name for line in named] == ["24 hour cold brew", "day-old croissants"]


def test_how_many_it_is_for_is_read_in_the_languages_of_talks():
    heads = ["Abuela (4 personas)", "Für 4 Personen:", "per 4 persone", "Pour 4 personnes"]
    assert [read_recipe(f"{each}\n45 ml gin").serves for each in heads] == [4, 4, 4, 4]


# Mass balance: a tenth of salt is not a fifth; the rest by what the words say, no source.
@table(
    "text",
    [
        "60 ml alcohol-free gin", "45 ml milk-washed gin, 40 %", "10 ml lactic acid solution 10 %",
        "10 ml citric acid solution 6 %", "3 drops saline 10 %", "20 ml agave syrup 2:1",
        "25 ml acid-adjusted orange juice", "30 ml decaf espresso", "20 ml coconut cream",
        "120 ml tonic water, sugar-free", "20 ml sherry, amontillado", "15 ml apple syrup",
        "10 ml lactic acid", "10 ml citric acid solution",
    ],
)  # fmt: skip
def test_what_is_made_another_thing_is_asked_and_not_guessed(text):
    line = read_line(text)
    assert line.match is None
    assert line.matches


@table(
    "text, key",
    [
        ("20 ml vermouth, dry", "dry-vermouth-18"), ("20 ml vermouth, sweet", "sweet-vermouth-16"),
        ("3 drops saline 20 %", "saline-20"), ("30 ml cream of coconut", "cream-of-coconut"),
        ("30 ml light rum", "rum-white-40"), ("30 ml lemon juice, fresh", "lemon-juice"),
        ("120 ml oat drink, barista", "oat-drink"),
    ],
)  # fmt: skip
def test_what_stands_behind_a_comma_says_which_it_is(text, key):
    assert read_line(text).match.entry.key == key


def test_a_share_of_acid_is_no_strength():
    for text in ("10 ml lactic acid 10 %", "10 ml cider vinegar 5 %", "20 ml mango purée 10 %"):
        assert read_line(text).abv_percent is None


def test_cups_of_something_are_its_amount_and_no_number_of_serves():
    found = read_recipe("Harbour tea (for 4)\n• 2 cups black tea\n2 glasses sparkling wine")
    assert found.serves == 4
    assert [line.amount.value for line in found.lines] == [2, 2]
    assert "say in ml" in found.lines[0].notes[0]
    assert read_recipe("2 cups:\n45 ml gin").serves == 2


@table(
    "text, asks",
    [("2 espressos", True), ("a double espresso", True), ("2 shots gin", True),
     ("60 ml espresso", False), ("1 egg white", False), ("2 slices orange", False)],
)  # fmt: skip
def test_what_is_poured_and_counted_asks_how_much_it_is(text, asks):
    assert ("say in ml or g" in " ".join(read_line(text).notes)) is asks


def test_an_amount_that_is_said_for_each_glass_is_told_as_that():
    lines = "1 ice cube per glass", "1 ice cube in each glass", "45 ml gin"
    assert [read_line(text).is_for_one for text in lines] == [True, True, False]
    assert read_line(lines[0]).name == "ice cube"


def test_ingredients_in_one_line_are_parted_and_decimal_commas_are_not():
    found = read_recipe("45 ml whisky 43 %, 7,5 ml lemon juice, fresh, half an ounce port; 1 egg")
    assert [line.amount.words for line in found.lines] == ["45 ml", "7.5 ml", "½ oz", "1 piece"]
    assert found.lines[1].name == "lemon juice, fresh"


def test_lines_that_are_not_understood_are_kept_as_they_stand():
    found = read_recipe("Old Harbour\n45 ml gin\nStir with ice and strain.")
    assert found.left == ("Old Harbour", "Stir with ice and strain.")


def test_an_amount_that_can_be_read_two_ways_is_not_guessed():
    assert read_recipe("1,000 ml water").left == ("1,000 ml water",)


def test_a_range_says_how_it_was_taken():
    assert read_line("40 to 50 ml gin").notes == ("40 to 50: taken as 45 ml.",)
    assert read_line("top with soda").notes == ("No amount is written.",)


def test_no_more_lines_are_read_than_a_drink_holds():
    found = read_recipe("1 ml gin\n" * (MOST_LINES + 3))
    assert (len(found.lines), len(found.left)) == (MOST_LINES, 3)


@given(st.text(max_size=300))
def test_any_text_is_read_without_failing(text):
    found = read_recipe(text)
    assert all(line.name.strip() == line.name != "" for line in found.lines)


amounts = st.builds(Amount, st.integers(1, 4000).map(lambda n: n / 8), st.sampled_from(UNITS))
entries = st.sampled_from([entry for entry in library() if entry.key != "saline-20"])


@given(amounts, entries)
def test_an_ingredient_of_the_library_reads_back_from_its_own_words(amount, entry):
    line = read_line(f"{amount.words} {entry.name}")
    assert line.amount == amount
    assert entry.name in [match.entry.name for match in line.matches]


@pytest.mark.parametrize(
    ("line", "name", "gives"),
    [
        ("30 ml pear brandy 40 %, gives ripe pear, honey", "pear brandy", ("ripe pear", "honey")),
        ("60 ml infusion (gives: dark plum and rosehip)", "infusion", ("dark plum", "rosehip")),
        ("20 g white sugar", "white sugar", ()),
    ],
)
def test_what_a_line_says_an_ingredient_gives_is_read(line, name, gives):
    found = read_line(line)
    assert (found.name, found.gives) == (name, gives)


def test_a_heading_that_says_per_serve_makes_it_a_recipe_for_one():
    heads = ("GHOST (per serve)", "Per drink:", "Ghost [per glass]")
    assert [read_recipe(f"{each}\n45 ml gin").serves for each in heads] == [1, 1, 1]


def test_per_serve_beside_an_amount_says_nothing_of_the_other_lines():
    assert read_recipe("400 ml tea\n45 ml gin per serve").serves is None


def test_an_amount_in_brackets_after_a_comma_is_no_part_of_its_own():
    read = read_recipe("400 ml black tea (hot, 8 g per 400 ml), 20 ml rum [aged, 40 % vol]")
    assert [
        (line.amount.words if line.amount else "", line.abv_percent) for line in read.lines
    ] == [
        ("400 ml", None),
        ("20 ml", 40),
    ]


def test_what_is_left_out_of_an_amount_is_told():
    texts = ("a few drops saline", "a good pinch of salt")
    found = [read_line(text).notes for text in texts]
    assert found == [("“A few” is taken as 3.",), ("“good” is left out.",)]
