"""Heat capacities, mixing and ice against handbooks, CoolProp and worked examples."""

import pytest
from chemicals import Hfus

from server.domain.base.errors import CannotTell
from server.domain.glass.heat import (
    ICE_J_PER_GK,
    MELTING_J_PER_G,
    WATER_J_PER_GK,
    ethanol_water_j_per_gk,
    freezing_point_c,
    ice_to_chill_g,
    syrup_j_per_gk,
    temp_after_melting_c,
)
from tests.domain.glass.fluids import of_fluid
from tests.table import table


@pytest.mark.parametrize("temp", [5, 20, 60, 90])
def test_heat_capacity_of_water(temp):
    # IAPWS-95 via CoolProp: 4205, 4184, 4185, 4205 J/kg K.
    reference = of_fluid("C", "T", 273.15 + temp, "P", 101325, "Water") / 1000
    assert pytest.approx(reference, rel=0.007) == WATER_J_PER_GK


# CoolProp INCOMP::MEA (Melinder's fit), J/kg K at 0 and 20 °C by mass %; its second fit MEA2 is up
# to 75 lower, which is what the tolerance covers. 33.4 mass % is 40 % vol.
@table(
    "percent, at_0, at_20, tolerance",
    [(0, 4219, 4184, 5), (10, 4402, 4303, 80), (20, 4369, 4329, 80), (30, 4163, 4216, 80),
     (33.4, 4073, 4157, 80), (40, 3893, 4029, 80), (50, 3634, 3825, 80), (60, 3330, 3551, 80),
     (100, 2257, 2396, 10)],
)  # fmt: skip
def test_heat_capacity_of_ethanol_and_water(percent, at_0, at_20, tolerance):
    for temp, reference in ((0, at_0), (20, at_20)):
        found = 1000 * ethanol_water_j_per_gk(percent / 100, temp)
        assert found == pytest.approx(reference, abs=tolerance)


@table("percent", [7, 12, 18, 27, 36, 45, 55])
@table("temp", [2, 11, 29, 38])
def test_heat_capacity_between_the_rows_of_the_table(percent, temp):
    fluid = f"INCOMP::MEA[{percent / 100}]"
    reference = of_fluid("C", "T", 273.15 + temp, "P", 101325, fluid)
    assert 1000 * ethanol_water_j_per_gk(percent / 100, temp) == pytest.approx(reference, rel=0.01)


def test_weak_spirit_holds_more_heat_than_the_mean_of_its_parts():
    # The trap: the mean weighted by mass gives 3.59 for 40 % vol, 14 % too low.
    mean = 0.333 * 2.396 + 0.667 * 4.184
    assert mean == pytest.approx(3.59, abs=0.01)
    assert ethanol_water_j_per_gk(0.333, 20) > 1.14 * mean


def test_freezing_point_of_spirit():
    # CoolProp: 33.4 mass % freezes at -23.4 (MEA) or -23.5 °C (MEA2).
    assert freezing_point_c(0.334) == pytest.approx(-23.4, abs=0.3)
    for percent in (5, 10, 20, 30, 40, 50):
        reference = of_fluid("T_FREEZE", "T", 300, "P", 101325,
                                     f"INCOMP::MEA[{percent / 100}]") - 273.15  # fmt: skip
        assert freezing_point_c(percent / 100) == pytest.approx(reference, abs=0.1)


# ICUMSA / Bubnik et al. 1995: kJ/kg K at 20 °C by Brix (formula from memory), 3 %.
@pytest.mark.parametrize(
    ("brix", "capacity"), [(0, 4.187), (10, 3.905), (30, 3.341), (50, 2.777), (70, 2.213)]
)
def test_heat_capacity_of_syrup(brix, capacity):
    assert syrup_j_per_gk(brix, 20) == pytest.approx(capacity, rel=0.03)


def test_ice_constants():
    # IAPWS-06: 2.097 at 0 °C, 2.023 at -10 °C; melting 333.42. CRC via chemicals: 333.6 J/g.
    assert 2.023 <= ICE_J_PER_GK <= 2.097
    assert pytest.approx(333.42, abs=0.3) == MELTING_J_PER_G
    assert pytest.approx(Hfus("7732-18-5") / 18.015, abs=0.3) == MELTING_J_PER_G


# Energy balance with L = 333.55 J/g, c = 4.18: J/K, from, to, ice at, g of ice melted.
@pytest.mark.parametrize(
    ("heat", "start", "end", "ice", "melted"),
    [(418, 20, 0, 0, 25.06), (418, 25, 0, 0, 31.33), (418, 20, 0, -10, 23.61),
     (836, 20, 5, 0, 35.38), (408.6, 20, 0, 0, 24.5)],
)  # fmt: skip
def test_ice_that_melts_to_chill(heat, start, end, ice, melted):
    assert ice_to_chill_g(heat, start, end, ice) == pytest.approx(melted, abs=0.06)
    assert temp_after_melting_c(heat, start, melted, ice) == pytest.approx(end, abs=0.1)


def test_a_mixed_drink_stores_what_its_parts_store():
    # 56.88 g of spirit, 31 g of juice, 18.44 g of 50 Brix: 408.6 J/K.
    parts = [(56.88, 4.157), (31, 3.9), (18.44, 2.78)]
    assert sum(mass * capacity for mass, capacity in parts) == pytest.approx(408.6, abs=0.1)
    assert 56.88 * ethanol_water_j_per_gk(0.333, 20) == pytest.approx(56.88 * 4.157, rel=0.003)
    assert 18.44 * syrup_j_per_gk(50, 20) == pytest.approx(18.44 * 2.78, rel=0.003)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: ice_to_chill_g(400, 20, 0, ice_c=1),
        lambda: ice_to_chill_g(400, 5, 10, ice_c=-5),
        lambda: temp_after_melting_c(400, 20, 10, ice_c=0.5),
        lambda: ice_to_chill_g(400, 20, 0, ice_c=-90),
    ],
)
def test_impossible_heat_is_refused(wrong):
    with pytest.raises(CannotTell):
        wrong()
