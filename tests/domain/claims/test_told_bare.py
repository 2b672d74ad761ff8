"""Numbers that only who knows the recipe understands, and denials told by their place."""

from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Passage
from server.domain.glass.brew import Brew
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.fair import a_coffee, a_dairy
from tests.domain.claims.drinks.more import a_juice, a_spirit, part
from tests.domain.claims.test_in_use import told
from tests.table import table

LOCK = Drink(
    "lock",
    "Lock Gate",
    3,
    (
        part("rum", "Dark rum, 42 % vol", 120, "ml", ("raisin",), a_spirit(42.0)),
        part("plum", "Plum juice", 90, "ml", ("plum",), a_juice(8.0, 1.0)),
        part("coffee", "Filter coffee", 300, "ml", ("walnut",), a_coffee(120.0, 60.0),
             brew=Brew(dose_g=25, water_g=400)),
        part("cream", "Cream", 60, "g", (), a_dairy(3.0, 30.0, 2.0, 5.0)),
    ),
    ("plum", "raisin"),
)  # fmt: skip


def numbers(text):
    finds = find_claims([Passage("s", text, "lock")], (LOCK,))
    kinds = ("amount", "temperature", "time", "serves", "strength")
    return [(each.low, each.unit) for each in finds if each.kind in kinds]


@table(
    "text, wanted",
    [
        # In the unit that the recipe has it in, though the number differs.
        ("Two hundred of plum juice.", [(200, "ml")]),
        ("Ninety of the cream.", [(90, "g")]),
        ("Three of the plums.", []),
        ("Plum's next, ninety across the three.", [(90, "ml")]),
        ("The recipe's water, four hundred.", [(400, "g")]),
        ("For the coffee I use twenty-five.", [(25, "g")]),
        ("In the jug, for three.", [(3, "serve")]),
        ("Plum in stage three.", []),
        ("Component three, rum.", []),
        ("About three on a scale of ninety.", []),
    ],
)
def test_who_knows_the_recipe_understands_a_bare_number(text, wanted):
    assert numbers(text) == wanted


@table(
    "text, wanted",
    [
        ("I ferment it at twenty-four.", [(24, "C")]),
        ("I chill it down to six.", [(6, "C")]),
        ("Cooked at seventy for two hours.", [(70, "C"), (7200, "s")]),
        ("The water is between ninety and ninety-three.", [(90, "C")]),
        ("The bus leaves at twenty-four.", []),
        ("I stir for twelve seconds, sometimes fifteen.", [(12, "s"), (15, "s")]),
        ("i stir for twelve thirteen seconds", [(12, "s")]),
        ("It's the rum, forty-two on the label.", [(42, "%")]),
        ("The cream is thirty percent fat.", []),
    ],
)
def test_degrees_seconds_and_strengths_go_without_saying_beside_what_has_them(text, wanted):
    assert numbers(text) == wanted


def denied(text):
    finds = find_claims([Passage("s", text, "lock")], (LOCK,))
    return [(each.word, each.polarity) for each in finds if each.kind in ("descriptor", "free")]


@table(
    "text, wanted",
    [
        ("Neither salty nor harsh, it just glows.", [("salty", "lacks"), ("harsh", "lacks")]),
        ("Vanilla, no; plum, yes.", [("vanilla", "lacks"), ("plum", "has")]),
        ("Sour it isn't.", [("sour", "lacks")]),
        ("no vanilla none of that it's plum", [("vanilla", "lacks"), ("plum", "has")]),
        ("Low acidity.", [("acidic", "some")]),
        ("I've kept nuts and egg out of it.", [("nuts", "lacks"), ("egg", "lacks")]),
        ("Is it nut-free? It is.", [("nuts", "lacks")]),
        ("Is it nut-free? Ask me later.", []),
        ("nuts none egg none caffeine plenty", [("nuts", "lacks"), ("egg", "lacks")]),
        ("What's not in it: egg. Nuts.", [("egg", "lacks"), ("nuts", "lacks")]),
        ("Nuts are missing.", [("nuts", "lacks")]),
        ("If it's nuts you're avoiding, you're safe.", [("nuts", "lacks")]),
        ("If it's nuts you're avoiding, you're not safe.", []),
    ],
)
def test_a_denial_is_told_by_its_place(text, wanted):
    assert denied(text) == wanted


def test_what_is_said_with_a_reservation_is_not_held():
    assert told("There are no nuts.", (LOCK,), "lock") == [("no nuts", "backed")]
    assert told("There are no nuts that I know.", (LOCK,), "lock") == [("no nuts", "unchecked")]
