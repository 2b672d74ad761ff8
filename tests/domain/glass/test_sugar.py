"""Sucrose and water against ICUMSA, US tables and a handbook of confectionery."""

import pytest
from chemicals.refractivity import brix_to_RI

from server.domain.base.errors import CannotTell
from server.domain.glass.alcohol import density_g_per_l as spirit_g_per_l
from server.domain.glass.sugar import (
    REFRACTOMETER_BRIX,
    SATURATION_BRIX_5_C,
    SATURATION_BRIX_20_C,
    brix_of_mix,
    density_g_per_l,
    dissolved_ml,
    refractometer_brix,
    water_density_g_per_l,
    water_to_thin_g,
)
from tests.domain.shorthand import g_per_litre
from tests.table import table

# ICUMSA SPS-4 (Bubnik et al., Sugar Technologists Manual, 1995, p. 164): Brix, density at 20 °C,
# SG 20/20, g of sucrose per litre.
ICUMSA = [
    (0, 998.20, 1.00000, 0), (5, 1017.81, 1.01964, 50.9), (10, 1038.12, 1.03998, 103.8),
    (15, 1059.16, 1.06107, 158.9), (20, 1080.98, 1.08292, 216.2), (30, 1127.03, 1.12906, 338.1),
    (40, 1176.52, 1.17864, 470.6), (50, 1229.65, 1.23187, 614.8), (60, 1286.61, 1.28893, 772.0),
    (65, 1316.56, 1.31893, 855.8), (66.67, 1326.75, 1.32914, 884.5), (70, 1347.48, 1.34990, 943.2),
]  # fmt: skip

AIR_G_PER_ML, WEIGHTS_G_PER_ML = 0.0012, 8.4


def in_air(density_g_per_ml):
    """What a millilitre seems to weigh against brass weights in air."""
    return (density_g_per_ml - AIR_G_PER_ML) / (1 - AIR_G_PER_ML / WEIGHTS_G_PER_ML)


@table("brix, density, gravity, grams", ICUMSA)
def test_density_follows_the_icumsa_table(brix, density, gravity, grams):
    assert density_g_per_l(brix) == pytest.approx(density, abs=0.1)
    assert density_g_per_l(brix) / density_g_per_l(0) == pytest.approx(gravity, abs=0.0001)
    assert g_per_litre(brix) == pytest.approx(grams, abs=0.1)


def test_weight_of_a_gallon_in_air():
    # NBS Circular 440 (1942), table of 5 Brix as reprinted: 8.486 lb in a US gallon.
    pounds = in_air(density_g_per_l(5) / 1000) * 3785.412 / 453.59237
    assert pounds == pytest.approx(8.486, abs=0.002)


# USDA sucrose conversion table 135-A-50: apparent SG 20/20 weighed in air.
# A forum's readings: white rum of 40 % vol shows 14 Brix, dry wine of 12 % 7 to 8, fino of 15 % 7
# (thehomebrewforum.co.uk, thread 79770); densities by OIML R 22 and OIV.
@pytest.mark.parametrize(
    ("abv", "density", "shown"), [(40, 948.05, 14), (12, 991.0, 7.5), (15, 985.0, 7)]
)
def test_a_refractometer_takes_alcohol_for_sugar(abv, density, shown):
    assert refractometer_brix(abv, density) == pytest.approx(shown, abs=REFRACTOMETER_BRIX)


def test_a_fortified_wine_solves_back_to_its_strength():
    # Rogerson and Symington 2006: % vol = 1.646 Brix - 2.703 Baume - 1.794.
    shown = refractometer_brix(20.0, 1022.0)
    baume = 145 - 145 / (1022.0 / 998.203)
    assert 1.646 * shown - 2.703 * baume - 1.794 == pytest.approx(20.0)


@pytest.mark.parametrize(("brix", "gravity"), [(3.8, 1.01490), (7.6, 1.03017)])
def test_apparent_gravity_in_air(brix, gravity):
    seen = in_air(density_g_per_l(brix) / 1000) / in_air(density_g_per_l(0) / 1000)
    assert seen == pytest.approx(gravity, abs=0.00005)


