"""A recipe on its own, without a routine around it: for scaling, comparing, working out."""

from dataclasses import dataclass

from server.domain.base.amounts import Amount
from server.domain.glass.brew import Brew
from server.domain.glass.making import AnyStep
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup


@dataclass(frozen=True)
class RecipeLine:
    """A line of a recipe."""

    id: str
    name: str
    amount: Amount
    substance: Substance | None = None
    brew: Brew | None = None
    syrup: Syrup | None = None
    after_step_id: str | None = None


@dataclass(frozen=True)
class Recipe:
    """Ingredients for so many serves, and what is done to them."""

    ingredients: tuple[RecipeLine, ...]
    serves: int = 1
    steps: tuple[AnyStep, ...] = ()
    part_ml: float | None = None
