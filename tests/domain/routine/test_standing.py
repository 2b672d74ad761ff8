"""Cooling while a drink stands: worked examples, fits, and what a vessel takes."""

import math

import pytest
from scipy.integrate import solve_ivp

from server.domain.base.errors import CannotTell, InvalidInput
from server.domain.glass.balance import balance
from server.domain.glass.cooling import (
    USUAL_COOLING_PER_MIN,
    Thermometer,
    cooled_temp_c,
    fitted_cooling,
    fitted_cooling_per_min,
    minutes_to_reach,
)
from server.domain.glass.figures import Estimate, Figure
from server.domain.glass.liquid import plain_water
from server.domain.glass.vessel import Vessel, poured_temp_c
from server.domain.routine.routine import Segment, Spread
from server.domain.routine.standing import Stand, stand_between, stood_temp_c, temp_curve
from tests.domain.glass.recipes import line, recipe
from tests.domain.shorthand import exactly

# The law is linear, so that worked examples in °F can be used as they are printed.


def test_constant_from_two_readings():
    # Hawkes, Precalculus, section 5.7 project: a mug at 205 °F in a room of 73 °F reads 161.9 °F
    # after 5 minutes; printed k = 0.079 per minute.
    k = fitted_cooling_per_min(Thermometer(0, 205), Thermometer(5, 161.9), 73)
    assert k == pytest.approx(0.0791, abs=0.0005)


def test_cooling_table_of_a_mug():
    # The same project's table, 0 to 9 minutes, k = 0.079.
    table = [205.0, 195.0, 185.7, 177.1, 169.2, 161.9, 155.2, 148.9, 143.2, 137.8]
    found = [cooled_temp_c(205, 73, 0.079, minute) for minute in range(10)]
    assert found == pytest.approx(table, abs=0.1)


def test_time_to_cool_in_a_refrigerator():
    # OpenStax Precalculus 4.7, exponential models: 165 °F into 35 °F, 150 °F after 10 minutes.
    k = fitted_cooling_per_min(Thermometer(0, 165), Thermometer(10, 150), 35)
    assert k == pytest.approx(0.01226, abs=0.00002)
    assert minutes_to_reach(165, 35, k, 70) == pytest.approx(107.0, abs=0.5)


def test_time_until_coffee_is_served():
    # OpenStax Calculus vol. 1, section 6.8 (from memory): 200 °F in 70 °F, 180 °F after 2 minutes.
    k = fitted_cooling_per_min(Thermometer(0, 200), Thermometer(2, 180), 70)
    reached = [minutes_to_reach(200, 70, k, target) for target in (175, 155)]
    assert reached == pytest.approx([2.56, 5.09], abs=0.02)


def test_constant_from_a_rate():
    # Stock exercise: 95 °C in a room of 20 °C, cooling 1 °C/min when at 74 °C.
    k = 1 / (74 - 20)
    assert k == pytest.approx(0.018519, abs=1e-6)
    assert minutes_to_reach(95, 20, k, 74) == pytest.approx(17.74, abs=0.01)


def test_law_agrees_with_a_solver():
    # scipy solves dT/dt = -k (T - room).
    solved = solve_ivp(lambda _t, y: -0.05 * (y - 22), (0, 8), [70.0], rtol=1e-10, atol=1e-10)
    assert cooled_temp_c(70, 22, 0.05, 8) == pytest.approx(solved.y[0, -1], abs=1e-5)


def test_usual_constants_are_a_wide_range():
    # A teaching page has time constants of 30 to 50 minutes for ceramic, 15 for paper; Hawkes has
    # 0.079 for a cold mug: 0.02 to 0.08 per minute.
    assert USUAL_COOLING_PER_MIN.least <= 1 / 50
    assert USUAL_COOLING_PER_MIN.most >= 0.079
    assert USUAL_COOLING_PER_MIN.least < 1 / 15 < USUAL_COOLING_PER_MIN.most


def test_a_fit_carries_the_error_of_the_thermometer():
    near, far = (
        fitted_cooling(
            Thermometer(0, 65), Thermometer(minutes, 22 + 43 * math.exp(-0.04 * minutes)), 22
        )
        for minutes in (3, 15)
    )
    assert near.value == pytest.approx(0.04)
    assert near.least < far.least < 0.04 < far.most < near.most


@pytest.mark.parametrize(
    ("first", "second", "room"),
    [
        (Thermometer(0, 60), Thermometer(0, 50), 20),
        (Thermometer(0, 60), Thermometer(5, 61), 20),
        (Thermometer(0, 60), Thermometer(5, 18), 20),
        (Thermometer(0, 20), Thermometer(5, 20), 20),
    ],
)
def test_readings_that_show_no_cooling_are_refused(first, second, room):
    with pytest.raises(InvalidInput):
        fitted_cooling_per_min(first, second, room)


def test_a_fit_that_the_error_drowns_is_refused():
    with pytest.raises(InvalidInput):
        fitted_cooling(Thermometer(0, 60), Thermometer(1, 59.5), 20)


def test_a_temperature_not_on_the_way_is_refused():
    with pytest.raises(InvalidInput):
        minutes_to_reach(60, 20, 0.04, 70)
    with pytest.raises(InvalidInput):
        minutes_to_reach(60, 20, 0.04, 20)


def test_standing_spans_all_that_is_not_sure():
    start, stand = Estimate(65, 63, 67), Stand(60, 120, 240)
    found = stood_temp_c(start, stand, Figure(22, 20, 25))
    assert found.high == pytest.approx(cooled_temp_c(67, 25, 0.02, 1))
    assert found.low == pytest.approx(cooled_temp_c(63, 20, 0.08, 4))
    assert found.value == pytest.approx(cooled_temp_c(65, 22, 0.04, 2))


