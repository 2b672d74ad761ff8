"""Outside checks: Geankoplis, "Transport Processes and Separation Process Principles", examples
14.2-1 (readings as printed) and 14.2-2 (figures from memory); numpy's least squares; numerical
integration by SciPy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from server.domain.base.errors import InvalidInput
from server.domain.risk.filtration import (
    HEAD_LOST_HIGH,
    HEAD_LOST_LIKELY,
    Filtration,
    FiltrationReading,
    fit,
)

TIMES_S = [4.4, 9.5, 16.3, 24.6, 34.7, 46.1, 59.0, 73.6, 89.4, 107.3]
VOLUMES_L = [0.498, 1.000, 1.501, 2.000, 2.498, 3.002, 3.506, 4.004, 4.502, 5.009]
PRINTED = [FiltrationReading(t, 1000 * v) for t, v in zip(TIMES_S, VOLUMES_L, strict=True)]
ML_PER_M3 = 1e6


def slope_and_intercept(law):
    """In the units of the textbook, s/m6 and s/m3."""
    return law.cake_s_per_ml2 * ML_PER_M3**2, law.filter_s_per_ml * ML_PER_M3


def test_the_line_through_the_printed_readings_is_numpys():
    paces = [reading.time_s / reading.volume_ml for reading in PRINTED]
    expected = np.polyfit([reading.volume_ml for reading in PRINTED], paces, 1)
    law = fit(PRINTED)
    assert (law.cake_s_per_ml2, law.filter_s_per_ml) == pytest.approx(expected, rel=1e-9)
    assert slope_and_intercept(law) == pytest.approx((2.885e6, 6784), rel=1e-3)


def test_without_its_first_reading_it_is_near_the_line_drawn_in_the_book():
    found = slope_and_intercept(fit(PRINTED[1:]))
    assert found == pytest.approx((2.987e6, 6408), rel=1e-3)
    # The book draws the line by eye: 3.00e6 and 6400 (from memory).
    assert found == pytest.approx((3.00e6, 6400), rel=0.01)


def test_the_resistances_of_cake_and_filter_are_those_of_the_book():
    # a = mu alpha c / (2 A² dP), b = mu R / (A dP); area and concentration from memory.
    area_m2, pressure_pa, viscosity, solids = 0.0439, 338e3, 8.937e-4, 23.47
    a, b = slope_and_intercept(fit(PRINTED[1:]))
    alpha = 2 * a * area_m2**2 * pressure_pa / (viscosity * solids)
    resistance = b * area_m2 * pressure_pa / viscosity
    assert (alpha, resistance) == pytest.approx((1.863e11, 1.063e11), rel=0.01)


def test_a_press_of_twenty_frames_takes_the_time_of_the_book():
    # Example 14.2-2 (from memory): twenty frames of 0.873 m2 let 3.37 m3 through in 269.7 s.
    scale = 0.0439 / (20 * 0.873)
    press = Filtration(3.00e6 * scale**2, 6400 * scale, (), 0.0, 1)
    assert press.time_s(3.37) == pytest.approx(269.7, abs=0.5)


TWO = [FiltrationReading(60, 100), FiltrationReading(180, 200)]


def test_two_readings_are_met_exactly():
    law = fit(TWO)
    assert (law.cake_s_per_ml2, law.filter_s_per_ml) == pytest.approx((0.003, 0.3), abs=1e-9)
    assert [law.time_s(v) for v in (50, 300, 500)] == pytest.approx([22.5, 360, 900], abs=0.01)
    assert [law.volume_ml(t) for t in (420, 600)] == pytest.approx([327.5, 400], abs=0.1)


def test_two_other_readings_forecast_their_batch():
    law = fit([FiltrationReading(240, 150), FiltrationReading(40, 50)])
    assert (law.cake_s_per_ml2, law.filter_s_per_ml) == pytest.approx((0.008, 0.4), abs=1e-9)
    assert law.time_s(250) == pytest.approx(600)


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        ([(60, 100), (100, 200)], "faster and faster"),
        ([(10, 100), (100, 200)], "without any resistance"),
        ([(60, 100)], "Two readings"),
        ([(60, 100), (60, 200)], "at each later reading"),
        ([(60, 100), (80, 100)], "at each later reading"),
        ([(60, 0), (80, 100)], "above zero"),
        ([(0, 50), (80, 100)], "above zero"),
    ],
)
def test_readings_that_contradict_a_filtration_are_refused(readings, words):
    with pytest.raises(InvalidInput, match=words):
        fit([FiltrationReading(*each) for each in readings])


def test_a_filter_that_runs_evenly_has_no_cake():
    law = fit([FiltrationReading(30, 100), FiltrationReading(60, 200), FiltrationReading(90, 300)])
    assert law.cake_s_per_ml2 == 0
    assert law.time_s(500) == pytest.approx(150)
    assert law.volume_ml(150) == pytest.approx(500)


@pytest.mark.parametrize("pace", [0.1, 0.37, 0.7])
def test_binary_dust_is_not_taken_for_a_filter_that_speeds_up(pace):
    law = fit([FiltrationReading(pace * volume, volume) for volume in (30, 70, 90)])
    assert law.cake_s_per_ml2 == 0


def test_a_batch_under_its_own_weight_takes_longer_than_the_law_says():
    falling, steady = fit(TWO).batch(400), fit(TWO).batch(400, falling_head=False)
    assert steady.likely_s == pytest.approx(600)
    assert falling.low_s == steady.low_s < 600
    assert steady.likely_s < falling.likely_s < falling.high_s


@pytest.mark.parametrize("lost", [HEAD_LOST_LIKELY, HEAD_LOST_HIGH])
def test_the_falling_head_is_scipys_integral(lost):
    law = fit(TWO)
    expected, _ = quad(lambda x: (0.006 * (200 + x) + 0.3) / (1 - lost * x / 200), 0, 200)
    batch = law.batch(400)
    off_s = law.batch(400, falling_head=False).high_s - 600
    found = batch.likely_s if lost == HEAD_LOST_LIKELY else batch.high_s - off_s
    assert found == pytest.approx(180 + expected)


def test_a_reading_more_narrows_the_range():
    early = fit(TWO).batch(400)
    later = fit([*TWO, FiltrationReading(255, 250), FiltrationReading(360, 300)]).batch(400)
    assert later.high_s - later.low_s < 0.6 * (early.high_s - early.low_s)


def test_readings_that_scatter_widen_the_range():
    true = fit(TWO)
    exact = [FiltrationReading(true.time_s(v), v) for v in (50, 100, 150, 200)]
    loose = [
        FiltrationReading(r.time_s * f, r.volume_ml)
        for r, f in zip(exact, (1.15, 0.9, 1.1, 0.95), strict=True)
    ]
    wide, narrow = fit(loose).batch(300, False), fit(exact).batch(300, False)
    assert wide.high_s - wide.low_s > 1.5 * (narrow.high_s - narrow.low_s)


def test_a_batch_that_is_already_through_took_what_the_law_says():
    assert fit(TWO).batch(150).likely_s == pytest.approx(fit(TWO).time_s(150))


@pytest.mark.parametrize("volume_ml", [0, -5, float("nan")])
def test_a_batch_of_nothing_is_refused(volume_ml):
    with pytest.raises(InvalidInput, match="above zero"):
        fit(TWO).batch(volume_ml)


@given(st.floats(1e-6, 0.1), st.floats(1e-3, 5), st.floats(1, 2000))
def test_volume_and_time_are_each_others_inverse(a, b, volume_ml):
    law = Filtration(a, b, (), 0.0, 1)
    assert law.volume_ml(law.time_s(volume_ml)) == pytest.approx(volume_ml, rel=1e-6)


@given(
    st.floats(1e-5, 0.05),
    st.floats(0.01, 2),
    st.lists(st.integers(1, 500), min_size=2, max_size=6, unique=True),
)
def test_readings_that_follow_the_law_give_it_back(a, b, volumes):
    law = fit([FiltrationReading((a * v + b) * v, v) for v in volumes if (a * v + b) * v <= 86400])
    assert (law.cake_s_per_ml2, law.filter_s_per_ml) == pytest.approx((a, b), rel=1e-4, abs=1e-7)
