"""Allergens against Regulation (EU) No 1169/2011, Annex II."""

import pytest

from server.domain.base.errors import InvalidInput
from server.domain.glass.allergens import ALLERGEN_WORDS, ALLERGENS, named_allergens, perhaps_exempt
from server.domain.glass.balance import balance
from server.domain.glass.cautions import cautions
from server.domain.glass.figures import Figure
from server.domain.glass.library import ingredient, library
from server.domain.glass.steps import Filter
from server.domain.glass.substance import Substance
from tests.domain.glass.recipes import line, own_line, recipe
from tests.table import table


def test_the_law_lists_fourteen():
    assert len(ALLERGENS) == 14
    assert (ALLERGENS[6], ALLERGENS[7], ALLERGENS[11]) == ("milk", "nuts", "sulphites")
    assert set(ALLERGEN_WORDS) == set(ALLERGENS)


# Annex II, points 1 to 14, for ordinary things behind a bar.
@table(
    "key, allergens",
    [
        ("orgeat", ("nuts",)),
        ("almond-drink", ("nuts",)),
        ("egg-white", ("eggs",)),
        ("whole-milk", ("milk",)),
        ("wine-aperitif-17", ("sulphites",)),
        ("peanuts", ("peanuts",)),
        ("oat-drink", ("gluten",)),
        ("coconut-milk", ()),
        ("vodka-40", ()),
        ("celery-stick", ("celery",)),
        ("sesame", ("sesame",)),
    ],
)
def test_ordinary_ingredients(key, allergens):
    assert balance(recipe(line(key, "10 g"))).allergens == allergens


def test_what_was_ticked_for_a_spirit_is_declared_and_the_exemption_only_told():
    washed = own_line("butter-washed rum", "10 ml", kind="spirit", allergens=("milk", "sulphites"))
    found = balance(recipe(washed))
    assert found.allergens == ("milk", "sulphites")
    # Annex II, 7(a): whey used for making alcoholic distillates.
    told = [each.words for each in cautions(found) if each.code == "allergens"]
    assert any("butter-washed rum: milk as ticked" in words for words in told)
    assert perhaps_exempt("liqueur", ("nuts",)) == ()


@pytest.mark.parametrize("key", ["herbal-liqueur-43", "grenadine", "aromatic-bitters", "cola"])
def test_what_only_a_label_tells_is_not_known(key):
    assert balance(recipe(line(key, "10 ml"))).allergens_unknown


# Wine that was fined with egg or milk says so on its label (FSAI, Wine and Allergens: from 30 June
# 2012 on; Regulation (EU) 2019/33, Article 41).
@pytest.mark.parametrize(
    "key", ["cream-liqueur-17", "orgeat", "sweet-vermouth-16", "red-wine-13", "port-20"]
)
def test_what_is_certain_is_declared_though_the_rest_is_not_known(key):
    found = balance(recipe(line(key, "10 ml")))
    (name,) = found.allergens_unknown
    assert found.allergens == ingredient(key).substance.allergens
    assert f"{name}: its other allergens are not known." in [u.words for u in found.unknowns]
    told = [each.words for each in cautions(found) if each.code == "allergens"]
    assert len(told) == 2


def test_a_kind_that_settles_the_rest_has_none_open():
    washed = Substance(kind="spirit", allergens=("milk",), allergens_open=True)
    assert not washed.lacks("allergens")


def test_nothing_certain_and_the_rest_open_is_not_known_at_all():
    with pytest.raises(InvalidInput):
        Substance(kind="liqueur", allergens=(), allergens_open=True)


def test_milk_stays_milk_after_clarifying():
    # Whey keeps lactose and whey protein: point 7 still holds.
    clear = Filter("f", recovered_ml=Figure(100), curd=True)
    drink = recipe(line("whole-milk", "100 ml"), line("lime-juice", "30 ml"), steps=[clear])
    assert balance(drink).allergens == ("milk",)


