"""What goes wrong in runs: how often, in which segment, at what cost.

An incident is one that was noted, or a split so far above the usual that it tells of one.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from server.domain.belief.assumptions import Assumptions
from server.domain.belief.history import Plan, Run

ASSUMED_COSTS_S = (5.0, 10.0, 20.0)
"""Assumption, no source: what an incident costs, each as often, until runs show enough."""

ENOUGH_COSTS = 3
"""Seen costs from which on the assumed ones are left out."""

PLACE_WEIGHT = 3.0
"""Assumption, no source: how many seen incidents the rule "by length" weighs as their place."""

MOST_COSTS = 40
"""The latest costs of incidents that are kept."""


@dataclass(frozen=True)
class Incidents:
    """How often something goes wrong, what it costs, and where.

    The rate per slot is a gamma distribution with `shape` and `runs`: what is left of the
    Jeffreys prior of a Poisson rate, Gamma(1/2, 0), after the runs. Without runs there are none.
    `weights` (id -> weight) say where they happen; `assumed_costs` that too few were seen.
    """

    shape: float = 0.5
    runs: int = 0
    costs_s: tuple[float, ...] = ASSUMED_COSTS_S
    assumed_costs: bool = True
    weights: Mapping[str, float] | None = None

    @property
    def rate(self) -> float:
        """Incidents to be expected in a slot."""
        return self.shape / self.runs if self.runs else 0.0


@dataclass(frozen=True)
class Mishaps:
    """What went wrong so far; `costs_s` and `places` of the latest that are known."""

    count: int = 0
    costs_s: tuple[float, ...] = ()
    places: tuple[str, ...] = ()

    def after(self, run: Run, over_s: Mapping[str, float], odd: Collection[str]) -> "Mishaps":
        """The mishaps after one more run.

        `over_s` (id -> s) is how far each split lay above the usual, `odd` the segments whose
        splits tell of a mishap although none was noted.
        """
        found = [(each, over_s[each]) for each in odd if each not in run.incidents]
        placed = [each for each in run.incidents if each in over_s and each in run.durations_s]
        found += [
            (each, max(over_s[each], 0.0) / run.incidents.count(each))
            for each in placed
            if each is not None
        ]
        unplaced = len(run.incidents) - len(placed)
        if not found and not unplaced:
            return self
        return Mishaps(
            count=self.count + len(found) + unplaced,
            costs_s=(*self.costs_s, *(cost_s for _, cost_s in found))[-MOST_COSTS:],
            places=(*self.places, *(each for each, _ in found))[-MOST_COSTS:],
        )


def strikes(seen: Mishaps, runs: int, known: Assumptions) -> tuple[float, tuple[float, ...]]:
    """The chance that anything goes wrong in a slot, and what it costs in s, each as likely."""
    if not runs:
        return 0.0, ()
    shape, weight = 0.5 + seen.count, runs + known.incident_runs
    # A Poisson count whose rate is Gamma(shape, weight) is none with this chance.
    none = (weight / (weight + 1)) ** shape
    several = shape / weight / (1 - none)
    return 1 - none, tuple(several * each for each in _costs_s(seen))


def incidents_ahead(seen: Mishaps, runs: int, plan: Plan, known: Assumptions) -> Incidents:
    """The incidents that a simulation of `plan` draws from."""
    likely_s = {each: part.estimate.likely_s for each, part in plan.items() if part.own}
    whole_s = sum(likely_s.values()) or 1.0
    return Incidents(
        shape=0.5 + seen.count,
        runs=runs + round(known.incident_runs) if runs else 0,
        costs_s=_costs_s(seen),
        assumed_costs=len(seen.costs_s) < ENOUGH_COSTS,
        weights={
            each: PLACE_WEIGHT * seconds / whole_s + seen.places.count(each)
            for each, seconds in likely_s.items()
        },
    )


def _costs_s(seen: Mishaps) -> tuple[float, ...]:
    if len(seen.costs_s) >= ENOUGH_COSTS:
        return seen.costs_s
    return (*seen.costs_s, *ASSUMED_COSTS_S)
