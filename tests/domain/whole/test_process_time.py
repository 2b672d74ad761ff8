"""Outside checks: a filtration worked by hand from its law, and Newton's law of cooling."""

from dataclasses import replace
from math import log

import pytest

from server.domain.base.amounts import Amount
from server.domain.base.errors import InvalidInput
from server.domain.glass.balance import balance
from server.domain.glass.figures import Figure
from server.domain.glass.substance import Substance
from server.domain.glass.vessel import Vessel
from server.domain.routine.ahead import Ahead
from server.domain.routine.drink import Drink, Ingredient, Service
from server.domain.routine.edits import put_ingredient
from server.domain.routine.filter_reading import FiltrationReading
from server.domain.routine.served import standing_of
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
    readings = (FiltrationReading(28, 40), FiltrationReading(72, 80))
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
        (
            {"readings": (FiltrationReading(28, 40), FiltrationReading(72, 80))},
            "how much has to come through",
        ),
        ({"readings": (FiltrationReading(28, 40),), "batch_ml": 200}, "Two readings are the least"),
        ({"vessel_drink_id": "d1", "from_c": 50, "to_c": 80}, "does not pass"),
    ],
)
def test_what_is_not_enough_or_cannot_be_is_told(changes, told):
    with pytest.raises(InvalidInput, match=told):
        time_of(**changes)


def test_a_process_without_readings_or_temperatures_has_no_law():
    assert time_of() is None


def one_glass(ml):
    part = Ingredient("w", "Water", Amount(ml, "ml"), substance=Substance(kind="water"))
    return Drink("d1", "Cup", 1, (part,), service=Service(room_c=20))


def test_a_process_cools_as_fast_as_a_serve_of_so_much_does():
    drink = one_glass(40)
    process = make_process(vessel_drink_id="d1", from_c=80, to_c=50)
    found = worked_out(make_routine(drinks=(drink,), processes=(process,)), process)
    serve = standing_of(drink, balance(drink), ()).cooling
    assert serve.value > 0.04
    assert found.estimate.likely_s == pytest.approx(60 * log(2) / serve.value)


def test_what_a_process_makes_cools_as_its_whole_batch():
    routine = make_routine(drinks=(one_glass(40),))
    process = make_process(vessel_drink_id="d1", from_c=80, to_c=50, product_id="w")
    part = replace(routine.drinks[0].ingredients[0], ahead=Ahead(made=Amount(300, "ml")))
    whole = put_ingredient(routine, "d1", part)
    assert worked_out(whole, process).estimate.likely_s == pytest.approx(60 * log(2) / 0.04)


def test_a_room_that_nobody_measured_widens_the_time():
    drink = Drink("d1", "Cup", service=Service(Vessel(cooling_per_min=Figure(0.05))))
    process = make_process(vessel_drink_id="d1", from_c=80, to_c=50)
    found = worked_out(make_routine(drinks=(drink,), processes=(process,)), process).estimate
    assert found.low_s == pytest.approx(60 * log(62 / 32) / 0.05)
    assert found.high_s == pytest.approx(60 * log(56 / 26) / 0.05)


def test_a_warmth_that_not_every_room_has_asks_for_the_room():
    drink = Drink("d1", "Cup", service=Service(Vessel(cooling_per_min=Figure(0.05))))
    process = make_process(vessel_drink_id="d1", from_c=5, to_c=19)
    with pytest.raises(InvalidInput, match="measure the room"):
        worked_out(make_routine(drinks=(drink,), processes=(process,)), process)
