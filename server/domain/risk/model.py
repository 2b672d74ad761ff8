"""Everything a simulated slot is drawn from: network, beliefs, slow days, incidents.

A model is made once from the parts and the runs; what-ifs change its parts and keep what the runs
have taught. Each part keeps its row of random numbers through every change, so that before and
after meet the same luck and differ by the change alone (common random numbers).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from server.domain.risk.belief import Belief, believe
from server.domain.risk.estimate import Estimate
from server.domain.risk.network import Network
from server.domain.risk.parts import Parts, network_of
from server.domain.risk.runs import (
    Correlation,
    Incidents,
    MeasuredRun,
    clean_splits,
    correlation_of,
    incidents_of,
)
from server.domain.risk.times import Schedule, schedule

SPARE_ROWS = 8
"""Rows of random numbers kept for parts that a what-if adds."""


@dataclass(frozen=True)
class Model:
    """What a simulation draws from. `beliefs` and `rows` go by id of segment or process."""

    parts: Parts
    network: Network
    beliefs: Mapping[str, Belief]
    correlation: Correlation
    incidents: Incidents
    rows: Mapping[str, int]
    reserved_rows: int

    @cached_property
    def plan(self) -> Schedule:
        """The schedule at the planned, likely durations."""
        return schedule(self.network, self.parts.likely_s)

    @cached_property
    def expected(self) -> Schedule:
        """The schedule at the medians now believed: where the runs have moved the plan."""
        medians = {each: belief.median_s for each, belief in self.beliefs.items()}
        return schedule(self.network, medians)

    @cached_property
    def estimates(self) -> Mapping[str, Estimate]:
        """Low, likely and high of every part as now believed, by id."""
        return {each: belief.estimate for each, belief in self.beliefs.items()}

    @property
    def assumed(self) -> float:
        """How much of the durations is still assumption, 0 to 1, long segments counting more."""
        weights = {each.id: self.beliefs[each.id].median_s for each in self.parts.segments}
        total_s = sum(weights.values())
        if total_s == 0:
            return 1.0
        shares = (self.beliefs[each].plan_weight * s for each, s in weights.items())
        return sum(shares) / total_s

    def loading(self, part_id: str) -> float:
        """How strongly a part follows the presenter's day: processes and helpers do not."""
        own = any(each.id == part_id and not each.helper for each in self.parts.segments)
        return self.correlation.rho**0.5 if own else 0.0

    def changed(self, parts: Parts) -> "Model":
        """The model of changed parts: beliefs move by as much as the planned times did."""
        before, estimates = self.parts.likely_s, parts.estimates
        beliefs = {
            each: self.beliefs[each].changed_by(estimate.likely_s - before[each])
            if each in self.beliefs and self.beliefs[each].runs
            else believe(estimate)
            for each, estimate in estimates.items()
        }
        return replace(
            self,
            parts=parts,
            network=network_of(parts),
            beliefs=beliefs,
            rows=_rows(self.rows, estimates),
        )


def model_of(parts: Parts, runs: Sequence[MeasuredRun] = (), like: Model | None = None) -> Model:
    """The model of a plan after these runs, the oldest first.

    Parts that `like` has as well keep its rows of random numbers, so that both meet the same luck.

    Raises InvalidInput where parts wait for one another in a circle.
    """
    splits = clean_splits(runs)
    segment_ids = [segment.id for segment in parts.segments]
    estimates = parts.estimates
    rows = _rows({} if like is None else like.rows, estimates)
    return Model(
        parts=parts,
        network=network_of(parts),
        beliefs={each: believe(known, splits.get(each, ())) for each, known in estimates.items()},
        correlation=correlation_of(runs, segment_ids),
        incidents=incidents_of(runs, {each: estimates[each].likely_s for each in segment_ids}),
        rows=rows,
        reserved_rows=len(rows) + SPARE_ROWS if like is None else like.reserved_rows,
    )


def _rows(kept: Mapping[str, int], ids: Mapping[str, object]) -> dict[str, int]:
    """A row for each id: its own where it had one, a new one behind all others where not."""
    rows = {each: kept[each] for each in ids if each in kept}
    following = max(kept.values(), default=-1) + 1
    for each in ids:
        if each not in rows:
            rows[each] = following
            following += 1
    return rows