@pytest.mark.parametrize("brix", [2, 10, 20, 30, 39])
def test_gravity_leads_to_brix_by_the_nbs_polynomial(brix):
    # Fit of NBS Circular 440 as reprinted, good below 40 Brix: 19.99 for SG 1.08292.
    s = density_g_per_l(brix) / density_g_per_l(0)
    fitted = 182.4601 * s**3 - 775.6821 * s**2 + 1262.7794 * s - 669.5622
    assert fitted == pytest.approx(brix, abs=0.05)


def test_a_refractometer_table_calls_the_same_solution_by_the_same_brix():
    # chemicals brix_to_RI (ICUMSA 1974) and the Lorentz-Lorenz mixing rule tie index to density:
    # specific refraction of sucrose and water stays that of the parts, to 0.3 %.
    def refraction(brix):
        n = brix_to_RI(brix)
        return (n**2 - 1) / (n**2 + 2) / density_g_per_l(brix)

    water, half = refraction(0.0), refraction(50.0)
    sucrose = (half - 0.5 * water) / 0.5
    assert refraction(20.0) == pytest.approx(0.8 * water + 0.2 * sucrose, rel=0.003)
    assert brix_to_RI(10.0) == pytest.approx(1.34782, abs=0.0001)


# ICUMSA density of what the recipe gives: sugar g, water g, Brix, density, batch ml.
@pytest.mark.parametrize(
    ("sugar", "water", "brix", "density", "batch"),
    [(100, 100, 50.00, 1229.7, 162.6), (200, 100, 66.67, 1326.8, 226.1),
     (60, 40, 60.0, 1286.6, 77.7)],
)  # fmt: skip
def test_syrups_by_mass(sugar, water, brix, density, batch):
    assert brix_of_mix(sugar, water) == pytest.approx(brix, abs=0.2)
    assert density_g_per_l(brix_of_mix(sugar, water)) == pytest.approx(density, abs=0.3)
    apart_ml = 1000 * water / density_g_per_l(0)
    assert apart_ml + dissolved_ml(sugar, water) == pytest.approx(batch, abs=0.3)


def test_sugar_in_a_measure_of_syrup():
    # ICUMSA: 15 ml of 50 Brix, 20 ml of 66.67 Brix, a millilitre of 60 Brix.
    grams = [ml * g_per_litre(brix) / 1000 for ml, brix in ((15, 50), (20, 66.67), (1, 60))]
    assert grams == pytest.approx([9.22, 17.69, 0.772], abs=0.02)


def test_saturation_follows_from_solubility():
    # Mohos (2010), tables A2.2-2.3: 203.9 g in 100 g of water at 20 °C, 184.7 g at 5 °C.
    assert pytest.approx(100 * 203.9 / 303.9, abs=0.2) == SATURATION_BRIX_20_C
    assert pytest.approx(100 * 184.7 / 284.7, abs=0.2) == SATURATION_BRIX_5_C
    assert SATURATION_BRIX_20_C - brix_of_mix(2, 1) < 0.5


def test_thinning_is_a_mass_balance():
    # 100 g of 66.67 Brix to 50 Brix: 33.33 g of water.
    added = water_to_thin_g(100, 200 / 3, 50)
    assert added == pytest.approx(33.33, abs=0.01)


@pytest.mark.parametrize(("temp", "density"), [(4, 999.975), (20, 998.207), (60, 983.196),
                                               (90, 965.31)])  # fmt: skip
def test_water_follows_the_steam_tables(temp, density):
    # IAPWS-95 as CoolProp evaluates it.
    assert water_density_g_per_l(temp) == pytest.approx(density, abs=0.02)


def test_syrup_expands_when_warm():
    # ICUMSA SPS-4 gives the temperature terms; at 0 Brix they must be those of water.
    assert density_g_per_l(0, 60) == pytest.approx(water_density_g_per_l(60), abs=0.01)
    assert density_g_per_l(60, 60) < density_g_per_l(60, 20) < density_g_per_l(60, 5)


def test_both_formulas_share_one_water():
    assert density_g_per_l(0) == pytest.approx(spirit_g_per_l(0), abs=0.01)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: density_g_per_l(101),
        lambda: density_g_per_l(-1),
        lambda: density_g_per_l(50, 95),
        lambda: brix_of_mix(-1, 5),
        lambda: brix_of_mix(0, 0),
        lambda: water_to_thin_g(100, 50, 60),
        lambda: water_density_g_per_l(120),
    ],
)
def test_impossible_syrups_are_refused(wrong):
    with pytest.raises(CannotTell):
        wrong()
