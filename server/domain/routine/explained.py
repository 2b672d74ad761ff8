"""A figure of a drink explained: its formula, its source, and what it was made of.

The one place that answers "where does this number come from", for the page of drinks and for the
verdicts that rest on its figures.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from server.domain.base.durations import format_clock
from server.domain.base.errors import NotFound
from server.domain.glass.balance import Balance
from server.domain.glass.figure_text import format_figure, told_figure
from server.domain.glass.figures import Estimate
from server.domain.glass.origin import (
    FORMULAS,
    RANGE_MEANS,
    Formula,
    Input,
    Source,
    origin_in_glass,
    said_source,
)
from server.domain.glass.readout import NUMBERS, TotalsNumber
from server.domain.glass.totals import SHARED_OUT
from server.domain.glass.vessel import Vessel
from server.domain.routine.drink import Drink
from server.domain.routine.served import StandingServe

SERVED = {
    "poured_c": (
        TotalsNumber("poured_c", "Temperature when poured", "°C", 0),
        Formula(
            "The drink as mixed, after its vessel has taken or given its share of heat",
            "Energy balance; half of the vessel may lag behind (ours)",
            ("temp_c",),
        ),
    ),
    "drunk_c": (
        TotalsNumber("drunk_c", "Temperature when drunk", "°C", 0),
        Formula(
            "Room + (poured − room) × exp(−k × minutes): Newton's law of cooling",
            "Newton's law; the drink as mixed and poured by energy balance",
            ("temp_c",),
        ),
    ),
}
"""Figures of a drink as it is served."""

_OVER_ICE = Formula(
    "What comes in from room and vessel melts ice instead of warming: it stays between where it "
    "would freeze and how it was poured",
    "Energy balance, melting 333.55 J/g; Newton's law for what the room brings",
    ("temp_c",),
)
_AS_SLUSH = Formula(
    "What comes in from the room melts the ice that is left, at the freezing point of the liquid "
    "between it; then room + (melted − room) × exp(−k × minutes)",
    "Energy balance, melting 333.55 J/g; Newton's law of cooling",
    ("temp_c",),
)


@dataclass(frozen=True)
class Explained:
    """A figure, how it is worked out, and everything that went in."""

    number: TotalsNumber
    value: Estimate | None
    formula: Formula
    inputs: tuple[Input, ...]
    of_all: Estimate | None = None
    """The same of all serves together; None where that is no other, or there is one serve."""

    @property
    def range_means(self) -> str:
        """What a range stands for, said beside it."""
        return RANGE_MEANS

    @property
    def unsure(self) -> tuple[Input, ...]:
        """What went in without a source, or from memory: to be measured first."""
        return tuple(each for each in self.inputs if each.source.is_unsure)


def explained(drink: Drink, worked_out: Balance, standing: StandingServe, name: str) -> Explained:
    """Where a figure of one serve comes from. Raises NotFound for a name that is no figure."""
    if name in SERVED:
        return _served(drink, worked_out, standing, name)
    number = next((each for each in NUMBERS if each.name == name), None)
    if number is None or name not in FORMULAS:
        raise NotFound("There is no such figure.")
    origin = origin_in_glass(worked_out, drink.ingredients, drink.steps, name)
    of_all = getattr(worked_out.batch, name) if name in SHARED_OUT and drink.serves > 1 else None
    one = getattr(worked_out.serve, name)
    return Explained(number, one, origin.formula, origin.inputs, of_all)


def _served(drink: Drink, worked_out: Balance, standing: StandingServe, name: str) -> Explained:
    number, formula = SERVED[name]
    if name == "drunk_c" and (standing.over_ice or standing.slush):
        formula = _OVER_ICE if standing.over_ice else _AS_SLUSH
    mixed = origin_in_glass(worked_out, drink.ingredients, drink.steps, "temp_c")
    value = standing.drunk if name == "drunk_c" else standing.poured
    inputs = [*mixed.inputs, *_of_vessel(drink)]
    if name == "drunk_c":
        inputs += _of_standing(drink, standing)
    return Explained(number, value, formula, tuple(inputs))


def _of_vessel(drink: Drink) -> Iterator[Input]:
    vessel = drink.service.vessel
    name = (vessel.name if vessel else "") or "The vessel"
    if vessel is None or vessel.mass_g is None:
        yield Input(name, "weight", "not known", Source("left out: its heat is not counted", True))
        return
    yield Input(name, "weight", f"{vessel.mass_g:g} g of {vessel.material}", said_source(""))
    if vessel.temp_c is not None:
        yield Input(name, "temperature", f"{vessel.temp_c:g} °C", said_source(""))


def _of_standing(drink: Drink, standing: StandingServe) -> Iterator[Input]:
    vessel = drink.service.vessel or Vessel()
    yield Input(
        "The room",
        "temperature",
        f"{format_figure(drink.service.room)} °C",
        said_source(drink.service.room.source),
    )
    stand = standing.stand
    if stand is not None:
        likely, low, high = (
            format_clock(each) for each in (stand.likely_s, stand.low_s, stand.high_s)
        )
        told = f"{likely} ({low}–{high})"
        yield Input("It stands", "for", told, Source("from the plan's durations", False))
    own = vessel.cooling_per_min
    if own is not None:
        source = said_source(own.source or "fitted from your readings")
        yield Input("Cooling", "k", f"{told_figure(own, 3)} a minute", source)
        return
    usual = standing.cooling
    yield Input(
        "Cooling", "k", f"{told_figure(usual, 2)} a minute",
        Source(f"a wide guess: {usual.source}; take two readings of your own", True),
    )  # fmt: skip