def test_allergens_come_in_the_order_of_the_law_each_once():
    drink = recipe(
        line("dry-vermouth-18", "10 ml"), line("egg-white", "1 piece"), line("port-20", "10 ml")
    )
    assert balance(drink).allergens == ("eggs", "sulphites")


def test_unknown_allergens_are_named_not_absent():
    found = balance(recipe(own_line("house syrup", "10 ml", kind="syrup")))
    assert found.allergens_unknown == ("house syrup",)
    assert "house syrup: its allergens are not known." in [u.words for u in found.unknowns]


# Names as they stand on bottles and in recipes; what is in them is common knowledge, no source.
@table(
    "kind, name, told",
    [
        ("spirit", "Milk-washed gin", ("milk",)),
        ("spirit", "Brown-butter-washed rum", ("milk",)),
        ("spirit", "Peanut rum", ("peanuts",)),
        ("spirit", "Sesame-washed whisky", ("sesame",)),
        ("spirit", "Rye-bread-infused vodka", ("gluten",)),
        ("tea", "Barley tea", ("gluten",)),
        ("salt", "Celery salt", ("celery",)),
        ("other", "Tahini", ("sesame",)),
        ("other", "Za’atar", ("sesame",)),
        ("other", "Eggnog", ("eggs", "milk")),
        ("other", "Tiramisu syrup", ("gluten", "eggs", "milk")),
        ("other", "Dijon", ("mustard",)),
        ("wine", "Champagne", ("sulphites",)),
        ("other", "Champagne vinegar", ("sulphites",)),
        ("other", "Worcester-style sauce", ("gluten", "fish")),
        ("other", "Soy lecithin", ("soybeans",)),
        ("juice", "Bottled lemon juice", ("sulphites",)),
        ("other", "Lupin milk", ("lupin",)),
        ("other", "Clam juice", ("molluscs",)),
        ("other", "Hafermilch", ("gluten",)),
        ("other", "Lait d’amande", ("nuts",)),
        ("other", "Oat milk", ("gluten",)),
    ],
)
def test_a_name_tells_of_an_allergen(kind, name, told):
    assert named_allergens(kind, name) == told


@table(
    "kind, name",
    [
        # Regulation (EU) No 1169/2011, Annex II, 1(d) and 8(a): what a distillate is made of.
        ("spirit", "Rye whisky"),
        ("spirit", "Hazelnut eau-de-vie"),
        ("other", "Coconut cream"),
        ("other", "Cream of tartar"),
        ("garnish", "Nutmeg"),
        ("soda", "Ginger beer"),
        ("other", "Butterfly pea tea"),
        ("other", "Vegan egg white"),
        ("other", "Cocoa butter"),
        ("liqueur", "Crème de menthe"),
        ("other", "Sunflower lecithin"),
        ("other", "Buckwheat"),
    ],
)
def test_a_name_that_only_sounds_like_an_allergen_tells_of_none(kind, name):
    assert named_allergens(kind, name) == ()


def test_no_name_of_the_library_tells_of_more_than_its_entry_declares():
    for entry in library():
        substance = entry.substance
        assert set(named_allergens(substance.kind, entry.name)) <= set(substance.allergens or ())


def test_what_only_the_name_tells_of_is_not_known_and_never_none():
    washed = recipe(line("gin-45", "45 ml", name="Milk-washed gin"), line("lemon-juice", "20 ml"))
    found = balance(washed)
    assert found.allergens == ()
    assert found.allergens_unknown == ("Milk-washed gin",)
    words = {each.code: each.words for each in cautions(found)}
    assert "tells of milk" in " ".join(each.words for each in cautions(found))
    # FDA Food Code 3-501.16: milk is kept cold.
    assert "Holds milk" in words["holding"]


def test_what_is_ticked_is_not_asked_again():
    made_of = Substance(kind="spirit", abv=Figure(40.0), allergens=("milk",))
    (parcel,) = balance(recipe(own_line("Butter-washed rum", "45 ml", made_of))).parcels
    assert parcel.suspected == ()
    (parcel,) = balance(recipe(own_line("Almond rum", "45 ml", made_of))).parcels
    assert parcel.suspected == ("nuts",)
