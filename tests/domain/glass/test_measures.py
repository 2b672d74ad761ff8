"""The sizes of a recipe's units against NIST and pint, and what they make of a substance."""

import pytest
from pint import UnitRegistry

from server.domain.base.amounts import BAR_MEASURES_ML, Amount
from server.domain.glass.cautions import VERY_HOT_C
from server.domain.glass.figures import Content, Figure
from server.domain.glass.liquid import EMPTY, mass_g, volume_ml
from server.domain.glass.substance import Substance
from server.domain.glass.unit import UnitMeasure, measured
from server.domain.prepare.timetable import COLD_C, HOT_C
from tests.domain.shorthand import liquid_of
from tests.table import table

WATER = Substance(kind="water")


# NIST Handbook 44, Appendix C (exact by definition), as pint has them; NIST SP 430 rounds the
# teaspoon to 4.9 and the tablespoon to 15 ml. cl and l are SI.
@table(
    "amount, ml",
    [
        (Amount(1, "oz"), 29.5735295625),
        (Amount(0.75, "oz"), 22.1801),
        (Amount(1.5, "oz"), 44.3603),
        (Amount(2, "oz"), 59.1471),
        (Amount(1, "tsp"), 4.928922),
        (Amount(1, "tbsp"), 14.786765),
        (Amount(1, "cl"), 10),
        (Amount(1, "l"), 1000),
    ],
)
def test_volumes(amount, ml):
    assert amount.volume_ml == pytest.approx(ml, abs=1e-4)
    assert volume_ml(liquid_of(WATER, amount)) == pytest.approx(ml, abs=1e-3)


def test_other_volumes_that_people_ask_about():
    # pint 0.25; NIST SP 430 prints 237, 473 and 118 ml for cup, pint and gill.
    registry = UnitRegistry()
    sizes = {"imperial_fluid_ounce": 28.4130625, "cup": 236.588, "pint": 473.176,
             "gill": 118.294, "gallon": 3785.412, "imperial_pint": 568.26125,
             "fluid_dram": 3.6967, "minim": 0.0616115}  # fmt: skip
    for unit, ml in sizes.items():
        assert registry.Quantity(1, unit).to("ml").magnitude == pytest.approx(ml, abs=0.001)
    assert registry.Quantity(1, "oz").to("g").magnitude == pytest.approx(28.349523125, abs=1e-9)


def test_bar_measures_are_ranges():
    # Common practice, no source: dash 0.8-0.9 ml, barspoon 2.5-5 ml, drop 0.05 ml.
    assert BAR_MEASURES_ML == {"dash": (0.8, 0.9), "barspoon": (2.5, 5.0), "drop": (0.05, 0.05)}
    dashes = measured(Amount(2, "dash"), WATER, None)
    assert dashes.units * 100 == pytest.approx(1.7)
    assert (dashes.low, dashes.high) == pytest.approx((0.8 / 0.85, 0.9 / 0.85))


def test_degrees_that_cautions_name():
    # FDA Food Code prints 41, 135 and 149 °F; converted by pint.
    registry = UnitRegistry()
    celsius = [registry.Quantity(f, "degF").to("degC").magnitude for f in (41, 135, 149)]
    assert celsius == pytest.approx([5.00, 57.22, 65.00], abs=0.01)
    assert pytest.approx(celsius, abs=0.3) == [COLD_C, HOT_C, VERY_HOT_C]


def test_parts_need_a_size():
    assert measured(Amount(2, "part"), WATER, None) == "say how large one part is."
    assert measured(Amount(2, "part"), WATER, part_ml=30.0).units == pytest.approx(0.6)


def test_pieces_need_a_weight():
    egg = Substance(kind="egg", piece_g=Figure(33, 28, 38), density=Figure(1.035))
    assert measured(Amount(1, "piece"), WATER, None) == "say how much one piece weighs."
    assert mass_g(liquid_of(egg, Amount(2, "piece"))) == pytest.approx(66)
    assert measured(Amount(1, "piece"), egg, None).high == pytest.approx(38 / 33)


def test_an_amount_that_cannot_be_told_is_no_liquid():
    assert liquid_of(WATER, Amount(2, "piece")) == EMPTY


def test_dry_sugar_is_weighed_even_by_the_spoon():
    # 200 g of sugar in a US cup, a kitchen convention (5 %).
    sugar = Substance(kind="sugar", sugar=Content(100, per="100 g"), density=Figure(0.845))
    registry = UnitRegistry()
    cup_ml = registry.Quantity(1, "cup").to("ml").magnitude
    assert mass_g(liquid_of(sugar, Amount(cup_ml, "ml"))) == pytest.approx(200, rel=0.05)
    unknown = Substance(kind="sugar", sugar=Content(100, per="100 g"))
    assert "weighs" in measured(Amount(1, "tsp"), unknown, None)


def test_a_volume_and_its_mass_are_the_same_drink():
    liqueur = Substance(kind="liqueur", abv=Figure(25), sugar=Content(30))
    poured = liquid_of(liqueur, Amount(50, "ml"))
    weighed = liquid_of(liqueur, Amount(mass_g(poured), "g"))
    assert weighed == pytest.approx(poured)
    assert isinstance(measured(Amount(50, "ml"), liqueur, None), UnitMeasure)
