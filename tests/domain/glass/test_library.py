"""The library: whole, generic, sourced, and right where a published value exists."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.base.errors import NotFound
from server.domain.glass.acid import AS_CITRIC
from server.domain.glass.balance import balance
from server.domain.glass.figures import Figure
from server.domain.glass.library import groups, ingredient, library
from server.domain.glass.liquid import mass_g, volume_ml
from server.domain.glass.substance import DRY
from tests.domain.glass.recipes import line, recipe
from tests.domain.shorthand import liquid_of
from tests.table import table

FIGURES = ("abv", "sugar", "acid", "fat", "protein", "solids", "caffeine", "density", "ph",
           "temp_c", "piece_g")  # fmt: skip


def test_it_covers_the_shelves_of_a_bar():
    assert len(library()) >= 70
    assert len({entry.key for entry in library()}) == len(library())
    shelves = {"spirits", "liqueurs", "wines and beer", "syrups", "juices", "coffee and tea"}
    assert shelves | {"dairy and other milks", "sugars and acids", "eggs and nuts"} <= set(groups())


@table("entry", library(), ids=lambda entry: entry.key)
def test_every_property_has_a_source_or_is_called_typical(entry):
    figures = [getattr(entry.substance, name) for name in FIGURES]
    assert all(figure.source for figure in figures if isinstance(figure, Figure))


@table("entry", library(), ids=lambda entry: entry.key)
def test_every_entry_gives_a_whole_balance(entry):
    unit = "g" if entry.substance.kind in DRY else "ml"
    made = balance(recipe(line(entry.key, f"50 {unit}")))
    left = {"allergens", "melt"} if entry.substance.kind == "ice" else {"allergens"}
    assert {each.about for each in made.unknowns} <= left
    assert made.batch.cost is None


@table("entry", library(), ids=lambda entry: entry.key)
def test_what_is_known_of_an_entry_fills_it(entry):
    if entry.substance.kind in DRY:
        assert mass_g(liquid_of(entry.substance, Amount(100, "g"))) == pytest.approx(100)
    else:
        poured = liquid_of(entry.substance, Amount(100, "ml"))
        assert volume_ml(poured) == pytest.approx(100)
        assert 0.78 < mass_g(poured) / 100 < 1.45


# Penniston et al., J. Endourol. 22, 567 (2008): lemon 48.0 (SD 3.82), lime 45.86 (SD 6.86) g/l;
# Indian Food Composition Tables 2017: 4.07 g of organic acids in 100 g of lemon juice; US
# commercial item description A-A-20144B: lemon juice of 50 g/l at least; a trade note: lime 50-75.
@pytest.mark.parametrize(
    ("key", "published"), [("lemon-juice", (4.80, 4.07, 5.0)), ("lime-juice", (4.586, 5.0, 7.5))]
)
def test_citrus_acid_holds_every_published_value(key, published):
    acid = ingredient(key).substance.acid
    assert all(acid.least <= each <= acid.most for each in published)
    assert acid.least <= min(published) < acid.value < max(published) + 0.2


def test_citrus_juices_are_as_acid_as_the_list_says():
    # FDA, Approximate pH of Foods (2003): lemon 2.00-2.60, lime 2.00-2.35.
    lemon, lime = ingredient("lemon-juice").substance, ingredient("lime-juice").substance
    assert (lemon.ph.least, lemon.ph.most, lime.ph.most) == (2.0, 2.6, 2.35)


# USDA National Nutrient Database SR28, read row by row; Indian Food Composition Tables 2017 (its
# public index, g in 100 g); FDA, Approximate pH of Foods (2003).
PUBLISHED = [
    ("apple-juice", "sugar", 9.6), ("pineapple-juice", "sugar", 10.0),
    ("lemon-juice", "sugar", 2.59), ("grapefruit-juice", "sugar", 7.2), ("cola", "sugar", 10.2),
    ("yoghurt", "sugar", 4.7),
    ("yoghurt", "fat", 3.2), ("yoghurt", "protein", 3.5), ("coconut-milk", "fat", 23.8),
    ("coconut-milk", "protein", 2.3), ("coconut-milk", "sugar", 3.3), ("cream-35", "fat", 36.1),
    ("cream-35", "protein", 2.8), ("cream-35", "sugar", 2.9), ("whole-milk", "fat", 4.48),
    ("whole-milk", "fat", 3.25), ("whole-milk", "protein", 3.26), ("whole-milk", "sugar", 4.89),
    ("egg-white", "protein", 10.84), ("egg-white", "fat", 0.06), ("whole-egg", "protein", 13.28),
    ("whole-egg", "fat", 9.15), ("egg-yolk", "protein", 15.74), ("egg-yolk", "fat", 26.34),
    ("pomegranate-juice", "sugar", 10.87), ("pineapple-juice", "acid", 0.714),
    ("apple-juice", "acid", 0.21), ("apple-juice", "acid", 0.58), ("orange-juice", "acid", 1.48),
    ("pomegranate-juice", "acid", 1.62), ("apple-juice", "ph", 3.35), ("apple-juice", "ph", 4.0),
    ("grapefruit-juice", "ph", 3.0), ("grapefruit-juice", "ph", 3.75), ("orange-juice", "ph", 4.19),
    ("pineapple-juice", "ph", 3.6), ("pomegranate-juice", "ph", 2.93),
    ("pomegranate-juice", "ph", 3.2),
    ("white-wine-12", "sugar", 1.0), ("lager-5", "sugar", 0.0), ("honey", "sugar", 82.4),
    ("black-tea", "solids", 0.3), ("coffee-liqueur-20", "sugar", 52.0),
]  # fmt: skip


@table("key, name, published", PUBLISHED)
def test_a_range_holds_what_is_published(key, name, published):
    figure = getattr(ingredient(key).substance, name)
    assert figure.least <= published <= figure.most


@table("entry", library(), ids=lambda entry: entry.key)
def test_what_is_typical_or_remembered_is_a_range(entry):
    figures = {name: getattr(entry.substance, name) for name in FIGURES if name != "temp_c"}
    unsure = {
        name: figure
        for name, figure in figures.items()
        if figure and any(word in figure.source for word in ("typical", "memory", "as named"))
    }
    assert [name for name, figure in unsure.items() if not figure.is_range] == []


def test_a_named_strength_is_as_sure_as_its_label():
    # Regulation (EU) No 1169/2011, Annex XII: 0.3 % vol, of beer up to 5.5 % vol 0.5 % vol.
    gin, lager = ingredient("gin-40").substance.abv, ingredient("lager-5").substance.abv
    assert (gin.least, gin.most) == (39.7, 40.3)
    assert (lager.least, lager.most) == (4.5, 5.5)


def test_milk_and_cream_have_kesslers_composition():
    milk, cream = ingredient("whole-milk").substance, ingredient("cream-35").substance
    assert (milk.fat.value, milk.protein.value, milk.sugar.value) == (3.6, 3.4, 4.8)
    assert cream.fat.value == 35.0


def test_acid_powders_count_by_their_protons():
    for key, name in (("malic-acid", "malic"), ("tartaric-acid", "tartaric")):
        acid = ingredient(key).substance.acid.value
        assert acid == pytest.approx(100 * AS_CITRIC[name], abs=0.1)
    assert ingredient("phosphoric-acid-10").substance.acid.value == pytest.approx(
        10 * AS_CITRIC["phosphoric"], abs=0.1
    )
    assert ingredient("lactic-acid-80").substance.acid.value == pytest.approx(
        80 * AS_CITRIC["lactic"], abs=0.1
    )


def test_liqueurs_keep_the_law():
    # Regulation (EC) No 110/2008, Annex II, 32: 100 g/l of sugar, 70 for cherry and 80 for gentian
    # liqueurs; 400 for creme de cassis (34, from memory). Regulation (EU) 2019/787 since.
    for entry in groups()["liqueurs"]:
        assert 10 * entry.substance.sugar.value >= 80
    assert 10 * ingredient("cassis-20").substance.sugar.least >= 400


def test_looking_up():
    with pytest.raises(NotFound):
        ingredient("unobtainium")


def test_every_temperature_has_a_range_and_a_reason_for_it():
    for entry in library():
        temp_c = entry.substance.temp_c
        if temp_c is None:
            continue
        assert temp_c.least < temp_c.value < temp_c.most, entry.name
        assert temp_c.source not in ("", "typical"), entry.name
