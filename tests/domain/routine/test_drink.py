import pytest

from server.domain.base.amounts import Amount
from server.domain.base.errors import InvalidInput
from server.domain.glass.balance import balance
from server.domain.glass.figures import Figure
from server.domain.glass.steps import Agitate, Bring, Filter, Ice, Layer
from server.domain.glass.substance import Substance
from server.domain.glass.vessel import Vessel
from server.domain.routine.drink import Drink, Ingredient, Service
from server.domain.routine.edits import (
    copy_drink,
    move_step,
    part_of,
    put_step,
    remove_segment,
    remove_step,
)
from server.domain.routine.routine import Routine
from server.domain.whole.exchange import from_json, to_json
from tests.factories import make_routine

GIN = Ingredient(
    "gin", "Gin", Amount(60, "ml"), substance=Substance("spirit", Figure(40.0), temp_c=Figure(20.0))
)
PEEL = Ingredient("peel", "Peel", Amount(1, "piece"), after_step_id="stir")
STIR, CHILL = Agitate("stir", "stir"), Bring("chill", "chill", 4.0)
DRINK = Drink(
    "d1",
    "Tide",
    ingredients=(GIN, PEEL),
    steps=(STIR, CHILL),
    service=Service(Vessel("glass", mass_g=140.0), poured_segment_id="s2", drunk_segment_id="s3"),
)
ROUTINE = make_routine(drinks=(DRINK,))


def test_a_drink_comes_back_from_its_document_whole():
    steps = (STIR, CHILL, Ice("i", 2.0), Filter("f", loss_percent=Figure(5.0)), Layer("l"))
    routine = make_routine(drinks=(Drink("d1", "Tide", ingredients=(GIN,), steps=steps),))
    assert from_json(Routine, to_json(routine)) == routine


def test_a_drink_of_the_routine_can_be_worked_out():
    # 60 ml at 40 % vol hold 24 ml of ethanol: 18.94 g (OIML R 22: 0.78924 g/ml).
    assert balance(DRINK).batch.ethanol_g.value == pytest.approx(18.94, abs=0.005)


def test_an_ingredient_goes_in_after_a_step_that_is_there():
    with pytest.raises(InvalidInput, match="after a step not there"):
        Drink("d", "Tide", ingredients=(PEEL,))


def test_a_removed_step_lets_its_ingredients_go_in_from_the_start():
    drink = remove_step(ROUTINE, "d1", "stir").drinks[0]
    assert drink.steps == (CHILL,)
    assert part_of(drink.ingredients, "peel").after_step_id is None


def test_steps_are_changed_added_and_moved():
    routine = put_step(ROUTINE, "d1", Layer("layer"))
    routine = move_step(routine, "d1", "layer", 0)
    assert [step.id for step in routine.drinks[0].steps] == ["layer", "stir", "chill"]


def test_a_removed_segment_is_no_longer_where_a_drink_is_poured():
    service = remove_segment(ROUTINE, "s2").drinks[0].service
    assert (service.poured_segment_id, service.drunk_segment_id) == (None, "s3")


def test_a_drink_is_served_in_segments_of_its_routine():
    with pytest.raises(InvalidInput, match="served in no segment"):
        make_routine(segments=("s1",), drinks=(DRINK,))


def test_a_version_has_ids_of_its_own_and_follows_the_original():
    ids = iter(f"new{n}" for n in range(9))
    copied = copy_drink(ROUTINE, "d1", "Tide (version)", lambda: next(ids))
    original, version = copied.drinks
    assert (original, version.name) == (DRINK, "Tide (version)")
    parts = [part.id for part in (*version.ingredients, *version.steps)]
    assert set(parts) & {"gin", "peel", "stir", "chill"} == set()
    assert version.ingredients[1].after_step_id == version.steps[0].id


def test_two_steps_of_one_id_are_refused():
    with pytest.raises(InvalidInput, match="same id"):
        make_routine(drinks=(Drink("d1", "Tide", steps=(Layer("gin"),), ingredients=(GIN,)),))
