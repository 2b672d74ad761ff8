"""Acid and milk against dissociation constants, a root finder and the stoichiometric model."""

import pytest
from chemicals import MW, CAS_from_any
from scipy.optimize import brentq

from server.domain.base.errors import CannotTell
from server.domain.glass.acid import (
    ACIDS,
    AS_CITRIC,
    CASEIN_PH,
    CITRIC_G_PER_MOL,
    CITRIC_PKA,
    MILK_DEMAND_MOL_PER_L,
    MILK_PH,
    AcidPour,
    acid_named,
    citric_mol_per_l,
    citric_to_curdle_g,
    curdling,
    juice_to_curdle_ml,
    ph_of_milk_with,
    pour_of,
    protons_released,
)
from server.domain.glass.balance import balance
from tests.domain.glass.recipes import line, recipe

LIME = 0.2387


def test_constants_are_the_published_ones():
    # Benezeth et al. 1997 at 25 °C; casein's isoelectric point (Dairy 4, 395, 2023); milk 6.5 to
    # 6.7 (Fox and McSweeney, p. 450).
    assert pytest.approx((3.127, 4.759, 6.397), abs=0.003) == CITRIC_PKA
    assert pytest.approx(4.6, abs=0.1) == CASEIN_PH
    assert 6.5 <= MILK_PH <= 6.7


def test_molar_mass_of_citric_acid():
    # Apelblat, Citric Acid (2014): 192.12; chemicals computes it from the formula.
    assert pytest.approx(MW(CAS_from_any("citric acid")), abs=0.02) == CITRIC_G_PER_MOL
    assert pytest.approx(192.12 / 210.14, abs=1e-4) == AS_CITRIC["citric monohydrate"]


@pytest.mark.parametrize(
    ("name", "protons"),
    [("malic", 2), ("tartaric", 2), ("lactic", 1), ("acetic", 1), ("phosphoric", 2)],
)
def test_other_acids_count_by_their_protons(name, protons):
    mass = MW(CAS_from_any(f"{name} acid"))
    citric = MW(CAS_from_any("citric acid")) / 3
    assert AS_CITRIC[name] == pytest.approx(protons / mass * citric, rel=0.001)


def test_molarity_of_fresh_juice():
    # Penniston et al. 2008: 45.86 g/l in lime, 48.0 g/l in lemon juice.
    assert citric_mol_per_l(45.86) == pytest.approx(0.2387, abs=0.0005)
    assert citric_mol_per_l(48.0) == pytest.approx(0.2498, abs=0.0005)


# From the constants of Benezeth et al., evaluated with scipy.
@pytest.mark.parametrize(
    ("ph", "released"), [(2.3, 0.1305), (4.6, 1.3923), (5.2, 1.7867), (6.6, 2.6058)]
)
def test_protons_released_by_citric_acid(ph, released):
    assert protons_released(ph) == pytest.approx(released, abs=0.002)


# Worked in public answers to exercises, both with nothing but Ka1 = 7.5e-3 (pKa 2.12): 0.41 mol
# of phosphoric acid in a litre has pH 1.28 (studyzin.com), 0.030 mol pH 1.93 (justaaa.com); acetic
# acid of 0.1 mol/l has 2.88 in any textbook.
@pytest.mark.parametrize(
    ("name", "mol_per_l", "ph"),
    [("phosphoric", 0.41, 1.28), ("phosphoric", 0.030, 1.93), ("acetic", 0.1, 2.88)],
)
def test_ph_of_a_pure_acid_by_what_it_gives_off(name, mol_per_l, ph):
    acid = ACIDS[name]
    found = brentq(lambda at: mol_per_l * protons_released(at, acid) - 10**-at, 0, 7)
    assert found == pytest.approx(ph, abs=0.02)


def test_phosphoric_acid_gives_off_its_protons_one_by_one():
    # CRC Handbook of Chemistry and Physics: pKa 2.15, 7.20 and 12.35 at 25 °C.
    acid = ACIDS["phosphoric"]
    halves = [protons_released(pka, acid) for pka in acid.pka]
    assert halves == pytest.approx([0.5, 1.5, 2.5], abs=0.001)
    assert protons_released(4.6, acid) == pytest.approx(1.0, abs=0.005)


def test_an_acid_curdles_by_its_own_protons_and_not_by_those_of_citric_acid():
    # 5.5 mmol take 100 ml of milk to 4.6; there phosphoric acid has given off 0.999 of a proton,
    # lactic acid 0.846: 5.51 mmol, 0.540 g, and 6.50 mmol, 0.586 g, by hand.
    for name, grams in (("phosphoric", 0.540), ("lactic", 0.586)):
        powder = pour_of(1e-6, grams * AS_CITRIC[name], -2.0, ACIDS[name])
        assert ph_of_milk_with(100, [powder]) == pytest.approx(CASEIN_PH, abs=0.01)


