"""Whether what is poured goes into its vessel: with the ice it stands over, which takes room too.

Ice that floats takes the room of as much liquid as weighs the same (Archimedes), and so needs no
more of it as it melts; what of it stands above the surface runs over no brim.
"""

from dataclasses import dataclass, replace

from server.domain.base.text import with_capital
from server.domain.glass.balance import Balance
from server.domain.glass.figure_text import in_its_digits
from server.domain.glass.figures import Estimate
from server.domain.glass.liquid import mass_g, volume_ml
from server.domain.routine.drink import Drink
from server.domain.routine.served import StandingServe, ice_beneath_g


@dataclass(frozen=True)
class Brim:
    """That a vessel does not hold its serve, or may not: a sentence, and the same in short."""

    words: str
    short: str


def brim_of(drink: Drink, worked_out: Balance, standing: StandingServe) -> Brim | None:
    """What is wrong with the size of a drink's vessel; None where it holds it, or nobody can tell.

    With ice on record for the glass it is held to all of it, else to what melts until it is drunk.
    """
    vessel = drink.service.vessel
    poured = worked_out.serve.slush_ml or worked_out.serve.volume_ml
    if vessel is None or vessel.holds_ml is None or poured is None:
        return None
    glass = f"the {vessel.name}" if vessel.name else "its glass"
    holds_ml, holds = vessel.holds_ml, f"{vessel.holds_ml:g} ml"
    if poured.low > holds_ml:
        told = _told(poured, holds_ml)
        words = f"{with_capital(told)} do not fit into {glass}: it holds {holds}."
        return Brim(words, f"{told} do not fit into {holds}")
    full = filled_ml(drink, worked_out, standing) or poured
    iced = "" if full.high == poured.high else " with its ice"
    if full.low > holds_ml:
        told = f"{_told(full, holds_ml)}{iced}"
        words = f"{with_capital(told)} run over the brim of {glass}: it holds {holds}."
        return Brim(words, f"{told} run over {holds}")
    if full.high > holds_ml:
        told = f"up to {_above(full.high, holds_ml)} ml{iced}"
        words = f"It may run over the brim of {glass}: {told}, and it holds {holds}."
        return Brim(words, f"{told} may run over {holds}")
    return None


def filled_ml(drink: Drink, worked_out: Balance, standing: StandingServe) -> Estimate | None:
    """How far up a serve comes in its vessel, with the ice that is in it or that it stands over."""
    poured = worked_out.serve.slush_ml or worked_out.serve.volume_ml
    serve, ice_g = worked_out.serve_liquid, ice_beneath_g(worked_out)
    if poured is None or not drink.service.over_ice or mass_g(serve) <= 0:
        return poured
    if ice_g is None:
        return standing.over_ice.volume_ml if standing.over_ice else poured
    ml_per_g = volume_ml(serve) / mass_g(serve)
    return replace(
        poured,
        value=poured.value + ml_per_g * ice_g.value,
        low=poured.low + ml_per_g * ice_g.least,
        high=poured.high + ml_per_g * ice_g.most,
    )


def _told(amount_ml: Estimate, holds_ml: float) -> str:
    bound = f"{amount_ml.bound} " if amount_ml.bound else ""
    told = in_its_digits(amount_ml, 0)
    # Rounded to tens it may read as less than the glass holds.
    shown = told if float(told) > holds_ml else _above(amount_ml.value, holds_ml)
    return f"{bound}{shown} ml"


def _above(amount_ml: float, holds_ml: float) -> str:
    whole = f"{amount_ml:.0f}"
    return whole if float(whole) > holds_ml else f"{amount_ml:.1f}"
