"""The kit: what recipes, steps and segments ask for, and how the packing of it stands."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.demo import demo_file
from server.domain.base.amounts import Amount
from server.domain.glass.brew import Brew
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.glass.vessel import Vessel
from server.domain.prepare.kit import KitThing, kit_of, packing_of
from server.domain.prepare.needs import enough, needs_per_run
from server.domain.prepare.ticks import UNTICKED, Ticked, holds_for
from server.domain.routine.ahead import Ahead
from server.domain.routine.drink import Drink, Ingredient, Service
from server.domain.routine.preparing import Preparation, Task, Thing
from tests.domain.strategies import amounts, routines
from tests.factories import RULES, make_routine, make_segment
from tests.table import table

PACKED = Ticked(packed=True)
JUICE = Ingredient("i1", "Lemon juice, fresh", Amount(40, "ml"))


def drink(drink_id="d1", *ingredients, serves=4, **changes):
    return Drink(drink_id, f"Drink {drink_id}", serves, tuple(ingredients), **changes)


def things(routine, rules=RULES):
    return {each.name: each for each in kit_of(routine, rules)}


def test_a_recipe_is_scaled_to_the_serves_and_the_reserve():
    routine = make_routine(
        drinks=(drink("d1", JUICE, serves=2),), preparation=Preparation(reserve_percent=25)
    )
    # 40 ml for two serves are 80 ml for four; a quarter more is 100 ml.
    assert RULES.serves_per_drink == 4
    assert things(routine)["Lemon juice, fresh"].how_many == "100 ml"


def test_one_ingredient_of_two_drinks_is_packed_once():
    more = Ingredient("i2", "lemon juice, fresh", Amount(3, "cl"))
    routine = make_routine(
        drinks=(drink("d1", JUICE), drink("d2", more)), preparation=Preparation(reserve_percent=0)
    )
    (need,) = needs_per_run(routine, RULES)
    assert (need.words, need.drink_ids) == ("70 ml", ("d1", "d2"))


SHOTS = Ingredient(
    "i1", "Espresso", Amount(72, "ml"), brew=Brew(dose_g=36, beverage_g=72, kind="espresso")
)


@table(
    "changes, packed, bought",
    [
        # Four serves of a recipe for two, and a quarter more: two and a half times each amount.
        ({}, "90 g ground, for 180 ml", "90 g"),
        ({"brew": Brew(dose_g=36, kind="espresso")}, "90 g ground, for 180 ml", "90 g"),
        ({"brew": Brew(water_g=300)}, "180 ml", "180 ml"),
        ({"brew": None}, "180 ml", "180 ml"),
        # One shot of 36 g that the recipe takes twice; a batch of which it takes a tenth.
        (
            {"amount": Amount(72, "g"), "brew": Brew(dose_g=18, beverage_g=36, kind="espresso")},
            "90 g ground, for 180 g",
            "90 g",
        ),
        (
            {"brew": Brew(dose_g=60, water_g=900, kind="immersion")},
            "150 g ground, for 180 ml",
            "150 g",
        ),
        # What is made ahead is carried as it is drunk.
        ({"ahead": Ahead(steeped_h=16)}, "180 ml", "90 g"),
    ],
)
def test_brewed_coffee_is_packed_and_bought_by_its_dose(changes, packed, bought):
    routine = make_routine(
        drinks=(drink("d1", replace(SHOTS, **changes), serves=2),),
        preparation=Preparation(reserve_percent=25),
    )
    (need,) = needs_per_run(routine, RULES)
    assert need.words == things(routine)["Espresso"].how_many == packed
    assert [each.words for each in need.amounts] == [bought]


def test_a_brew_that_a_task_makes_is_packed_as_it_is_drunk():
    task = Task("t1", "Make espresso", makes="ingredient", drink_id="d1", ingredient_id="i1")
    routine = make_routine(
        drinks=(drink("d1", SHOTS), drink("d2", replace(SHOTS, id="i2"))),
        preparation=Preparation(reserve_percent=0, tasks=(task,)),
    )
    assert things(routine)["Espresso"].how_many == "75 ml + 40 g ground, for 75 ml"


def test_doses_of_one_coffee_are_summed_and_what_has_none_stays_beside_them():
    routine = make_routine(
        drinks=(
            drink("d1", SHOTS),
            drink("d2", replace(SHOTS, id="i2")),
            drink("d3", replace(SHOTS, id="i3", brew=None)),
        ),
        preparation=Preparation(reserve_percent=0),
    )
    (need,) = needs_per_run(routine, RULES)
    assert need.words == "75 ml + 75 g ground, for 150 ml"
    assert [each.words for each in need.amounts] == ["75 g", "75 ml"]


@table(
    "kind, needed",
    [
        ("drip", {"Scale", "Kettle", "Filter papers", "Hot water"}),
        ("immersion", {"Scale", "Kettle", "Hot water"}),
        ("espresso", {"Scale"}),
    ],
)
def test_a_kind_of_brew_asks_for_its_own_tools(kind, needed):
    coffee = replace(SHOTS, brew=Brew(dose_g=36, kind=kind))
    found = things(make_routine(drinks=(drink("d1", coffee),)))
    assert found.keys() & {"Scale", "Kettle", "Filter papers", "Hot water"} == needed


def test_a_thing_knows_the_segments_that_speak_of_it():
    pour = make_segment("s1", hands="Lemons are squeezed: juice into the tin.", drink_id="d1")
    other = make_segment("s2", said="No juice here.", drink_id="d2")
    routine = make_routine(segments=(pour, other), drinks=(drink("d1", JUICE), drink("d2")))
    assert things(routine)["Lemon juice, fresh"].segment_ids == ("s1",)


def test_tools_follow_from_steps_amounts_and_what_hands_do():
    stirred = drink("d1", JUICE, steps=(Agitate("st", "stir"),))
    pour = make_segment("s1", hands="Two tongs, and the towels.")
    found = things(make_routine(segments=(pour,), drinks=(stirred,)))
    assert {"Mixing glass", "Strainer", "Jigger", "Ice", "Tongs", "Towels"} <= set(found)
    assert found["Tongs"].segment_ids == ("s1",)
    assert "Shaker" not in found


@table(
    "name, substance",
    [("Ice", None), ("ice", Substance("ice")), ("Crushed ice", None), ("Frost", Substance("ice"))],
)
def test_ice_of_a_recipe_is_the_ice_of_its_steps_and_of_the_hands(name, substance):
    ice = Ingredient("i2", name, Amount(90, "g"), (), substance)
    stirred = drink("d1", JUICE, ice, steps=(Agitate("st", "stir"),))
    pour = make_segment("s1", hands="Take ice from the bucket.")
    routine = make_routine(
        segments=(pour,), drinks=(stirred,), preparation=Preparation(reserve_percent=0)
    )
    (found,) = [each for each in kit_of(routine, RULES) if each.kind == "water"
                and each.name != "Cold water"]  # fmt: skip
    assert (found.name, found.how_many, found.segment_ids) == (name, "90 g", ("s1",))


def test_ice_that_another_drink_takes_beside_is_more_of_it():
    ice = Ingredient("i2", "ice", Amount(90, "g"))
    drinks = (drink("d1", ice), drink("d2", JUICE, steps=(Agitate("st", "stir"),)))
    found = things(make_routine(drinks=drinks, preparation=Preparation(reserve_percent=0)))
    assert (found["ice"].how_many, found["ice"].drink_ids) == ("90 g and more", ("d1", "d2"))
    assert "Ice" not in found


@pytest.mark.parametrize(
    ("sizes", "told"),
    [((None, None), ""), ((120.0, None), "holds 120 ml"), ((120.0, 120.0), "holds 120 ml"),
     ((120.0, 90.5), "holds 90.5 or 120 ml")],
)  # fmt: skip
def test_glasses_say_what_they_hold_where_that_is_on_record(sizes, told):
    drinks = tuple(
        Drink(f"d{n}", f"Tide {n}", service=Service(Vessel("coupe", holds_ml=size)))
        for n, size in enumerate(sizes)
    )
    (glass,) = [each for each in kit_of(make_routine(drinks=drinks), RULES) if each.name == "Coupe"]
    assert glass.size == told


def test_glasses_come_with_spares_for_every_drink_that_is_served_in_them():
    cup = Service(Vessel("cup"), poured_segment_id="s2")
    routine = make_routine(
        drinks=(drink("d1", service=cup), drink("d2", service=cup)),
        preparation=Preparation(spare_glasses=2),
    )
    cups = things(routine)["Cup"]
    assert (cups.how_many, cups.segment_ids) == ("8 + 2", ("s2",))


def test_what_is_used_and_not_packed_is_missing_and_what_is_never_used_is_told():
    given_things = (Thing("t1", "Lucky coin"), Thing("t2", "Tweezers", segment_ids=("s1", "gone")))
    routine = make_routine(preparation=Preparation(things=given_things))
    packing = packing_of(
        kit_of(routine, RULES), {"own:t1": PACKED, "own:t2": UNTICKED, "x:old": PACKED}
    )
    assert [each.name for each in packing.missing] == ["Tweezers"]
    assert [each.name for each in packing.unused] == ["Lucky coin"]
    assert packing.gone == ("x:old",)


def test_a_tick_holds_for_how_much_it_was_made():
    routine = make_routine(drinks=(drink("d1", JUICE),))
    key = "ingredient:lemon juice, fresh"
    ticks = {key: Ticked(packed=True, amount=things(routine)[JUICE.name].how_many)}
    more = replace(RULES, serves_per_drink=RULES.serves_per_drink + 2)
    less = replace(RULES, serves_per_drink=RULES.serves_per_drink - 1)
    for rules, is_enough in ((RULES, True), (less, True), (more, False)):
        packing = packing_of(kit_of(routine, rules), ticks)
        assert (key in [each.key for each in packing.packed]) is is_enough
        assert (key in [each.key for each in packing.missing]) is not is_enough
        assert [each.key for each in packing.short] == ([] if is_enough else [key])


@pytest.mark.parametrize(
    ("packed_for", "needed", "is_enough"),
    [
        ("", "300 ml", True),
        ("2", "", True),
        ("90 g ground, for 180 ml", "40 g ground, for 180 ml", True),
        ("40 g ground, for 180 ml", "90 g ground, for 180 ml", False),
        ("160 g", "90 g ground, for 160 g", False),
        ("150 ml", "150.1 ml", False),
        ("1 l", "900 ml", True),
        ("4 + 1", "6", False),
        ("6 + 1", "4 + 2", True),
        ("150 ml + 2 dashes", "100 ml + 3 dashes", False),
        ("150 ml + 2 dashes", "150 ml", True),
        ("2 dashes", "2 ml", False),
        ("a dozen", "A  dozen", True),
        ("a dozen", "two dozen", False),
    ],
)
def test_an_amount_is_enough_when_nothing_of_it_is_less(packed_for, needed, is_enough):
    assert holds_for(packed_for, needed) is is_enough


@settings(max_examples=60)
@given(amounts, st.floats(0.1, 5), st.floats(0.1, 5))
def test_of_one_amount_scaled_twice_the_larger_is_enough_for_the_smaller(amount, one, other):
    low, high = sorted((one, other))
    assert holds_for(enough(amount, high).words, enough(amount, low).words)


def test_what_is_left_out_is_not_missing_and_unused_when_packed():
    routine = make_routine(drinks=(drink("d1", JUICE),))
    (key,) = (each.key for each in kit_of(routine, RULES) if each.name == "Jigger")
    left = replace(routine, preparation=Preparation(left_out=(key,)))
    assert "Jigger" not in [e.name for e in packing_of(kit_of(left, RULES), {}).missing]
    assert [e.name for e in packing_of(kit_of(left, RULES), {key: PACKED}).unused] == ["Jigger"]


@settings(max_examples=40)
@given(routines(), st.floats(0, 100))
def test_every_thing_stands_once_and_is_either_packed_or_missing(routine, reserve):
    routine = replace(routine, preparation=Preparation(reserve_percent=reserve))
    kit = kit_of(routine, RULES)
    keys = [each.key for each in kit]
    assert len(set(keys)) == len(keys)
    packing = packing_of(kit, {key: Ticked(number % 2 == 0) for number, key in enumerate(keys)})
    assert {e.key for e in (*packing.packed, *packing.missing)} == {
        each.key for each in kit if each.is_needed
    }


@settings(max_examples=60)
@given(amounts, st.floats(0.1, 5))
def test_a_rounded_amount_is_never_less_than_it_takes(amount, times):
    rounded = enough(amount, times)
    assert rounded.value >= min(amount.value * times, 100_000) - 1e-5
    assert rounded.unit == amount.unit


def test_the_demo_asks_for_what_its_presenter_handles():
    file = demo_file()
    found = things(file.routine, file.rules)
    assert {"Kettle", "Thermometer", "Carafe", "Tray", "Pipette", "Hot water", "Ice"} <= set(found)
    assert found["Small cup"].how_many == "4 + 1"
    assert found["Lemon juice, fresh"].how_many == "75 ml"


@pytest.mark.parametrize(("temp_c", "asks"), [(None, False), (30.0, False), (30.1, True)])
def test_a_vessel_warmer_than_any_room_asks_for_hot_water(temp_c, asks):
    served = drink("d1", JUICE, service=Service(Vessel("cup", temp_c=temp_c)))
    assert ("Hot water" in things(make_routine(drinks=(served,)))) is asks


@pytest.mark.parametrize(
    ("changes", "needed"),
    [
        ({}, False),
        ({"drink_ids": ("d1",)}, True),
        ({"segment_ids": ("s1",)}, True),
        ({"thing_id": "t1"}, True),
        ({"thing_id": "t1", "drink_ids": ("d1",), "left_out": True}, False),
    ],
)
def test_what_is_used_or_was_added_is_packed_unless_it_is_left_out(changes, needed):
    assert KitThing("jug", "Jug", "tool", **changes).is_needed is needed
