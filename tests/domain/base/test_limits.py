import json
from dataclasses import dataclass
from math import nan
from typing import Annotated

import pytest
from pydantic import TypeAdapter, ValidationError

from server.domain.base.limits import AtMost, Between, Length, limit_faults


@dataclass(frozen=True)
class Tray:
    """A value with each kind of limit."""

    width_cm: Annotated[float, Between(0, 60, "Too wide.", above=True)] = 40.0
    glasses: Annotated[tuple[str, ...], AtMost(2, "At most {} fit.")] = ()
    name: Annotated[str, Length(5, required=True)] = "Oak"
    room_c: Annotated[float, Between(-20, 60, "No room.")] | None = None


EDGES = [
    ({"width_cm": 60.0, "room_c": -20.0, "glasses": ("a", "b"), "name": "Alder"}, set()),
    ({"width_cm": 0.0}, {"width_cm"}),
    ({"width_cm": 60.001, "room_c": 60.001}, {"width_cm", "room_c"}),
    ({"glasses": ("a", "b", "c")}, {"glasses"}),
    ({"name": "Poplar"}, {"name"}),
    ({"name": ""}, {"name"}),
]


@pytest.mark.parametrize(("given", "refused"), EDGES)
def test_a_built_value_and_a_file_are_held_to_the_same_limits(given, refused):
    assert {fault.field for fault in limit_faults(Tray(**given))} == refused
    try:
        TypeAdapter(Tray).validate_json(json.dumps(given))
        in_file = set()
    except ValidationError as error:
        in_file = {problem["loc"][0] for problem in error.errors()}
    assert in_file == refused


def test_not_a_number_lies_in_no_limits():
    assert [each.field for each in limit_faults(Tray(width_cm=nan))] == ["width_cm"]


def test_a_fault_names_the_field_of_the_form_and_how_many_fit():
    fault = limit_faults(Tray(glasses=("a", "b", "c")), glasses="glass")[0]
    assert (fault.field, fault.message) == ("glass", "At most 2 fit.")