def test_a_cold_drink_warms_as_it_stands():
    found = stood_temp_c(exactly(4.0), Stand(0, 300, 600), Figure(22))
    assert found.low == pytest.approx(4.0)
    assert found.low < found.value < found.high < 22


def test_a_measured_vessel_makes_the_range_narrow():
    stand = Stand(110, 120, 130)
    guessed = stood_temp_c(exactly(65), stand, Figure(22))
    measured = stood_temp_c(exactly(65), stand, Figure(22), Figure(0.04, 0.038, 0.042))
    assert measured.high - measured.low < 0.3 * (guessed.high - guessed.low)


def test_curve_starts_at_the_pour_and_falls():
    def temp_after(stand):
        return stood_temp_c(exactly(65), stand, Figure(22))

    curve = temp_curve(temp_after, until_s=600, points=5)
    assert curve[0] == (0.0, Estimate(65, 65, 65))
    assert [at for at, _ in curve] == [0, 150, 300, 450, 600]
    assert [e.value for _, e in curve] == sorted((e.value for _, e in curve), reverse=True)


def segments(*durations):
    return [
        Segment(id=str(i), name=f"Part {i}", duration=Spread(*duration))
        for i, duration in enumerate(durations)
    ]


def test_standing_time_follows_the_plan():
    plan = segments((60,), (30, 20, 40), (90, 60, 120), (30, 25, 45), (20,))
    assert stand_between(plan, "1", "3") == Stand(60, 90, 40 + 120 + 45)
    assert stand_between(plan, "3", "4") == Stand(0, 0, 65)


@pytest.mark.parametrize(("poured", "drunk"), [("2", "1"), ("0", "gone"), ("gone", "1")])
def test_a_drink_is_drunk_after_it_is_poured(poured, drunk):
    with pytest.raises(CannotTell):
        stand_between(segments((60,), (30,), (90,)), poured, drunk)


def test_a_cold_cup_takes_heat_and_a_preheated_one_less():
    # Energy balance: 150 g of water at 80 °C (627 J/K) in 300 g of porcelain (315 J/K) at 20 °C.
    coffee, own = plain_water(150.0, temp_c=80.0), exactly(80.0)
    cold = poured_temp_c(coffee, own, Vessel(material="porcelain", mass_g=300), Figure(20))
    warm = poured_temp_c(
        coffee, own, Vessel(material="porcelain", mass_g=300, temp_c=60), Figure(20)
    )
    assert cold.value == pytest.approx((627 * 80 + 315 * 20) / 942, abs=0.1)
    assert cold.low == cold.value < cold.high < warm.low <= warm.value


def test_an_unsure_drink_stays_unsure_in_its_vessel():
    coffee, vessel = plain_water(150.0, temp_c=80.0), Vessel(mass_g=200)
    found = poured_temp_c(coffee, Estimate(80, 70, 90), vessel, Figure(20, 18, 24))
    sure = poured_temp_c(coffee, exactly(80), vessel, Figure(20))
    assert found.value == sure.value
    assert found.low < sure.low < sure.high < found.high


def test_a_vessel_without_a_mass_is_named():
    water = plain_water(100.0, temp_c=60.0)
    found = poured_temp_c(water, exactly(60), Vessel(name="house cup"), Figure(20))
    assert (found.value, found.lacks) == (60.0, ("house cup",))
    assert poured_temp_c(plain_water(100.0), None, Vessel(mass_g=100), Figure(20)) is None


def test_from_the_recipe_to_the_moment_it_is_drunk():
    # The three steps by hand: 66.67 °C mixed (100 g at 90, 50 g at 20), a 100 g glass takes its
    # share (627 against 84 J/K), then 3 minutes at k = 0.05.
    served = balance(recipe(line("hot-water", "100 ml"), line("water", "50 ml"))).serve
    vessel = Vessel(material="glass", mass_g=100, cooling_per_min=Figure(0.05, 0.04, 0.06))
    liquid = plain_water(150 * 0.9982, temp_c=served.temp_c.value)
    warm = poured_temp_c(liquid, served.temp_c, vessel, Figure(20))
    found = stood_temp_c(warm, Stand(120, 180, 300), Figure(20), vessel.cooling_per_min)
    poured = (625.9 * 66.67 + 84 * 20) / (625.9 + 84)
    assert served.temp_c.value == pytest.approx(66.67, abs=0.01)
    assert found.value == pytest.approx(20 + (poured - 20) * math.exp(-0.15), abs=0.05)
    assert found.low < found.value < found.high


@pytest.mark.parametrize(
    "wrong",
    [
        {"mass_g": -1},
        {"material": "paper towel"},
        {"temp_c": 300},
        {"cooling_per_min": Figure(0.0)},
        {"cooling_per_min": Figure(3.0)},
    ],
)
def test_impossible_vessels_are_refused(wrong):
    with pytest.raises(InvalidInput):
        Vessel(**wrong)


def test_a_drink_does_not_stand_longer_for_talk_that_runs_alongside():
    segments = (
        Segment("pour", "Pour", Spread(20)),
        Segment("wipe", "Wipe", Spread(30), lane="hands"),
        Segment("tell", "Tell", Spread(25), lane="voice", alongside=True),
        Segment("serve", "Serve", Spread(10)),
    )
    assert stand_between(segments, "pour", "serve") == Stand(30, 30, 60)
