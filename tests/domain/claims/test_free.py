"""What a drink is said to be free of, against what its recipe can tell."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.base.tokens import tokens_of
from server.domain.claims.finds import Passage
from server.domain.claims.free.absences import absences_in
from server.domain.claims.ledger import ledger
from server.domain.claims.rows import ScriptCase
from server.domain.glass.figures import Figure
from server.domain.glass.library import ingredient
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Ingredient
from tests.domain.claims.drinks.all_drinks import FERRY, QUAY, SHRUB
from tests.table import table


def verdict(text, drink, language="en"):
    rows = ledger(ScriptCase((Passage("s", text, drink.id),), (drink,), language=language)).rows
    (row,) = [each for each in rows if each.kind in ("free", "only")]
    return row.state if row.is_checked else "unknown"


@table(
    "text, drink",
    [
        ("It is free of nuts.", QUAY), ("There is no alcohol in it.", QUAY),
        ("It is vegan.", QUAY), ("No egg.", QUAY), ("It is caffeine-free.", QUAY),
        ("It contains no dairy.", FERRY), ("It is lactose free.", FERRY),
        ("A sugar-free cup.", FERRY), ("This is decaf.", FERRY),
        ("Nothing but coffee and honey.", FERRY),
    ],
)  # fmt: skip
def test_a_false_claim_to_be_free_of_something_is_contradicted(text, drink):
    assert verdict(text, drink) == "contradicted"


@pytest.mark.parametrize(
    "text", ["It is alcohol-free.", "There are no nuts in it.", "It is vegan."]
)
def test_what_the_recipe_cannot_tell_is_neither_true_nor_false(text):
    assert verdict(text, SHRUB) == "unknown"


def test_only_what_is_known_of_every_ingredient_holds():
    assert verdict("It is dairy-free.", QUAY) == "backed"
    unknown = Ingredient("x", "House bottle", Amount(5, "ml"))
    assert (
        verdict("It is dairy-free.", replace(QUAY, ingredients=(*QUAY.ingredients, unknown)))
        == "unknown"
    )


@table(
    "text, words",
    [
        ("There's no sesame, no celery and no mustard in it.", ["sesame", "celery", "mustard"]),
        ("Free of fish and shellfish.", ["fish", "shellfish"]),
        ("No nuts, no lupin, no celery.", ["nuts", "lupin", "celery"]),
        ("There is no celery on the nose.", []),
        ("No celery here, more cucumber.", []),
    ],
)
def test_an_allergen_that_is_a_flavour_too_is_denied_with_others_or_by_name(text, words):
    tokens = tokens_of(text)
    assert [one.word for one in absences_in(tokens, (0, len(tokens)))] == words


@table(
    "language, text, words",
    [
        ("de", "Ohne Sellerie und ohne Senf.", ["celery", "mustard"]),
        ("fr", "Sans céleri, sans sésame.", ["celery", "sesame"]),
        ("es", "Sin soja y sin sulfitos.", ["soy", "sulphites"]),
        ("it", "Senza sedano, senza pesce.", ["celery", "fish"]),
        ("pt", "Sem aipo, sem mostarda.", ["celery", "mustard"]),
    ],
)
def test_allergens_are_known_by_name_in_other_languages(language, text, words):
    tokens = tokens_of(text)
    assert [one.word for one in absences_in(tokens, (0, len(tokens)), language)] == words


@table("text, state", [("It contains no celery.", "backed"), ("Free of nuts.", "contradicted")])
def test_every_allergen_of_the_law_can_be_held_against_a_recipe(text, state):
    assert verdict(text, QUAY) == state


@pytest.mark.usefixtures("by_rules_alone")
@pytest.mark.parametrize(
    "text", ["If you avoid honey, tell me.", "Anybody who avoids honey should tell me now."]
)
def test_what_somebody_avoids_is_not_denied_of_the_drink(text):
    rows = ledger(ScriptCase((Passage("s", text, FERRY.id),), (FERRY,))).rows
    assert [row.state for row in rows if row.word == "honey"] == ["backed"]


def test_a_name_alone_is_a_guess_that_warns_and_says_so():
    syrup = Ingredient("o", "Hazelnut syrup", Amount(5, "ml"))
    drink = replace(SHRUB, ingredients=(*SHRUB.ingredients, syrup))
    row = ledger(ScriptCase((Passage("s", "It is nut-free.", drink.id),), (drink,))).rows[0]
    assert row.state == "contradicted"
    assert "a guess" in row.why[0]


def test_a_spirit_washed_with_milk_is_not_free_of_it_though_nothing_is_ticked():
    washed = Ingredient(
        "w", "Milk-washed gin", Amount(45, "ml"), substance=Substance("spirit", abv=Figure(45.0))
    )
    drink = replace(QUAY, ingredients=(*QUAY.ingredients, washed))
    assert verdict("It is dairy-free.", drink) == "contradicted"
    plain = replace(QUAY, ingredients=(*QUAY.ingredients, replace(washed, name="Gin")))
    assert verdict("It is dairy-free.", plain) == "backed"


def test_oat_milk_is_no_milk_by_its_name():
    oat = Ingredient("oat", "Oat milk", Amount(50, "ml"))
    drink = replace(SHRUB, ingredients=(*SHRUB.ingredients, oat))
    assert verdict("It is dairy-free.", drink) == "unknown"


def stocked(*keys_and_names):
    """A drink of the library's ingredients, by other names where they are given."""
    parts = []
    for key, name in keys_and_names:
        entry = ingredient(key)
        parts.append(
            Ingredient(key, name or entry.name, Amount(20, "ml"), (), substance=entry.substance)
        )
    return replace(SHRUB, ingredients=tuple(parts))


