"""Every computed figure beside its published counterpart: ours, theirs, the difference, the source.

A row is a figure of the app, asked of the function that the pages ask. "Memory" in a source says
that its value was remembered, not read; "practice" that no publication was found. Whoever adds a
figure to the app adds a row.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from server.domain.base.amounts import Amount
from server.domain.base.rates import wilson
from server.domain.drift.control import ewma_reach, individuals
from server.domain.drift.trend import trend
from server.domain.glass import sugar
from server.domain.glass.acid import (
    ACIDS,
    AcidPour,
    juice_to_curdle_ml,
    ph_of_milk_with,
    protons_released,
)
from server.domain.glass.alcohol import (
    Pour,
    density_g_per_l,
    ethanol_g,
    mass_fraction_of,
    mixed,
    steam_of,
    water_to_dilute_ml,
)
from server.domain.glass.balance import balance
from server.domain.glass.brew import Brew, Brewed, brewed
from server.domain.glass.cold.blending import blended
from server.domain.glass.cooling import (
    Thermometer,
    cooled_temp_c,
    fitted_cooling_per_min,
    minutes_to_reach,
)
from server.domain.glass.figures import Content, Figure
from server.domain.glass.heat import (
    ethanol_water_j_per_gk,
    freezing_point_c,
    ice_to_chill_g,
    sugar_freezing_k,
    syrup_j_per_gk,
)
from server.domain.glass.library import ingredient
from server.domain.glass.liquid import ice, plain_water, slush_of, temp_c, total
from server.domain.glass.recipe import Recipe, RecipeLine
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup, syrup_brix, syrup_yield_ml
from server.domain.risk.filtration import FiltrationReading, fit
from server.domain.routine.brim import filled_ml
from server.domain.routine.drink import Drink, Service
from server.domain.routine.over_ice import stood_over_ice
from server.domain.routine.served import standing_of
from server.domain.routine.standing import Stand
from tests.domain.shorthand import exactly, excess_j_per_mol, liquid_of

HEAD = ("figure", "ours", "unit", "published", "difference", "within", "holds", "source")

OVER_ICE = Service(over_ice=True)


@dataclass(frozen=True)
class Row:
    """A figure, what was published of it, and how far the two may be apart (ours to judge)."""

    what: str
    ours: float
    published: float
    within: float
    unit: str
    source: str

    @property
    def holds(self) -> bool:
        """Whether ours is as near to the published as it is meant to be."""
        return abs(self.ours - self.published) <= self.within

    def cells(self) -> tuple[str, ...]:
        """The row as texts, in the order of HEAD."""
        apart = self.ours - self.published
        shown = (_told(self.ours), self.unit, _told(self.published), f"{apart:+.2g}")
        held = "yes" if self.holds else "NO"
        return (self.what, *shown, f"{self.within:g}", held, self.source)


def measure(quick: bool) -> list[Row]:
    """All rows; there is nothing to make quicker."""
    del quick
    return [*_alcohol(), *_sugar(), *_heat(), *_mixing(), *_acid(), *_brews(), *_energy(), *_runs()]


def _alcohol() -> Iterator[Row]:
    oiml = "OIML R 22 (1973), table"
    half = mixed([Pour(50, 100), Pour(50, 0)])
    thinned = mixed([Pour(60, 40), Pour(30, 0)])
    yield Row("density of 40 % vol, 20 °C", density_g_per_l(mass_fraction_of(40)), 948.05, 0.02,
              "g/l", oiml)  # fmt: skip
    yield Row("density of 40 % vol, 5 °C", density_g_per_l(mass_fraction_of(40), 5), 957.62, 0.02,
              "g/l", oiml)  # fmt: skip
    yield Row("mass of ethanol in 40 % vol", 100 * mass_fraction_of(40), 33.30, 0.005, "%", oiml)
    yield Row("50 ml ethanol and 50 ml water", half.volume_ml, 96.46, 0.05, "ml", oiml)
    yield Row("the same measured in a classroom, 25 °C", half.volume_ml, 96.26, 0.3, "ml",
              "school chemistry page")  # fmt: skip
    yield Row("60 ml of 40 % and 30 ml water", thinned.abv_percent, 26.705, 0.01, "% vol", oiml)
    yield Row("water from 96 to 40 %, 1 l", water_to_dilute_ml(1000, 96, 40), 1470.5, 0.5, "ml",
              oiml)  # fmt: skip
    yield Row("ethanol in the first 100 g of steam off 1 kg with 100 g", steam_of(100, 900, 100)[0],
              46.04, 0.05, "g", "Perry, 4th ed., p. 13-5, integrated with SciPy")  # fmt: skip
    yield Row("ethanol in 45 ml of 40 %", ethanol_g(45, 40), 14.202, 0.01, "g",
              "0.789 g/ml x volume; NIAAA 14 g a drink")  # fmt: skip


def _sugar() -> Iterator[Row]:
    icumsa = "ICUMSA SPS-4 (Bubnik 1995)"
    one_to_one = Syrup(100, 100)
    yield Row("density at 50 Brix", sugar.density_g_per_l(50), 1229.65, 0.1, "g/l", icumsa)
    yield Row("density at 10 Brix, 20 °C", sugar.density_g_per_l(10), 1038.12, 0.1, "g/l", icumsa)
    yield Row("syrup 1 : 1", syrup_brix(one_to_one), 50.0, 0.01, "Brix", "mass balance")
    yield Row("yield of 100 g and 100 g", syrup_yield_ml(one_to_one), 162.6, 0.3, "ml", icumsa)
    yield Row("water from 66.67 to 50 Brix, 100 g", sugar.water_to_thin_g(100, 66.67, 50), 33.34,
              0.01, "g", "mass balance")  # fmt: skip
    yield Row("refractometer on rum of 40 %", sugar.refractometer_brix(40, 948.05), 14, 1.5,
              "°Bx", "thehomebrewforum.co.uk 79770, a reading")  # fmt: skip
    yield Row("refractometer on dry wine of 12 %", sugar.refractometer_brix(12, 991), 7.5, 1.5,
              "°Bx", "the same")  # fmt: skip


def _heat() -> Iterator[Row]:
    melinder = "Melinder in CoolProp (MEA)"
    both = total([plain_water(100, temp_c=90), plain_water(50, temp_c=20)])
    stood = stood_over_ice(
        plain_water(100, temp_c=0), exactly(0.0), Stand(600, 600, 600), Figure(20.0), Figure(0.04)
    )
    mug = fitted_cooling_per_min(Thermometer(0, 96.11), Thermometer(5, 72.17), 22.78)
    yield Row("capacity of 40 % vol, 20 °C", ethanol_water_j_per_gk(0.334, 20), 4.157, 0.08,
              "J/g K", melinder)  # fmt: skip
    yield Row("capacity of 50 Brix", syrup_j_per_gk(50, 20), 2.777, 0.08, "J/g K",
              "Bubnik, memory")  # fmt: skip
    yield Row("freezing point of 40 % vol", freezing_point_c(0.334), -23.4, 0.3, "°C", melinder)
    for percent, lowered, source in (
        (12, 0.77, "Clarke, Science of Ice Cream, fig. 2.8"),
        (30, 2.64, "CRC Handbook, memory"),
        (40, 4.45, "CRC Handbook, memory"),
    ):
        yield Row(f"{percent} % sucrose freezes lower by", sugar_freezing_k(percent, 100 - percent),
                  lowered, 0.08, "K", source)  # fmt: skip
    yield Row("100 g at 90 °C and 50 g at 20 °C", temp_c(both) or 0.0, 66.67, 0.05, "°C",
              "energy balance")  # fmt: skip
    yield Row("ice to take 100 g from 20 to 0 °C", ice_to_chill_g(418, 20, 0, 0), 25.06, 0.05, "g",
              "L = 333.55 J/g")  # fmt: skip
    yield Row("the same with ice at -10 °C", ice_to_chill_g(418, 20, 0, -10), 23.61, 0.05, "g",
              "IAPWS-06 ice")  # fmt: skip
    slush = slush_of(blended(plain_water(100.0, temp_c=20.0), ice(100.0, 0.0), 0.0))
    yield Row("ice left of 100 g blended with 100 g at 20 °C", slush.ice_g, 100 - 25.06, 0.05, "g",
              "L = 333.55 J/g")  # fmt: skip
    yield Row("100 g over ice, ten minutes", stood.melted_g.value, 10.0, 0.05, "g",
              "Newton's law and L, by hand")  # fmt: skip
    yield Row("constant of a cold mug", mug, 0.0791, 0.0005, "1/min", "Hawkes, project 5.7")
    yield Row("that mug after nine minutes", cooled_temp_c(96.11, 22.78, 0.079, 9), 58.78, 0.1,
              "°C", "Hawkes, table")  # fmt: skip
    yield Row("minutes until that mug is at 58.78 °C", minutes_to_reach(96.11, 22.78, 0.079, 58.78),
              9.0, 0.05, "min", "Hawkes, table")  # fmt: skip


def _mixing() -> Iterator[Row]:
    yield from _glasses()
    larkin = "Larkin 1975, computed outside"
    for ml, abv, water_ml, rise in (
        (50, 40, 50, 3.8), (60, 40, 30, 3.1), (60, 57, 30, 4.5), (50, 50, 50, 4.9),
        (50, 63, 100, 6.3), (50, 95, 50, 7.3),
    ):  # fmt: skip
        yield Row(f"{ml} ml of {abv} % and {water_ml} ml of water", _rise(ml, abv, water_ml),
                  rise, 0.06, "K", larkin)  # fmt: skip
    for share, at_c, excess in (
        (0.1, 25, -767.8), (0.2, 25, -782.7), (0.3, 50, -299.4), (0.5, 25, -463.0), (0.5, 70, 131.8)
    ):  # fmt: skip
        yield Row(f"excess enthalpy at {share:.0%} of molecules, {at_c} °C",
                  excess_j_per_mol(share, at_c), excess, 0.1, "J/mol", larkin)  # fmt: skip
    yield Row("50 ml of 95 % and 50 ml of water, measured", _rise(50, 95, 50, 22), 6.5, 0.9, "K",
              "physicsforums.com 774099")  # fmt: skip
    yield Row("excess enthalpy at 20 % of molecules", excess_j_per_mol(0.2, 25), -717, 70, "J/mol",
              "the same, from a chart")  # fmt: skip
    yield Row("excess enthalpy at 2 %", excess_j_per_mol(0.02, 25), -196, 10, "J/mol",
              "Novak et al., chapter 6")  # fmt: skip


def _glasses() -> Iterator[Row]:
    water = RecipeLine("w", "water", Amount(100, "ml"), Substance(kind="water"))
    ice_50 = RecipeLine("i", "ice", Amount(50, "g"), Substance(kind="ice"))
    drink, worked_out = Drink("d", "Tide", service=OVER_ICE), balance(Recipe((water, ice_50)))
    filled = filled_ml(drink, worked_out, standing_of(drink, worked_out, ()))
    yield Row("100 ml of water over 50 g of ice", filled.value if filled else 0.0, 150.09, 0.01,
              "ml", "Archimedes; water has 998.2 g/l")  # fmt: skip


def _acid() -> Iterator[Row]:
    for ph, released in ((2.3, 0.1305), (4.6, 1.3923), (6.6, 2.6058)):
        yield Row(f"protons of citric acid at pH {ph:g}", protons_released(ph), released, 0.002,
                  "", "Benezeth et al. 1997, pKa")  # fmt: skip
    yield Row("lime juice that curdles 100 ml of milk",
              juice_to_curdle_ml(100, 0.2387, 2.3, 0.055), 18.0, 0.1, "ml",
              "charge balance; demand of milk from memory")  # fmt: skip
    yield Row("protons of phosphoric acid at pH 1.93", protons_released(1.93, ACIDS["phosphoric"]),
              10**-1.93 / 0.030, 0.02, "", "0.030 mol/l, justaaa.com")  # fmt: skip
    lime = [AcidPour(15, 0.2387, 2.3)]
    yield Row("pH of 100 ml milk and 15 ml lime", ph_of_milk_with(100, lime), 4.78, 0.02, "",
              "linear buffer, from memory")  # fmt: skip


def _brews() -> Iterator[Row]:
    chart = _brew(dose_g=4, water_g=64, held_g_per_g=1.5, tds_percent=1.3)
    drip = _brew(dose_g=55, water_g=1000, held_g_per_g=2, tds_percent=1.25)
    steeped = _brew(dose_g=30, water_g=500, tds_percent=1.4, kind="immersion")
    shot = _brew(dose_g=18, beverage_g=36, tds_percent=10, kind="espresso")
    yield Row("drip, 64 to 4, 1.3 %", _value(chart, "extraction_percent"), 18.85, 0.01, "%",
              "worked in the text of the 1957 chart")  # fmt: skip
    yield Row("drip, 55 g and 1,000 g", _value(drip, "extraction_percent"), 20.23, 0.01, "%",
              "mass balance")  # fmt: skip
    yield Row("immersion, 30 g and 500 g at 1.40 %", _value(steeped, "extraction_percent"), 23.7,
              0.05, "%", "practice: all water counts")  # fmt: skip
    steep = _brew(dose_g=100, water_g=500, held_g_per_g=2, tds_percent=4, kind="immersion")
    yield Row("caffeine of 100 g steeped in 500 g, 300 g poured off", _value(steep, "caffeine_mg"),
              612, 0.5, "mg", "mass balance: 12 mg/g, 85 %, 300 of 500 parts")  # fmt: skip
    yield Row("espresso, 18 g in, 36 g out", _value(shot, "ratio"), 2.0, 1e-9, ": 1",
              "practice: beverage to dose")  # fmt: skip
    yield Row("its extraction at 10 %", _value(shot, "extraction_percent"), 20.0, 1e-9, "%",
              "mass balance")  # fmt: skip


def _energy() -> Iterator[Row]:
    usda = "USDA SR28, 100 g"
    yield Row("lager of 5 %, 100 ml", _kcal("lager-5", 5), 43, 2, "kcal", usda)
    yield Row("white wine of 13 %, 100 ml", _kcal("white-wine-12", 13), 82, 2, "kcal",
              f"{usda}, read as quoted")  # fmt: skip
    yield Row("spirit of 40 %, 100 ml", _kcal("vodka-40", 40), 219, 3, "kcal",
              "USDA SR28: 231 in 100 g, 6.93 kcal/g of ethanol")  # fmt: skip
    yield Row("whole milk of 3.6 % fat, 100 ml", _kcal("whole-milk", 0), 64, 4, "kcal",
              "usual label of 3.5 % fat, memory")  # fmt: skip


def _runs() -> Iterator[Row]:
    handbook, little = "NIST e-Handbook 6.3.2", "Little, class notes"
    flow = np.array([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])
    rising = np.array([12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11, 17.3, 15.9, 19, 18.3, 20.1,
                       21.7])  # fmt: skip
    chart = individuals(flow)
    settled_s = 50 + 2.0539 * ewma_reach(1000)[-1]
    found = trend(rising, np.arange(1.0, 15.0))
    low, high = wilson(81, 263)
    assert chart
    assert found
    yield Row("individuals chart, upper limit", chart.upper_s, 55.8041, 5e-4, "s", handbook)
    yield Row("EWMA chart, settled upper limit", settled_s, 52.5884, 2e-4, "s", handbook)
    z = (found.score - 1) / found.variance**0.5
    yield Row("Mann-Kendall, z", z, 2.9058, 5e-4, "", little)
    yield Row("Theil-Sen slope", found.slope_s, 0.566667, 1e-6, "s/run", "SciPy; " + little)
    yield Row("Wilson, 81 of 263, low", low, 0.2553, 1e-4, "", "Newcombe 1998")
    yield Row("Wilson, 81 of 263, high", high, 0.3662, 1e-4, "", "Newcombe 1998")
    law = fit([FiltrationReading(60, 100), FiltrationReading(180, 200)])
    yield Row("filtration, 500 ml by two readings", law.time_s(500), 900, 0.01, "s",
              "Ruth's law, by hand")  # fmt: skip


def _rise(ml: float, abv: float, water_ml: float, at_c: float = 20.0) -> float:
    """How far spirit and water of one temperature warm each other, K."""
    spirit = Substance(kind="spirit", abv=Figure(abv), sugar=Content(0), temp_c=Figure(at_c))
    water = Substance(kind="water", temp_c=Figure(at_c))
    poured = [liquid_of(spirit, Amount(ml, "ml")), liquid_of(water, Amount(water_ml, "ml"))]
    return (temp_c(total(poured)) or 0.0) - at_c


def _brew(**numbers: object) -> Brewed:
    return brewed(Brew(**numbers))  # type: ignore[arg-type]


def _value(cup: Brewed, name: str) -> float:
    return float(getattr(cup, name).value)


def _kcal(key: str, abv: float) -> float:
    """What 100 ml of an entry of the library hold at that strength."""
    kept = replace(ingredient(key).substance, abv=Figure(abv))
    found = balance(Recipe((RecipeLine("a", key, Amount(100, "ml"), kept),))).batch.energy_kcal
    return found.value if found else 0.0


def _told(value: float) -> str:
    return f"{value:,.2f}" if abs(value) >= 10 else f"{value:.4g}"
