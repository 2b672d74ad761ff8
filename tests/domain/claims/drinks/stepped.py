"""Drinks of the other writers, with the steps and temperatures that recipes there leave out."""

from dataclasses import replace

from server.domain.glass.figures import Figure
from server.domain.glass.steps import Agitate, Bring, Filter, Rest
from server.domain.routine.ahead import Ahead
from server.domain.routine.drink import Service

_CURD = Filter("filter", loss_percent=Figure(12.0), curd=True)

_MADE = {
    "loft_pigeon": ((Agitate("shake", "shake", Figure(30.0)),), 4.0),
    "loft_boiler": ((Bring("heat", "heat", 70.0), Rest("rest", Figure(4.0))), 62.0),
    "loft_rafter": ((Rest("rest", Figure(40.0)), _CURD, Bring("chill", "chill", 5.0)), 6.0),
    "ferry_ballast": ((Rest("rest", Figure(90.0)), _CURD, Bring("chill", "chill", 4.0)), None),
    "ferry_keel": ((Agitate("stir", "stir", Figure(22.0)),), -4.0),
    "ferry_first": ((Agitate("stir", "stir", Figure(25.0)),), 3.0),
    "almanac": ((Agitate("stir", "stir", Figure(20.0)),), -2.0),
    "quay": ((Agitate("shake", "shake", Figure(28.0)),), 5.0),
    "hayloft": ((Rest("rest", Figure(15.0)), Agitate("stir", "stir")), None),
    "terrace": ((Rest("rest", Figure(2.0)), Agitate("shake", "shake")), None),
    "windfall": ((Bring("chill", "chill", 3.0), Rest("rest", Figure(30.0))), None),
    "court_clay": ((), 64.0),
    "greenhouse": ((), 8.0),
    "court_umpire": ((), 7.0),
}
"""Id of a drink -> its steps, and the temperature that is named."""

_STEEPED = {"cream": Ahead(steeped_h=12.0, steeped_c=4.0)}
"""The hay cream's infusion."""


def stepped(drinks):
    """Each of these drinks with its steps and the temperature that it is served at."""
    found = []
    for drink in drinks:
        if drink.id in _MADE:
            steps, stated_c = _MADE[drink.id]
            parts = drink.ingredients
            if drink.id == "hayloft":
                parts = tuple(replace(one, ahead=_STEEPED.get(one.id, one.ahead)) for one in parts)
            found.append(
                replace(
                    drink,
                    id=f"stepped_{drink.id}",
                    ingredients=parts,
                    steps=steps,
                    service=Service(stated_c=stated_c),
                )
            )
    return tuple(found)