MILKY = stocked(("gin-40", ""), ("whole-milk", ""), ("honey", ""))
CREAMY = stocked(("gin-40", ""), ("whole-milk", ""), ("cream-35", ""))
RICH = stocked(("gin-40", ""), ("whole-milk", ""), ("cream-35", "Mountain dairy, 35 % fat"))
COCONUT = replace(
    MILKY, ingredients=(*MILKY.ingredients, Ingredient("c", "Coconut cream", Amount(20, "ml")))
)


@table(
    "text, language",
    [
        ("There is no cream in it.", "en"), ("It is cream-free.", "en"), ("Ohne Sahne.", "de"),
        ("Sans crème.", "fr"), ("Sin nata.", "es"), ("Senza panna.", "it"), ("Sem natas.", "pt"),
    ],
)  # fmt: skip
def test_no_cream_is_false_with_cream_and_not_with_milk_alone(text, language):
    drinks = {"milk": MILKY, "cream": CREAMY, "as fat": RICH, "coconut": COCONUT}
    told = {name: verdict(text, drink, language) for name, drink in drinks.items()}
    assert told == {
        "milk": "unknown", "cream": "contradicted", "as fat": "contradicted", "coconut": "unknown"
    }  # fmt: skip


def test_and_it_names_the_cream_and_not_the_milk():
    row = ledger(ScriptCase((Passage("s", "No cream.", SHRUB.id),), (CREAMY,))).rows[0]
    assert "free of cream; Whipping cream, 35 % fat holds it" in row.why[0]


def test_no_dairy_and_no_milk_stay_false_with_milk():
    assert [verdict(text, MILKY) for text in ("No dairy.", "No milk.", "It is lactose-free.")] == [
        "contradicted"
    ] * 3


