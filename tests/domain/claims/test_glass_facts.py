"""The computed glass behind the claims: temperatures, strengths, volumes, textures, times."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.claims.cases import case_of
from server.domain.claims.glass_facts import tastings
from server.domain.claims.ledger import ledger
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate, Blend, Bring, Filter, Layer
from server.domain.glass.substance import Substance
from server.domain.glass.vessel import Vessel
from server.domain.routine.drink import Drink, Ingredient, Service
from server.domain.routine.plan import Plan
from tests.domain.shorthand import glass_facts
from tests.factories import RULES, make_routine, make_segment
from tests.table import table

SPIRIT = Substance(
    kind="spirit", abv=Figure(40.0), sugar=Content(0.0), temp_c=Figure(60.0)
)  # fmt: skip
WATER = Substance(kind="water", temp_c=Figure(60.0))
CUP = Vessel("cup", "glass", 100.0, 60.0, Figure(0.04, 0.03, 0.05))


def make_drink(**changes):
    parts = (
        Ingredient("rum", "Plum rum", Amount(50, "ml"), ("plum",), SPIRIT),
        Ingredient("water", "Hot water", Amount(150, "ml"), (), WATER),
    )
    service = Service(vessel=CUP, room_c=20, poured_segment_id="s1", drunk_segment_id="s3")
    return replace(Drink("d1", "Dusk", 2, parts, service=service), **changes)


def plan(drink, *said):
    texts = dict(zip(("s1", "s2", "s3", "s4"), said, strict=False))
    segments = [
        make_segment(key, said=texts.get(key, ""), drink_id=None if key == "s4" else "d1")
        for key in ("s1", "s2", "s3", "s4")
    ]
    return Plan(make_routine(segments=segments, drinks=(drink,)), RULES)


def rows(drink, *said):
    held = plan(drink, *said)
    routine = held.routine
    case = case_of(held, facts=glass_facts(routine), tastings=tastings(routine))
    return {row.label: row for row in ledger(case).rows}


def known(drink, kind):
    (facts,) = glass_facts(plan(drink).routine)
    return {number.label: number for number in facts.numbers if number.kind == kind}


def test_a_spoken_temperature_is_held_against_the_glass_in_the_judges_hands():
    held = rows(make_drink(), "", "", "You drink it at 75 degrees.")
    row = held["75 °C"]
    assert row.state == "contradicted"
    assert row.why[0].startswith("You say 75 °C, computed 5")
    assert row.why[0].endswith("°C when the judges drink: more than 0.5 °C off.")


def test_cooling_follows_newtons_law_from_pouring_to_drinking():
    # Newton's law of cooling, T = room + (start - room) exp(-k t): 61 °C in 20 °C, one minute of
    # the segment between, k = 0.04 a minute: 59.4 °C, inside the range that is told.
    glass = known(make_drink(), "temperature")["when the judges drink"]
    assert glass.low < 20 + 41 * 2.718281828 ** (-0.04) < glass.high
    # Both parts have 60 °C; rum and water warm each other by a degree or so.
    assert known(make_drink(), "temperature")["when it is poured"].high == pytest.approx(61, abs=1)


@pytest.mark.parametrize(
    ("sentence", "label"),
    [
        ("I read the thermometer: 61.3 degrees.", "61.3 °C"),
        ("As it cools towards 45 degrees it grows softer.", "45 °C"),
    ],
)
def test_a_temperature_of_another_moment_is_held_against_that_moment(sentence, label):
    assert rows(make_drink(), "", "", sentence)[label].state == "backed"


def test_a_temperature_that_cannot_be_computed_is_unchecked_and_not_false():
    cold = replace(make_drink().ingredients[1], substance=Substance(kind="water"))
    drink = make_drink(ingredients=(make_drink().ingredients[0], cold))
    row = rows(drink, "", "", "You drink it at 55 degrees.")["55 °C"]
    assert (row.state, row.is_checked) == ("unbacked", False)


def test_strength_in_the_glass_is_that_of_the_whole_drink():
    # By the additive rule 10.0 % vol; by OIML R 22 contraction moves it by less than 0.05 points.
    strength = known(make_drink(), "strength")["in the glass"]
    assert strength.low == pytest.approx(10.0, abs=0.05)
    held = rows(make_drink(), "", "", "It has 10 percent alcohol, from a rum of 40 percent.")
    assert {row.state for label, row in held.items() if "%" in label} == {"backed"}


def test_a_strength_before_the_ice_melts_is_known_where_ice_is_used():
    stirred = make_drink(steps=(Agitate("st", "stir", Figure(25.0)),))
    held = rows(stirred, "", "The melting ice takes us from 10 percent down to 8 percent.")
    assert [held[label].state for label in ("10 %", "8 %")] == ["backed", "backed"]
    assert "before the ice melts" not in known(make_drink(), "strength")


def test_of_a_slush_both_strengths_are_known_and_that_it_is_icy():
    frozen = make_drink(steps=(Blend("b", Figure(400.0)),))
    told = known(frozen, "strength")
    whole, between = told["in the glass"], told["of the liquid between its ice"]
    assert between.low > whole.high
    assert "before the ice melts" in told
    assert rows(frozen, "", "", "You will find it icy.")["icy"].state == "backed"


def test_the_volume_of_a_serve_is_no_amount_of_the_recipe_and_still_true():
    row = rows(make_drink(), "", "", "Each of you gets 100 ml.")["100 ml"]
    assert (row.state, row.is_checked) == ("backed", True)
    assert "in each glass" in row.why[0]


def test_steps_bring_texture_and_cold():
    steps = (
        Agitate("s", "shake"), Agitate("t", "stir"), Filter("f", loss_percent=Figure(5)),
        Bring("b", "heat", 60), Layer("l"),
    )  # fmt: skip
    (facts,) = glass_facts(plan(make_drink(steps=steps)).routine)
    brought = {(effect.word, effect.step) for effect in facts.effects}
    assert {("frothy", "shaken with ice"), ("silky", "stirred with ice")} <= brought
    assert rows(make_drink(steps=steps), "", "", "You will find it frothy.")["frothy"].why == (
        "It comes of this step: shaken with ice.",
    )


@table(
    "said, state",
    [
        ("We heat it to 75 degrees and let it stand.", "backed"),
        ("It is brought up to about 75 degrees.", "backed"),
        ("Then it is chilled to 6 degrees.", "backed"),
        ("You drink it at 75 degrees.", "contradicted"),
    ],
)
def test_what_a_step_brings_the_drink_to_backs_that_it_is_brought_there(said, state):
    steps = (Bring("h", "heat", 75), Bring("c", "chill", 6))
    (row,) = [r for label, r in rows(make_drink(steps=steps), "", "", said).items() if "°" in label]
    assert row.state == state


def test_what_no_step_does_is_not_false_of_something_that_is_heated():
    steps = (Bring("h", "heat", 75),)
    (row,) = [
        r
        for label, r in rows(make_drink(steps=steps), "", "", "The bowl is heated to 40.").items()
        if "°" in label
    ]
    assert row.state != "contradicted"


def test_a_drink_without_ingredients_has_no_facts():
    assert glass_facts(plan(Drink("d1", "Air")).routine) == ()


def test_judges_taste_from_the_segment_in_which_they_drink_until_another_drink_is_spoken_of():
    routine = plan(make_drink()).routine
    (tasting,) = tastings(routine)
    assert (tasting.from_s, tasting.until_s) == (120.0, None)
    other = Drink("d2", "Dawn")
    moved_on = replace(
        routine,
        drinks=(*routine.drinks, other),
        segments=(*routine.segments[:3], replace(routine.segments[3], drink_id="d2")),
    )
    assert tastings(moved_on)[0].until_s == 180.0


def test_a_word_said_only_before_the_judges_can_taste_is_pointed_out():
    early = rows(make_drink(), "You will taste plum in this.")["plum"]
    assert early.is_untimely
    assert early.why[-1] == "Said at 0:32, before the judges can taste at 2:00."
    again = rows(make_drink(), "You will taste plum in this.", "", "You will find plum now.")
    assert (len(again["plum"].sayings), again["plum"].is_untimely) == (2, False)


def test_how_warm_a_drink_is_need_not_stand_on_its_list():
    drink = make_drink(descriptors=("plum",))
    row = rows(drink, "", "", "You will find it warm, and plum.")["warm"]
    assert row.states == ("backed",)


def test_a_strength_over_the_ice_that_is_listed_is_held_against_what_melts():
    # 60 ml of 40 % vol are 24 ml of alcohol; energy balance: 20 to 0 °C melts 15 g or so.
    whisky = replace(SPIRIT, temp_c=Figure(20.0))
    parts = (
        Ingredient("w", "Whisky", Amount(60, "ml"), (), whisky),
        Ingredient("i", "Ice", Amount(120, "g"), (), Substance(kind="ice")),
    )
    cup = Vessel("tumbler", "glass", 1.0)
    service = Service(cup, 20.0, None, "s1", "s3", over_ice=True)
    drink = Drink("d1", "Pier", 1, parts, service=service)
    strength = known(drink, "strength")["when the judges drink, over ice"]
    assert strength.low < 100 * 24 / (60 + 15) < strength.high
    row = rows(drink, "", "", "As you drink it, it has thirty-two percent alcohol.")["32 %"]
    assert row.state == "backed"


def test_over_ice_what_is_poured_and_what_is_drunk_both_hold():
    # 60 ml of 40 % vol, of which 15 ml or so of ice thin what is drunk (energy balance, as above).
    whisky = replace(SPIRIT, temp_c=Figure(20.0))
    parts = (
        Ingredient("w", "Whisky", Amount(60, "ml"), (), whisky),
        Ingredient("i", "Ice", Amount(120, "g"), (), Substance(kind="ice")),
    )
    service = Service(Vessel("tumbler", "glass", 1.0), 20.0, None, "s1", "s3", over_ice=True)
    drink = Drink("d1", "Pier", 1, parts, service=service)
    volumes = known(drink, "amount")
    assert volumes["in each glass as poured"].low == pytest.approx(60.0)
    drunk = volumes["when the judges drink, over ice"]
    assert drunk.low < 60 + 15 < drunk.high
    assert known(drink, "strength")["in the glass as poured"].high == pytest.approx(40.0)
    said = rows(drink, "", "It has forty percent alcohol.", "Each of you gets 75 ml.")
    assert {said[label].state for label in ("40 %", "75 ml")} == {"backed"}


def test_what_a_temperature_needs_names_all_that_may_be_missing():
    bare = make_drink(service=Service(Vessel("cup"), 20.0, None, "s1", "s3"))
    (why,) = rows(bare, "", "", "You drink it at 57 degrees.")["57 °C"].why
    # Its segments are chosen: what its cup weighs is not.
    assert "what its cup weighs" in why
