"""One set of drawn slots put through many variants of a plan: common random numbers.

Variants that differ in their order, links or fallbacks meet the same durations, so that even a
small set tells which is better. For figures to show, simulate afresh with many slots.
"""

from dataclasses import dataclass

import numpy as np

from server.domain.risk.draws import Chunk
from server.domain.risk.model import Model
from server.domain.risk.parts import Parts, network_of
from server.domain.risk.simulate import SEED, Simulation, draws_of, run_through
from server.domain.risk.summing import inside_slot
from server.domain.routine.rules import RuleSheet

SLOTS = 8192
"""Drawn slots of a trial: a chance is right within about half a percent."""


@dataclass(frozen=True)
class Score:
    """How good a variant is: the larger, the better, compared from the first to the last.

    The chance to finish inside the slot with all processes ready; where that is the same, fewer
    seconds over the slot and late (as negative figures), then an earlier finish.
    """

    chance_all: float
    shortfall_s: float
    finish_s: float

    def __gt__(self, other: "Score") -> bool:
        # Sums in another order differ in the last digits; that is no improvement.
        for mine, its in (
            (self.chance_all, other.chance_all),
            (self.shortfall_s, other.shortfall_s),
            (self.finish_s, other.finish_s),
        ):
            if abs(mine - its) > 1e-6:
                return mine > its
        return False


class Trials:
    """Drawn slots of a model, kept to try variants on."""

    def __init__(
        self, model: Model, rules: RuleSheet, slots: int = SLOTS, seed: int = SEED
    ) -> None:
        self.model = model
        self.rules = rules
        self._chunks = [
            Chunk(chunk.durations_s.copy(), chunk.strikes) for chunk in draws_of(model, slots, seed)
        ]

    def of(self, parts: Parts) -> Simulation:
        """The slots with the same durations in another order, or with other links."""
        return run_through(network_of(parts), self.model.rows, self._chunks, with_chains=False)

    def chance_inside(self, simulation: Simulation) -> float:
        """The chance to finish inside the slot."""
        return float(inside_slot(simulation.finish_s, self.rules).mean())

    def score(self, simulation: Simulation) -> Score:
        """How good a variant is."""
        inside = inside_slot(simulation.finish_s, self.rules)
        over_s = np.maximum(simulation.finish_s - self.rules.slot_s, 0.0).mean()
        late_s = sum(need.late_s for need in simulation.needs)
        return Score(
            chance_all=float((inside & simulation.all_ready).mean()),
            shortfall_s=-float(over_s) - late_s,
            finish_s=-float(simulation.finish_s.mean()),
        )
