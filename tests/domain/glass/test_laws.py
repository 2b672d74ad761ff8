"""Laws that hold for every drink."""

from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from server.domain.base.amounts import Amount
from server.domain.glass.alcohol import Pour, abv_percent_of, mass_fraction_of, mixed
from server.domain.glass.balance import balance
from server.domain.glass.brew import Brew, brewed
from server.domain.glass.cooling import Thermometer, cooled_temp_c, fitted_cooling_per_min
from server.domain.glass.figures import Content, Estimate, Figure
from server.domain.glass.library import library
from server.domain.glass.liquid import mass_g, temp_c, total, volume_ml
from server.domain.glass.making import step_change
from server.domain.glass.parcel import parcel_of
from server.domain.glass.recipe import Recipe, RecipeLine
from server.domain.glass.scaling import Batch, scaled_recipe
from server.domain.glass.steps import Agitate, Blend, Bring, Filter, Ice, Layer
from server.domain.glass.substance import Substance
from server.domain.routine.standing import Stand, stood_temp_c
from tests.domain.shorthand import liquid_of

ENTRIES = [entry for entry in library() if entry.substance.kind not in ("garnish", "ice")]
WET = [entry for entry in ENTRIES if entry.substance.kind not in ("sugar", "acid", "salt")]


@st.composite
def lines(draw, entries=ENTRIES, most=6):
    chosen = draw(st.lists(st.sampled_from(entries), min_size=1, max_size=most))
    amounts = draw(st.lists(st.floats(1, 200), min_size=len(chosen), max_size=len(chosen)))
    return tuple(
        RecipeLine(str(place), entry.name, Amount(value, _unit(entry)), entry.substance)
        for place, (entry, value) in enumerate(zip(chosen, amounts, strict=True))
    )


def _unit(entry):
    return "g" if entry.substance.kind in ("sugar", "acid", "salt") else "ml"


steps = st.one_of(
    st.builds(Ice, st.just("s"), st.floats(-5, 15), st.floats(-20, 0)),
    st.builds(Agitate, st.just("s"), st.sampled_from(["shake", "stir"])),
    st.builds(Blend, st.just("s"), st.floats(1, 500).map(Figure), st.floats(-20, 0)),
    st.builds(Bring, st.just("s"), st.just("heat"), st.floats(20, 95),
              st.floats(0, 40).map(Figure)),
    st.builds(Filter, st.just("s"), st.floats(0, 500).map(Figure), curd=st.booleans()),
    st.builds(Filter, st.just("s"), loss_percent=st.floats(0, 100).map(Figure),
              curd=st.booleans()),
    st.just(Layer("s")),
)  # fmt: skip


LAW = settings(deadline=None)
"""Laws are held against the machine's own time-outs, which say nothing about drinks."""


def liquid(of):
    return total([parcel_of(line).liquid for line in of])


@LAW
@given(lines(), steps)
def test_every_step_keeps_the_mass(of, step):
    before = liquid(of)
    change = step_change(step, before)
    assert mass_g(before) + mass_g(change.added) == pytest.approx(
        mass_g(change.after) + mass_g(change.behind)
    )
    assert min(change.after[:5]) >= 0
    assert min(change.behind[:5]) >= -1e-9


@LAW
@given(lines(), steps)
def test_no_step_makes_alcohol_or_sugar(of, step):
    before = liquid(of)
    after = step_change(step, before).after
    assert after.ethanol_g <= before.ethanol_g + 1e-9
    assert after.sugar_g <= before.sugar_g + 1e-9


@LAW
@given(lines())
def test_mixing_keeps_the_mass_of_the_parts(of):
    parts = [mass_g(liquid_of(line.substance, line.amount)) for line in of]
    assert balance(Recipe(of)).batch.mass_g.value == pytest.approx(sum(parts))


@LAW
@given(lines(WET))
def test_a_drink_is_not_stronger_than_its_strongest_part(of):
    # Mixing shrinks, so that a blend of equals may read a trace above both: what cannot be is a
    # drink above the strongest part by more than the contraction makes up (a few per cent of it).
    strongest = max(line.substance.abv.value if line.substance.abv else 0 for line in of)
    abv = balance(Recipe(of)).batch.abv_percent.value
    assert abv <= strongest * 1.04 + 1e-9


@LAW
@given(st.lists(st.tuples(st.floats(1, 500), st.floats(0, 100)), min_size=1, max_size=5))
def test_spirits_alone_are_never_stronger_than_the_strongest(pours):
    # By mass it is a mean, and strength by volume rises with strength by mass.
    glass = mixed([Pour(*pour) for pour in pours])
    assert glass.abv_percent <= max(abv for _, abv in pours) + 1e-6
    assert glass.abv_percent >= min(abv for _, abv in pours) - 1e-6


@LAW
@given(st.floats(0, 100))
def test_strength_by_mass_and_volume_lead_back_to_each_other(abv):
    assert abv_percent_of(mass_fraction_of(abv)) == pytest.approx(abv, abs=1e-8)


@LAW
@given(lines(), st.data())
def test_a_mixture_lies_between_its_parts_but_for_the_heat_of_mixing(of, data):
    warmths = [data.draw(st.floats(-5, 95)) for _ in of]
    warmed = [
        replace(line, substance=replace(line.substance, temp_c=Figure(warmth)))
        for line, warmth in zip(of, warmths, strict=True)
    ]
    together = temp_c(liquid(warmed))
    # The most that spirit and water warm each other; nearly boiling they cool each other.
    strong = any(line.substance.abv and line.substance.abv.value for line in of)
    more_c, less_c = (10.0, 2.0) if strong else (1e-6, 1e-6)
    assert min(warmths) - less_c <= together <= max(warmths) + more_c


