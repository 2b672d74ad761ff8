"""What of a drink can hurt although no figure shows it: its parts, its method, its vessel."""

from server.domain.glass.vessel import Vessel
from server.domain.routine.drink import Drink, Service
from server.domain.routine.named_hazards import hazards_of_drink


def codes(vessel):
    return [
        each.code for each in hazards_of_drink(Drink("d", "Mule", 1, (), service=Service(vessel)))
    ]


def test_a_vessel_of_copper_is_told_for_what_is_sour():
    # FDA Food Code 4-101.14: no copper where the pH is below 6.
    assert codes(Vessel("Mug", "copper")) == ["copper"]
    assert codes(Vessel("", "copper")) == ["copper"]
    assert codes(Vessel("Copper mug", "steel")) == ["copper"]


def test_a_lined_mug_or_another_vessel_is_no_hazard():
    assert codes(Vessel("Steel-lined copper mug", "steel")) == []
    assert codes(Vessel("Mug", "stoneware")) == []
    assert codes(None) == []
