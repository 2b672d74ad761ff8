"""The figures of a drink that its taste, strength and thickness hang on."""

from math import inf

from server.domain.base.amounts import BAR_MEASURES_ML, PIECES
from server.domain.claims.facts import Makeup, Span
from server.domain.glass.balance import Balance
from server.domain.glass.figures import Estimate
from server.domain.glass.substance import Kind
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.over_ice import OverIce

OTHER_ACIDS: frozenset[Kind] = frozenset({"coffee", "tea", "dairy", "other"})
"""Kinds whose acids no figure here counts: there is at least as much acid as is computed."""

THINLY: frozenset[Kind] = frozenset({"spirit", "water", "ice", "sugar", "acid", "salt", "tea"})
"""Kinds that make a drink no thicker than their sugar does."""


def makeup_of(drink: Drink, worked_out: Balance, over_ice: OverIce | None = None) -> Makeup:
    """Sugar, acid, their ratio and strength of one glass, as far as its parts are known.

    Over ice it grows thinner while it stands: each range reaches from poured to drunk.
    """
    trifles = {part.name for part in drink.ingredients if _is_trifle(part)}
    kinds = {"other" if p.substance is None else p.substance.kind for p in drink.ingredients}
    serve = worked_out.serve
    left = _left(serve.volume_ml, over_ice)
    sugar = _span(serve.sugar_g_per_l, trifles)
    acid = _span(serve.acid_g_per_l, trifles)
    if acid is not None and kinds & OTHER_ACIDS:
        acid = (acid[0], inf)
    return Makeup(
        sugar_g_per_l=_thinned(sugar, left),
        acid_g_per_l=_thinned(acid, left),
        sugar_to_acid=_ratio(sugar, acid),
        abv_percent=_thinned(_span(serve.abv_percent, trifles), left),
        is_clear=kinds <= THINLY,
    )


def _left(volume_ml: Estimate | None, over_ice: OverIce | None) -> float:
    """What the ice that melts under it leaves of a concentration at the least, as a share."""
    if over_ice is None:
        return 1.0
    is_known = volume_ml is not None and over_ice.volume_ml.is_whole
    return volume_ml.value / over_ice.volume_ml.high if volume_ml and is_known else 0.0


def _thinned(span: Span | None, left: float) -> Span | None:
    return None if span is None else (span[0] * min(1.0, left), span[1])


def _is_trifle(part: Ingredient) -> bool:
    """What is too little to change a figure: drops of salt solution, a grated nut, a twist."""
    kind = "other" if part.substance is None else part.substance.kind
    is_small = part.amount.unit in BAR_MEASURES_ML or part.amount.unit in PIECES
    return is_small and kind in ("salt", "garnish", "bitters", "other")


def _span(estimate: Estimate | None, trifles: set[str]) -> Span | None:
    if estimate is None or not set(estimate.lacks) <= trifles:
        return None
    return estimate.low, estimate.high


def _ratio(sugar: Span | None, acid: Span | None) -> Span | None:
    if sugar is None or acid is None:
        return None
    least = sugar[0] / acid[1] if acid[1] > 0 else inf
    return least, sugar[1] / acid[0] if acid[0] > 0 else inf
