"""The vessel a drink is served in, and how it takes and loses heat."""

from dataclasses import dataclass, replace
from itertools import product
from typing import Annotated, Literal

from server.domain.base.documents import Document
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.limits import Between, limit_faults
from server.domain.base.text import Line
from server.domain.glass.figures import Estimate, Figure
from server.domain.glass.heat import MATERIALS_J_PER_GK
from server.domain.glass.liquid import Liquid
from server.domain.glass.steps import TempC

Material = Literal[
    "glass", "porcelain", "stoneware", "steel", "copper", "aluminium", "paper", "plastic"
]

LEAST_SHARE = 0.5
"""Share of a vessel that surely takes the drink's temperature; the rest may lag behind (ours)."""


@dataclass(frozen=True)
class Vessel(Document):
    """A glass or cup. What is not known of it is None and named where it counts."""

    name: Line = ""
    material: Material = "glass"
    mass_g: (
        Annotated[float, Between(0, 10_000, "An empty vessel weighs up to 10,000 g.", above=True)]
        | None
    ) = None
    temp_c: TempC | None = None
    """Preheated or chilled to; None where it stands at room temperature."""
    cooling_per_min: Figure | None = None
    """Newton's constant, fitted from the person's own readings."""
    holds_ml: (
        Annotated[float, Between(0, 10_000, "A vessel holds up to 10,000 ml.", above=True)] | None
    ) = None
    """What goes into it up to the brim."""

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        faults = limit_faults(self, temp_c="vessel_c", cooling_per_min="cooling")
        if self.material not in MATERIALS_J_PER_GK:
            faults.append(Fault("material", "Choose a material from the list."))
        k = self.cooling_per_min
        if k is not None and not (k.least > 0 and k.most <= 2):
            faults.append(Fault("cooling", "A cooling constant lies above 0, up to 2/min."))
        return faults


def vessel_j_per_k(vessel: Vessel) -> Figure | None:
    """Heat that takes a vessel up by one degree, of all of it and of what surely takes part."""
    if vessel.mass_g is None:
        return None
    whole = vessel.mass_g * MATERIALS_J_PER_GK[vessel.material]
    return Figure(whole, LEAST_SHARE * whole, whole)


def poured_temp_c(
    drink: Liquid, own: Estimate | None, vessel: Vessel, room: Figure
) -> Estimate | None:
    """Temperature of a drink of its own temperature once its vessel has taken its share of heat.

    Energy balance with the whole vessel; the other end of the range has half of it lag behind.
    None where the drink's own temperature is not known.
    """
    if own is None or drink.heat_j_per_k <= 0:
        return None
    if vessel.mass_g is None:
        lacks = (*own.lacks, vessel.name or "the vessel")
        return replace(own, lacks=lacks, is_open=True)
    whole_j_per_k = vessel.mass_g * MATERIALS_J_PER_GK[vessel.material]
    starts = (room.least, room.most) if vessel.temp_c is None else (vessel.temp_c,)
    likely_start_c = room.value if vessel.temp_c is None else vessel.temp_c
    likely = _shared_c(drink, own.value, whole_j_per_k, likely_start_c)
    corners = product((own.low, own.high), (whole_j_per_k, LEAST_SHARE * whole_j_per_k), starts)
    ends = [likely, *(_shared_c(drink, *corner) for corner in corners)]
    return replace(own, value=likely, low=min(ends), high=max(ends))


def _shared_c(drink: Liquid, own_c: float, vessel_j_per_k: float, vessel_c: float) -> float:
    heat_j = drink.heat_j_per_k * own_c + vessel_j_per_k * vessel_c
    return heat_j / (drink.heat_j_per_k + vessel_j_per_k)