@LAW
@given(lines(), st.floats(-5, 15), st.floats(-20, 0))
def test_ice_leaves_a_drink_between_its_own_and_the_ices_cold(of, target, ice):
    before = liquid(of)
    after = step_change(Ice("s", target, ice), before).after
    assert min(target, temp_c(before)) - 1e-6 <= temp_c(after) <= temp_c(before) + 1e-6


@LAW
@given(lines(), st.integers(1, 8), st.integers(1, 40), st.integers(0, 10), st.floats(0, 60))
def test_scaling_up_and_down_returns_the_recipe(of, serves, wanted, spare, loss):
    base = Recipe(of, serves)
    large = scaled_recipe(base, Batch(wanted, spare, loss)).recipe
    shrunk = replace(large, serves=1)
    factor = (wanted + spare) / (1 - loss / 100)
    back = scaled_recipe(replace(shrunk, serves=serves), Batch(serves)).recipe
    per_serve = [line.amount.value * serves / factor for line in back.ingredients]
    assert per_serve == pytest.approx([line.amount.value for line in of])


@LAW
@given(lines(WET))
def test_ounces_and_millilitres_give_the_same_drink(of):
    ounce = Amount(1, "oz").volume_ml
    spoken = tuple(replace(line, amount=Amount(line.amount.value / ounce, "oz")) for line in of)
    one, other = balance(Recipe(of)).batch, balance(Recipe(spoken)).batch
    for name in ("volume_ml", "mass_g", "ethanol_g", "sugar_g", "acid_g", "energy_kcal"):
        assert getattr(one, name).value == pytest.approx(getattr(other, name).value)


@LAW
@given(lines(WET))
def test_weighing_and_measuring_give_the_same_drink(of):
    weighed = tuple(
        replace(line, amount=Amount(mass_g(liquid_of(line.substance, line.amount)), "g"))
        for line in of
    )
    assert liquid(weighed) == pytest.approx(liquid(of), rel=1e-9, abs=1e-9)


@LAW
@given(lines(), st.lists(steps, max_size=3))
def test_likely_lies_between_lowest_and_highest(of, chain):
    named = tuple(replace(step, id=str(place)) for place, step in enumerate(chain))
    found = balance(Recipe(of, 1, named))
    for estimate in vars(found.batch).values():
        if isinstance(estimate, Estimate):
            assert estimate.low - 1e-9 <= estimate.value <= estimate.high + 1e-9


@LAW
@given(lines(most=4), st.integers(2, 9))
def test_serves_share_the_batch_out(of, serves):
    found = balance(Recipe(of, serves))
    assert found.serve.mass_g.value * serves == pytest.approx(found.batch.mass_g.value)
    assert found.serve.brix == found.batch.brix


@LAW
@given(
    st.floats(0, 70),
    st.one_of(
        st.builds(Content, st.floats(0, 35)),
        st.builds(Content, st.floats(0, 60), per=st.just("100 g")),
    ),
)
def test_a_hundred_millilitres_measure_a_hundred(abv, sugar):
    assume(sugar.per == "100 ml" or abv < 30)
    poured = liquid_of(Substance(kind="liqueur", abv=Figure(abv), sugar=sugar), Amount(100, "ml"))
    assert volume_ml(poured) == pytest.approx(100)
    assert abs(poured.extra_ml) < 1e-6


@LAW
@given(st.floats(-5, 95), st.floats(10, 35), st.floats(0.01, 0.1), st.floats(0, 60))
def test_standing_moves_towards_the_room_and_never_past_it(start, room, k, minutes):
    stood = cooled_temp_c(start, room, k, minutes)
    assert min(start, room) - 1e-9 <= stood <= max(start, room) + 1e-9


@LAW
@given(st.floats(40, 95), st.floats(10, 30), st.floats(0.01, 0.1), st.floats(1, 30))
def test_a_fit_returns_the_constant_it_was_made_with(start, room, k, minutes):
    second = Thermometer(minutes, cooled_temp_c(start, room, k, minutes))
    assert fitted_cooling_per_min(Thermometer(0, start), second, room) == pytest.approx(k, rel=1e-6)


@LAW
@given(
    st.floats(-5, 90), st.floats(0, 5), st.floats(15, 30), st.floats(0.02, 0.08),
    st.lists(st.floats(0, 900), min_size=3, max_size=3).map(sorted),
)  # fmt: skip
def test_every_true_course_of_standing_lies_in_the_range(start, off, room, k, times):
    found = stood_temp_c(
        Estimate(start, start - off, start + off), Stand(*times), Figure(room, room - 2, room + 2)
    )
    truth = cooled_temp_c(start + off / 2, room - 1, k, times[1] / 60)
    assert found.low - 1e-9 <= truth <= found.high + 1e-9


@LAW
@given(st.floats(5, 60), st.floats(10, 20), st.floats(1.0, 2.5), st.floats(1.0, 1.6))
def test_a_brew_worked_out_two_ways_is_one_brew(dose, ratio, held, tds):
    forward = brewed(Brew(dose, dose * ratio, held, tds_percent=tds))
    back = brewed(
        Brew(
            water_g=dose * ratio,
            held_g_per_g=held,
            tds_percent=tds,
            extraction_percent=forward.extraction_percent.value,
        )
    )
    assert back.dose_g.value == pytest.approx(dose)
    assert back.beverage_g.value == pytest.approx(forward.beverage_g.value)
