"""Whether a vessel holds what is poured into it, with the ice it stands over."""

import pytest

from server.domain.glass.balance import balance
from server.domain.glass.figures import Figure
from server.domain.glass.steps import Blend
from server.domain.glass.substance import Substance
from server.domain.glass.vessel import Vessel
from server.domain.routine.brim import brim_of
from server.domain.routine.drink import Drink, Service
from server.domain.routine.served import standing_of
from tests.domain.glass.recipes import line, own_line, recipe
from tests.factories import make_segment

SEGMENTS = (make_segment("pour"), make_segment("serve"))
COLD_WATER = own_line("water", "100 ml", Substance(kind="water", temp_c=Figure(0.0)))


def poured(holds_ml, *lines, over_ice=False, steps=(), serves=1, name="tumbler"):
    """A drink in a glass of that size, worked out, and how it stands."""
    vessel = Vessel(name, mass_g=1e-3, temp_c=0.0, holds_ml=holds_ml)
    served = Service(vessel, 20.0, None, "pour", "serve", over_ice)
    drink = Drink("d", "Tide", serves, service=served)
    worked_out = balance(recipe(*lines, steps=steps, serves=serves), over_ice=over_ice)
    return drink, worked_out, standing_of(drink, worked_out, SEGMENTS)


def said(*given, **more):
    found = brim_of(*poured(*given, **more))
    return found.words if found else ""


def over_ice_ml():
    """What a glass of water over ice comes to until it is drunk."""
    return poured(None, COLD_WATER, over_ice=True)[2].over_ice.volume_ml


@pytest.mark.parametrize(
    ("holds_ml", "fits"), [(None, True), (101, True), (100, True), (99, False)]
)
def test_what_is_poured_has_to_go_into_the_glass(holds_ml, fits):
    assert (said(holds_ml, COLD_WATER) == "") == fits


def test_what_does_not_fit_is_told_with_what_the_glass_holds():
    assert said(80, COLD_WATER) == "100 ml do not fit into the tumbler: it holds 80 ml."
    assert said(80, COLD_WATER, name="") == "100 ml do not fit into its glass: it holds 80 ml."


def test_each_glass_gets_its_share():
    assert said(60, COLD_WATER, serves=2) == ""
    assert said(49, COLD_WATER, serves=2).startswith("50 ml do not fit")


# Archimedes: floating ice takes the room of as much water as weighs the same; 1 g of water at 20 °C
# is 1.0018 ml (998.2 g/l, CRC Handbook). 100 ml and 50 g: 150.1 ml.
@pytest.mark.parametrize(("holds_ml", "fits"), [(151, True), (149, False)])
def test_ice_that_it_stands_over_takes_room(holds_ml, fits):
    told = said(holds_ml, COLD_WATER, line("ice", "50 g"), over_ice=True)
    assert told == ("" if fits else
        "150 ml with its ice run over the brim of the tumbler: it holds 149 ml.")  # fmt: skip


def test_ice_that_stays_in_the_shaker_takes_no_room():
    assert said(149, COLD_WATER, line("ice", "50 g")) == ""


def test_without_its_weight_only_the_ice_that_melts_is_counted():
    # 100 ml at 0 °C in a room of 20 °C: some grams melt meanwhile, by the range of the plan.
    over, melted = said(100.5, COLD_WATER, over_ice=True), over_ice_ml()
    assert 100.5 < melted.high < 150
    assert over == (
        f"It may run over the brim of the tumbler: up to {melted.high:.0f} ml with its ice, and it "
        "holds 100.5 ml."
    )
    assert said(melted.high + 1, COLD_WATER, over_ice=True) == ""


def test_what_does_not_fit_never_reads_as_if_it_did():
    # About 104 ml (103 to 120), which are told in tens where nothing else is held to them.
    berry = own_line("berry", "1 piece", Substance(kind="egg", piece_g=Figure(4, 3, 20)))
    told = said(102, COLD_WATER, berry)
    assert told == "About 104 ml do not fit into the tumbler: it holds 102 ml."


def test_a_slush_is_held_to_its_volume_with_the_ice_that_is_left():
    # Ice takes 1.09 ml a gram (0.917 g/ml, IAPWS-06). Of 100 g in 100 ml of water, both at 0 °C,
    # blades and jar melt 36 g at the most (60 J/g of 200 g by 333.55 J/g): 206 to 209 ml, while all
    # of it melted is 200 ml.
    steps = (Blend("b", Figure(100.0), ice_c=0.0),)
    assert said(210, COLD_WATER, steps=steps) == ""
    assert "do not fit" in said(205, COLD_WATER, steps=steps)


def test_what_may_be_more_than_it_holds_may_run_over():
    egg = own_line("egg", "1 piece", Substance(kind="egg", piece_g=Figure(50, 40, 60)))
    told = said(150, COLD_WATER, egg)
    assert told.startswith("It may run over the brim of the tumbler: up to 1")


def test_of_what_is_not_known_the_least_does_not_fit():
    unknown = own_line("mix", "1 piece", Substance(kind="other"))
    assert said(90, COLD_WATER, unknown).startswith("At least 100 ml do not fit")
    assert said(110, COLD_WATER, unknown) == ""
