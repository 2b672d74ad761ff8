"""Outside checks: a filtration worked by hand from its law, and Newton's law of cooling."""

from math import log

import pytest

from server.domain.base.errors import InvalidInput
from server.domain.glass.figures import Figure
from server.domain.glass.vessel import Vessel
from server.domain.routine.drink import Drink, Service
from server.domain.routine.reading import Reading
from server.domain.whole.process_time import worked_out
from tests.factories import make_process, make_routine

CUP = Drink(
    "d1", "Cup", service=Service(vessel=Vessel(cooling_per_min=Figure(0.05, 0.04, 0.06)), room_c=20)
)


def time_of(**changes):
    process = make_process(**changes)
    return worked_out(make_routine(drinks=(CUP,), processes=(process,)), process)


def test_readings_of_a_law_give_its_time_for_the_batch():
    # t = a V² + b V with a = 0.005 s/ml² and b = 0.5 s/ml: 40 ml in 28 s, 80 ml in 72 s, and
    # 200 ml in 0.005 x 40,000 + 0.5 x 200 = 300 s.
    readings = (Reading(28, 40), Reading(72, 80))
    found = time_of(readings=readings, batch_ml=200, falling_head=False)
    assert found.law == "filtration"
    assert found.estimate.likely_s == pytest.approx(300)
    assert found.spread.low_s < 300 < found.spread.high_s


def test_cooling_follows_newtons_law_in_the_vessel_and_room_of_the_drink():
    # T(t) = room + (T0 - room) exp(-k t): from 80 to 50 °C at 20 °C takes ln(60 / 30) / k.
    found = time_of(vessel_drink_id="d1", from_c=80, to_c=50)
    assert found.law == "heat"
    assert found.estimate.likely_s == pytest.approx(60 * log(2) / 0.05)
    assert found.estimate.low_s == pytest.approx(60 * log(2) / 0.06)


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"readings": (Reading(28, 40), Reading(72, 80))}, "how much has to come through"),
        ({"readings": (Reading(28, 40),), "batch_ml": 200}, "Two readings are the least"),
        ({"vessel_drink_id": "d1", "from_c": 50, "to_c": 80}, "does not pass"),
    ],
)
def test_what_is_not_enough_or_cannot_be_is_told(changes, told):
    with pytest.raises(InvalidInput, match=told):
        time_of(**changes)


def test_a_process_without_readings_or_temperatures_has_no_law():
    assert time_of() is None