@pytest.mark.parametrize(
    ("name", "acid"),
    [("Acid phosphate, as sold for bars", "phosphoric"), ("Lactic acid solution, 80 %", "lactic"),
     ("White vinegar, 6 %", "acetic"), ("Äpfelsäure", "malic"), ("Ácido tartárico", "tartaric"),
     ("Acido lattico", "lactic"), ("Lemon juice, fresh", "citric"), ("Galactic cordial", "citric")],
)  # fmt: skip
def test_the_name_tells_which_acid_it_is(name, acid):
    assert acid_named(name) == ACIDS[acid]


def test_in_a_drink_an_acid_counts_as_what_its_name_tells():
    milk = line("whole-milk", "100 ml")
    named = balance(recipe(milk, line("lactic-acid-80", "0.7 g"))).curdling
    unnamed = balance(recipe(milk, line("lactic-acid-80", "0.7 g", name="Sour drops"))).curdling
    # At pH 4.6 lactic acid has given off 0.85 of its protons, citric acid 0.46 of its own.
    assert named.ph < unnamed.ph - 0.2


# The stoichiometric model with milk taking 0.045, 0.055, 0.065 mol of H+ per litre (from memory
# of dairy chemistry texts): ml of lime juice, g of citric acid per 100 ml of cold milk.
@pytest.mark.parametrize(
    ("demand", "juice", "powder"), [(0.045, 14.7, 0.62), (0.055, 18.0, 0.76), (0.065, 21.2, 0.90)]
)
def test_acid_that_takes_milk_to_the_casein_point(demand, juice, powder):
    assert juice_to_curdle_ml(100, LIME, 2.3, demand) == pytest.approx(juice, abs=0.1)
    assert citric_to_curdle_g(100, demand) == pytest.approx(powder, abs=0.01)


# The same model as an even buffer of 0.0275 mol/l per pH.
@pytest.mark.parametrize(
    ("juice", "ph"), [(5, 5.74), (10, 5.16), (15, 4.78), (20, 4.49), (30, 4.08), (50, 3.59),
                      (18, 4.60)]
)  # fmt: skip
def test_ph_of_milk_with_lime_juice(juice, ph):
    assert ph_of_milk_with(100, [AcidPour(juice, LIME, 2.3)]) == pytest.approx(ph, abs=0.02)


def test_citric_powder_and_juice_agree_at_the_casein_point():
    powder = AcidPour(1e-6, citric_mol_per_l(1e9 * citric_to_curdle_g(100)), 0.5)
    assert ph_of_milk_with(100, [powder]) == pytest.approx(CASEIN_PH, abs=0.01)


def test_the_volume_that_reaches_the_point_is_the_one_that_the_ph_says():
    ml = juice_to_curdle_ml(100, LIME, 2.3)
    assert ph_of_milk_with(100, [AcidPour(ml, LIME, 2.3)]) == pytest.approx(CASEIN_PH, abs=1e-6)


def test_thirty_of_lime_curdle_a_hundred_of_milk():
    # Common practice, no source: 30 ml of lime juice curdles 100 ml of hot milk.
    found = curdling(100, [AcidPour(30, LIME, 2.3)], eased=True)
    assert found.verdict == "will curdle"
    assert CASEIN_PH - found.ph == pytest.approx(0.52, abs=0.02)


@pytest.mark.parametrize(
    ("juice", "eased", "verdict"),
    [(3, False, "unlikely from acid alone"), (5, True, "may curdle"), (12, False, "may curdle"),
     (20, False, "may curdle"), (40, False, "will curdle")],
)  # fmt: skip
def test_verdict_goes_by_the_whole_range_of_the_buffer(juice, eased, verdict):
    found = curdling(100, [AcidPour(juice, LIME, 2.3)], eased=eased)
    assert found.verdict == verdict
    assert found.ph_low < found.ph < found.ph_high


def test_no_verdict_promises_smooth_milk():
    found = curdling(100, [AcidPour(0.0, LIME, 2.3)])
    assert found.verdict == "unlikely from acid alone"
    assert found.ph == pytest.approx(MILK_PH)
    assert "from memory" in MILK_DEMAND_MOL_PER_L.source


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: ph_of_milk_with(0, [AcidPour(10, LIME, 2.3)]),
        lambda: juice_to_curdle_ml(100, 0.2387, 4.7),
    ],
)
def test_impossible_acid_is_refused(wrong):
    with pytest.raises(CannotTell):
        wrong()
