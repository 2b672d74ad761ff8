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

FIGURES = ("abv", "sugar", "acid", "fat", "protein", "solids", "caffeine", "density", "ph",
           "temp_c", "piece_g")  # fmt: skip


def test_it_covers_the_shelves_of_a_bar():
    assert len(library()) >= 70
    assert len({entry.key for entry in library()}) == len(library())
    shelves = {"spirits", "liqueurs", "wines and beer", "syrups", "juices", "coffee and tea"}
    assert shelves | {"dairy and other milks", "sugars and acids", "eggs and nuts"} <= set(groups())


@pytest.mark.parametrize("entry", library(), ids=lambda entry: entry.key)
def test_every_property_has_a_source_or_is_called_typical(entry):
    figures = [getattr(entry.substance, name) for name in FIGURES]
    assert all(figure.source for figure in figures if isinstance(figure, Figure))


@pytest.mark.parametrize("entry", library(), ids=lambda entry: entry.key)
def test_every_entry_gives_a_whole_balance(entry):
    unit = "g" if entry.substance.kind in DRY else "ml"
    made = balance(recipe(line(entry.key, f"50 {unit}")))
    assert all(each.about == "allergens" for each in made.unknowns)
    assert made.batch.cost is None


@pytest.mark.parametrize("entry", library(), ids=lambda entry: entry.key)
def test_what_is_known_of_an_entry_fills_it(entry):
    if entry.substance.kind in DRY:
        assert mass_g(liquid_of(entry.substance, Amount(100, "g"))) == pytest.approx(100)
    else:
        poured = liquid_of(entry.substance, Amount(100, "ml"))
        assert volume_ml(poured) == pytest.approx(100)
        assert 0.78 < mass_g(poured) / 100 < 1.45


def test_citrus_juices_hold_the_assayed_acid():
    # Penniston et al., J. Endourol. 22, 567 (2008): lemon 48.0 (SD 3.82), lime 45.86 (SD 6.86)
    # g/l; pH by FDA, Approximate pH of Foods: 2.00-2.60 and 2.00-2.35.
    lemon, lime = ingredient("lemon-juice").substance, ingredient("lime-juice").substance
    assert (lemon.acid.value, lime.acid.value) == pytest.approx((4.80, 4.586))
    assert lime.acid.most - lime.acid.value == pytest.approx(0.686)
    assert (lemon.ph.least, lemon.ph.most, lime.ph.most) == (2.0, 2.6, 2.35)


def test_milk_and_cream_have_kesslers_composition():
    milk, cream = ingredient("whole-milk").substance, ingredient("cream-35").substance
    assert (milk.fat.value, milk.protein.value, milk.sugar.value) == (3.6, 3.4, 4.8)
    assert cream.fat.value == 35.0


def test_acid_powders_count_by_their_protons():
    for key, name in (("malic-acid", "malic"), ("tartaric-acid", "tartaric")):
        acid = ingredient(key).substance.acid.value
        assert acid == pytest.approx(100 * AS_CITRIC[name], abs=0.1)
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
