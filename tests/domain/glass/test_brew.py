"""Brewing against worked cases of the classic chart and a review of measured brews."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.glass.brew import EXTRACTION_BOX, HELD_G_PER_G, TDS_BOX, Brew, brewed
from tests.table import table

FEW = settings(deadline=None, max_examples=40)


def test_the_box_is_the_published_one():
    # Lockhart 1957 as described in several texts: TDS 1.15-1.35 %, extraction 18-22 %; its centre
    # near 1.25 and 20 (Liang et al., Sci. Rep. 2021).
    assert (TDS_BOX, EXTRACTION_BOX) == ((1.15, 1.35), (18.0, 22.0))
    centre = brewed(Brew(dose_g=15, beverage_g=240, tds_percent=1.25))
    assert centre.extraction_percent.value == pytest.approx(20.0)
    assert centre.place == "usual range for filter coffee"


# extraction = beverage x strength / dose, beverage = water - held x dose: dose, water, held, TDS,
# beverage, extraction. The first is worked in the text of the chart (64 oz water, 4 oz coffee).
@pytest.mark.parametrize(
    ("dose", "water", "held", "tds", "beverage", "extraction"),
    [
        (4, 64, 1.5, 1.3, 58, 18.85),
        (55, 1000, 2.0, 1.25, 890, 20.23),
        (15, 250, 2.0, 1.30, 220, 19.07),
        (60, 1000, 2.0, 1.35, 880, 19.80),
        (55, 1000, 1.5, 1.25, 917.5, 20.85),
    ],
)
def test_filter_brews(dose, water, held, tds, beverage, extraction):
    cup = brewed(Brew(dose_g=dose, water_g=water, held_g_per_g=held, tds_percent=tds))
    assert cup.beverage_g.value == pytest.approx(beverage, abs=0.01)
    assert cup.extraction_percent.value == pytest.approx(extraction, abs=0.01)


# Mass balance: 18 g in, 36 g out at 10 %; 20 g in, 40 g out at 9.5 %.
@pytest.mark.parametrize(
    ("dose", "beverage", "tds", "extraction"), [(18, 36, 10, 20.0), (20, 40, 9.5, 19.0)]
)
def test_espresso(dose, beverage, tds, extraction):
    cup = brewed(Brew(dose_g=dose, beverage_g=beverage, tds_percent=tds))
    assert cup.extraction_percent.value == pytest.approx(extraction)
    assert "far stronger" in cup.place


@table(
    "known",
    [
        ("dose_g", "water_g", "held_g_per_g", "tds_percent"),
        ("dose_g", "water_g", "held_g_per_g", "extraction_percent"),
        ("dose_g", "water_g", "beverage_g", "tds_percent"),
        ("dose_g", "held_g_per_g", "beverage_g", "extraction_percent"),
        ("water_g", "held_g_per_g", "beverage_g", "tds_percent"),
        ("water_g", "held_g_per_g", "tds_percent", "extraction_percent"),
        ("held_g_per_g", "beverage_g", "tds_percent", "extraction_percent"),
        ("dose_g", "water_g", "tds_percent", "extraction_percent"),
    ],
)
def test_any_four_numbers_give_the_rest(known):
    full = {
        "dose_g": 20.0, "water_g": 320.0, "held_g_per_g": 2.0, "beverage_g": 280.0,
        "tds_percent": 1.4, "extraction_percent": 19.6,
    }  # fmt: skip
    cup = brewed(Brew(**{name: full[name] for name in known}))
    assert {name: getattr(cup, name).value for name in full} == pytest.approx(full)
    assert cup.ratio.value == pytest.approx(16.0)
    assert cup.assumed == ()


def test_three_are_enough_with_the_usual_range_of_liquid_held():
    cup = brewed(Brew(dose_g=15, water_g=250, tds_percent=1.3))
    assert cup.assumed == ("liquid held by the grounds",)
    assert (cup.beverage_g.low, cup.beverage_g.high) == (212.5, 227.5)
    assert cup.extraction_percent.low < cup.extraction_percent.value < cup.extraction_percent.high


def test_what_is_missing_is_named():
    cup = brewed(Brew(dose_g=15))
    assert cup.beverage_g is None
    assert "water" in cup.missing
    assert "not known" in cup.place


@pytest.mark.parametrize(
    ("tds", "beverage", "place"),
    [
        (1.0, 300, "weak"),
        (1.5, 240, "strong and over-extracted"),
        (1.4, 200, "strong"),
        (1.0, 240, "weak and under-extracted"),
        (1.35, 244.4, "usual range for filter coffee"),
    ],
)
def test_place_is_said_in_words(tds, beverage, place):
    assert brewed(Brew(dose_g=15, beverage_g=beverage, tds_percent=tds)).place == place


def test_filter_coffee_from_fifteen_grams():
    # Common practice, no source: 15 g of coffee with 170 ml of water gives about 150 ml.
    cup = brewed(Brew(dose_g=15, water_g=170))
    assert cup.beverage_ml.high == pytest.approx(150, rel=0.05)
    assert cup.beverage_ml.value == pytest.approx(150, rel=0.10)


def test_liquid_held_matches_a_measured_drip_brew():
    # Olechno et al., Foods 10, 1208 (2021), table 2: 36 g of coffee and 600 ml of water gave
    # 532 ml, that is 1.9 g/g; the text also measured 1.153 g/l of caffeine (robusta).
    cup = brewed(Brew(dose_g=36, water_g=599, beverage_g=531, bean="robusta"))
    assert HELD_G_PER_G.least <= cup.held_g_per_g.value <= HELD_G_PER_G.most
    assert cup.caffeine_mg.low <= 1.153 * 532 <= cup.caffeine_mg.high


def test_caffeine_matches_a_measured_arabica_brew():
    # The same review, table 1: 16.5 g brewed to 120 ml with 0.78 g/l.
    cup = brewed(Brew(dose_g=16.5, beverage_g=120))
    assert cup.caffeine_mg.low <= 0.78 * 120 <= cup.caffeine_mg.high


@table(
    "wrong, field",
    [
        ({"dose_g": 15, "water_g": 200, "beverage_g": 220}, "beverage_g"),
        ({"dose_g": 100, "water_g": 150, "held_g_per_g": 2}, "dose_g"),
        ({"dose_g": -15}, "dose_g"),
        ({"dose_g": 0}, "dose_g"),
        ({"dose_g": 15, "beverage_g": 200, "tds_percent": 8}, "tds_percent"),
        ({"tds_percent": 120}, "tds_percent"),
        ({"dose_g": float("nan")}, "dose_g"),
        ({"dose_g": 15, "water_g": 250, "held_g_per_g": 2, "beverage_g": 180,
          "tds_percent": 1.3}, "beverage_g"),
    ],
)  # fmt: skip
def test_impossible_brews_are_refused(wrong, field):
    with pytest.raises(InvalidInput) as refused:
        Brew(**wrong)
    assert [fault.field for fault in refused.value.faults] == [field]


def test_an_espresso_is_told_by_what_comes_out_of_its_dose():
    # Common practice, no source: 18 g in and 36 g out is 1 : 2. The puck's water is not asked.
    cup = brewed(Brew(dose_g=18, beverage_g=36, tds_percent=10, kind="espresso"))
    assert cup.ratio.value == pytest.approx(2.0)
    assert (cup.water_g, cup.held_g_per_g, cup.missing, cup.assumed) == (None, None, (), ())
    assert cup.place == "usual range for espresso"


def test_a_drip_as_strong_as_espresso_is_asked_about():
    assert brewed(Brew(dose_g=18, beverage_g=36, tds_percent=10)).place.endswith("espresso?")


def test_an_immersion_counts_all_its_water():
    # 30 g in 500 g of water at 1.40 % by the balance of all water, with the coffee in it counted:
    # 23.7 %; by that of a drip, which leaves out what the grounds keep, 20.5 (19.8 to 21.2).
    steeped = brewed(Brew(dose_g=30, water_g=500, tds_percent=1.4, kind="immersion"))
    dripped = brewed(Brew(dose_g=30, water_g=500, tds_percent=1.4))
    assert steeped.extraction_percent.value == pytest.approx(23.7, abs=0.05)
    assert not steeped.extraction_percent.is_range
    assert dripped.extraction_percent.value == pytest.approx(20.5, abs=0.05)


@pytest.mark.parametrize(
    "known",
    [
        ("dose_g", "water_g", "beverage_g", "tds_percent"),
        ("dose_g", "water_g", "held_g_per_g", "extraction_percent"),
        ("water_g", "beverage_g", "tds_percent", "extraction_percent"),
        ("dose_g", "held_g_per_g", "tds_percent", "extraction_percent"),
    ],
)
def test_any_four_numbers_of_an_immersion_give_the_rest(known):
    full = {
        "dose_g": 30.0, "water_g": 500.0, "held_g_per_g": 2.0, "beverage_g": 440.0,
        "tds_percent": 1.4, "extraction_percent": 100 * 500 * (1.4 / 98.6) / 30,
    }  # fmt: skip
    cup = brewed(Brew(**{name: full[name] for name in known}, kind="immersion"))
    assert {name: getattr(cup, name).value for name in full} == pytest.approx(full)


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"kind": "siphon"}, "kind"),
        ({"water_c": 110.0}, "water_c"),
        ({"time_s": 0.0}, "time_s"),
        ({"dose_g": 30, "water_g": 500, "held_g_per_g": 2, "beverage_g": 440, "tds_percent": 1.4,
          "extraction_percent": 20.5, "kind": "immersion"}, "extraction_percent"),
        ({"dose_g": 18, "beverage_g": 36, "tds_percent": 10, "extraction_percent": 25,
          "kind": "espresso"}, "beverage_g"),
    ],
)  # fmt: skip
def test_impossible_brews_of_a_kind_are_refused(wrong, field):
    with pytest.raises(InvalidInput) as refused:
        Brew(**wrong)
    assert [fault.field for fault in refused.value.faults] == [field]


@FEW
@given(st.floats(5, 60), st.floats(8, 20), st.floats(0.8, 1.6))
def test_an_immersion_always_draws_more_than_its_drip_says(dose, ratio, tds):
    steeped, dripped = (
        brewed(Brew(dose_g=dose, water_g=dose * ratio, tds_percent=tds, kind=kind))
        for kind in ("immersion", "drip")
    )
    assert steeped.extraction_percent.value > dripped.extraction_percent.high
    assert steeped.beverage_g == dripped.beverage_g


@FEW
@given(st.floats(5, 30), st.floats(1, 2), st.floats(6, 10), st.floats(0.1, 1.5))
def test_more_out_of_the_same_dose_is_a_longer_and_a_fuller_espresso(dose, ratio, tds, more):
    short, long = (
        brewed(Brew(dose_g=dose, beverage_g=dose * each, tds_percent=tds, kind="espresso"))
        for each in (ratio, ratio + more)
    )
    assert short.ratio.value <= long.ratio.value + 1e-9
    assert short.extraction_percent.value <= long.extraction_percent.value + 1e-9


def test_grounds_that_stood_in_the_water_keep_their_share_of_the_caffeine():
    # By mass balance: 100 g in 500 g of water that keep 200 g of it give 300 of 500 parts of the
    # 1,020 mg drawn out (12 mg/g, 85 %): 612 mg, 204 mg in 100 g.
    steeped = Brew(dose_g=100, water_g=500, held_g_per_g=2.0, tds_percent=4.0, kind="immersion")
    assert brewed(steeped).caffeine_mg.value == pytest.approx(612)
    dripped = replace(steeped, kind="drip", tds_percent=None)
    assert brewed(dripped).caffeine_mg.value == pytest.approx(1020)


def test_what_grounds_keep_widens_the_caffeine_where_nobody_weighed_it():
    # The usual range of 1.5 to 2.5 g/g leaves 350 to 250 of the 500 g.
    cup = brewed(Brew(dose_g=100, water_g=500, tds_percent=4.0, kind="immersion"))
    assert cup.caffeine_mg.low == pytest.approx(100 * 8.0 * 0.6 * 250 / 500)
    assert cup.caffeine_mg.high == pytest.approx(100 * 14.0 * 1.0 * 350 / 500)
