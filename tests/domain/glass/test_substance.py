"""What an ingredient may hold, and what counts as not known of it."""

import pytest
from pydantic import TypeAdapter

from server.domain.base.amounts import Amount
from server.domain.base.errors import InvalidInput
from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.liquid import capacity_j_per_k, mass_g, volume_ml
from server.domain.glass.substance import KINDS, SETTLED, Cost, Substance, coffee_of
from tests.domain.shorthand import liquid_of
from tests.table import table

# Kessler (1981): whole milk by mass.
MILK = Substance(
    kind="dairy",
    sugar=Content(4.8, per="100 g"),
    protein=Content(3.4, per="100 g"),
    fat=Content(3.6, per="100 g"),
    solids=Content(0.7, per="100 g"),
)


@table(
    "wrong, field",
    [
        ({"abv": Figure(101)}, "abv"),
        ({"abv": Figure(-1)}, "abv"),
        ({"abv": Figure(40, 38, 120)}, "abv"),
        ({"sugar": Content(170)}, "sugar"),
        ({"sugar": Content(101, per="100 g")}, "sugar"),
        ({"sugar": Content(-1)}, "sugar"),
        ({"abv": Figure(60), "sugar": Content(90)}, "sugar"),
        ({"fat": Content(60, per="100 g"), "sugar": Content(60, per="100 g")}, "sugar"),
        ({"acid": Content(-1)}, "acid"),
        ({"ph": Figure(15)}, "ph"),
        ({"density": Figure(9)}, "density"),
        ({"temp_c": Figure(200)}, "temp_c"),
        ({"kind": "potion"}, "kind"),
        ({"allergens": ("dust",)}, "allergens"),
        ({"caffeine": Content(-1)}, "caffeine"),
    ],
)
def test_impossible_properties_are_refused(wrong, field):
    with pytest.raises(InvalidInput) as refused:
        Substance(**wrong)
    assert field in [fault.field for fault in refused.value.faults]


def test_every_fault_is_said_at_once():
    with pytest.raises(InvalidInput) as refused:
        Substance(abv=Figure(120), ph=Figure(-2))
    assert [fault.field for fault in refused.value.faults] == ["abv", "ph"]


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Figure(float("nan")),
        lambda: Figure(float("inf")),
        lambda: Figure(5, low=6),
        lambda: Figure(5, high=4),
        lambda: Cost(-1, Amount(700, "ml")),
        lambda: Cost(20, Amount(0, "ml")),
    ],
)
def test_impossible_figures_are_refused(wrong):
    with pytest.raises(InvalidInput):
        wrong()


def test_kind_settles_what_cannot_be_in_it():
    spirit = Substance(kind="spirit", abv=Figure(40))
    assert [name for name in ("fat", "acid", "caffeine", "sugar") if spirit.lacks(name)] == [
        "sugar"
    ]
    assert set(SETTLED) == set(KINDS)


def test_a_given_property_outranks_its_kind():
    cream_liqueur = Substance(kind="liqueur", abv=Figure(17), fat=Content(14))
    assert liquid_of(cream_liqueur, Amount(100, "ml")).fat_g == pytest.approx(14)


def test_milk_weighs_and_warms_like_milk():
    # Whole milk: density 1.030 g/ml (dairy handbooks); capacity 3.846 J/g K (Kessler).
    milk = liquid_of(MILK, Amount(100, "ml"))
    assert mass_g(milk) == pytest.approx(103.0, abs=0.3)
    assert capacity_j_per_k(milk, 20) / mass_g(milk) == pytest.approx(3.846, abs=0.02)


def test_a_measured_density_is_kept():
    honey = Substance(kind="syrup", sugar=Content(82, per="100 g"), density=Figure(1.42))
    poured = liquid_of(honey, Amount(50, "ml"))
    assert mass_g(poured) == pytest.approx(71.0)
    assert volume_ml(poured) == pytest.approx(50.0)


def test_a_brew_becomes_coffee_with_its_strength_and_caffeine():
    coffee = coffee_of(Brew(dose_g=15, water_g=250, held_g_per_g=2, tds_percent=1.3))
    poured = liquid_of(coffee, Amount(100, "ml"))
    assert poured.solids_g == pytest.approx(1.3, abs=0.01)
    assert coffee.caffeine.least < poured.caffeine_mg < coffee.caffeine.most
    assert poured.caffeine_mg == pytest.approx(15 * 12 * 0.85 / 2.196, rel=0.01)


def test_a_brew_that_says_nothing_of_its_dose_keeps_what_is_known():
    base = Substance(kind="coffee", caffeine=Content(50), temp_c=Figure(80))
    coffee = coffee_of(Brew(tds_percent=1.3), base)
    assert coffee.caffeine == Content(50)
    assert (coffee.temp_c, coffee.solids.value) == (Figure(80), 1.3)


def test_a_substance_goes_through_json_and_back():
    adapter = TypeAdapter(Substance)
    whole = Substance(
        kind="juice", sugar=Content(1.7, per="100 g"), acid=Content(4.6, 3.9, 5.3, "assay"),
        allergens=("sulphites",), cost=Cost(3.5, Amount(1, "l")), piece_g=Figure(30),
    )  # fmt: skip
    assert adapter.validate_json(adapter.dump_json(whole)) == whole
    with pytest.raises(InvalidInput):
        adapter.validate_json('{"abv": {"value": 140}}')