@table(
    "text, state",
    [
        ("Gin, milk and honey. Nothing but those.", "backed"),
        ("It holds gin, 20 ml of milk and honey: nothing but these three.", "backed"),
        ("First the gin. Then the milk. Then honey. There's nothing in it but those.", "backed"),
        ("Gin and honey. Nothing but those.", "contradicted"),
        ("There are gin and honey in it, nothing but those.", "contradicted"),
        ("Gin, honey and the white thing in the jug, nothing but those.", "unknown"),
        ("I shake gin and honey. My tools are the shaker and the spoon, nothing but those.",
         "unknown"),
        ("Three ingredients and nothing but those.", "unknown"),
    ],
)  # fmt: skip
def test_nothing_but_those_speaks_of_the_list_before_it(text, state):
    assert verdict(text, MILKY) == state


@pytest.mark.parametrize(
    "text",
    [
        "You taste honey and juniper, nothing but those.",
        "You will taste honey, milk, gin, a little salt and juniper, nothing but those.",
        "I use gin and honey. In the end nothing but those matters.",
        "Gin and honey, nothing but those flavours.",
    ],
)
def test_what_is_tasted_or_goes_on_lists_no_recipe(text):
    rows = ledger(ScriptCase((Passage("s", text, MILKY.id),), (MILKY,))).rows
    assert [row for row in rows if row.kind == "only"] == []


@pytest.mark.parametrize(
    "text",
    [
        "It is not alcohol-free.", "It isn't vegan.", "Is it nut-free?",
        "If you want it dairy-free, ask me.", "I find no nuts on the nose.",
        "No alcohol burn at all.",
    ],
)  # fmt: skip
def test_what_is_denied_asked_or_tasted_claims_no_absence(text):
    tokens = tokens_of(text)
    assert absences_in(tokens, (0, len(tokens))) == []


@table(
    "text, words",
    [
        # The last of a list of what is not in may be in: nobody must be told it is not.
        ("No dairy, no egg, and gluten from the barley.", ["dairy", "egg"]),
        ("No dairy, no egg, and gluten, from the barley.", ["dairy", "egg"]),
        ("No nuts, no milk, and gluten in the whisky.", ["nuts", "dairy"]),
        ("no dairy no egg and gluten from the barley", ["dairy", "egg"]),
        ("No egg, no gluten, sulphites from the wine.", ["egg", "gluten"]),
        ("Free of egg, and anything but free of sesame.", ["egg"]),
        ("No nuts, dairy, or gluten in the drink.", ["nuts", "dairy", "gluten"]),
        ("No dairy, no nuts, no gluten from the grain.", ["dairy", "nuts", "gluten"]),
        ("Free from dairy, nuts and gluten.", ["dairy", "nuts", "gluten"]),
        # Said of people, of an act, of what something comes from, of a part, of what is felt.
        ("Those who don't have milk or eggs should leave.", []),
        ("It is suitable for those who don't have milk.", ["dairy"]),
        ("Punch into milk, never milk into punch.", []),
        ("The sweetness isn't from sugar.", []),
        ("Distilled, there's no sugar left.", []),
        ("There's no alcohol kick in it.", []),
        ("There's no gluten in a pear.", []),
        ("Without the cream it was thin.", []),
        ("There isn't a grain of sugar that doesn't come from the fruit.", []),
        ("I do not sugar it.", []),
        ("Burning from the alcohol, none.", []),
        ("There's no gluten. In my village we toast.", ["gluten"]),
        # Said in another order, or in Scots.
        ("But egg there's none.", ["egg"]),
        ("Of alcohol there's no trace.", ["alcohol"]),
        ("There's nae milk and nae nuts.", ["dairy", "nuts"]),
        ("If you can't have egg or gluten, you're all right.", ["egg", "gluten"]),
        ("If you can't have egg or gluten, you're out of luck.", []),
    ],
)
def test_no_absence_is_read_that_was_not_said(text, words):
    tokens = tokens_of(text)
    ends = [at for at, token in enumerate(tokens) if at and set(token.gap) & set(".!?")]
    spans = zip([0, *ends], [*ends, len(tokens)], strict=True)
    assert [one.word for span in spans for one in absences_in(tokens, span)] == words
