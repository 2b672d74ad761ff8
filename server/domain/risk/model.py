"""Everything a simulated slot is drawn from: network, beliefs, incidents.

A model is made once from the parts and the runs; what-ifs change its parts and keep what the runs
have taught (`server.domain.belief`), so that nothing is folded in again. Each part keeps its row
of random numbers through every change, so that before and after meet the same luck and differ by
the change alone (common random numbers).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from server.domain.belief.history import Run
from server.domain.belief.mishaps import Incidents
from server.domain.risk.activities import Network
from server.domain.risk.parts import Parts, network_of, plan_of, waits_as
from server.domain.risk.times import Schedule, schedule
from server.domain.routine.estimate import TimeEstimate

if TYPE_CHECKING:
    from server.domain.belief.believe import Belief, PartBelief
    from server.domain.belief.practised import Practised

# The belief needs NumPy: imported where it is used, so that the server starts without it.

SPARE_ROWS = 8
"""Rows of random numbers kept for parts that a what-if adds."""


@dataclass(frozen=True)
class Model:
    """What a simulation draws from. `beliefs` and `rows` go by id of segment or process.

    `told` is what is believed of the plan; `practised` what the runs have left behind, of which
    any other plan can be told; `now_ms` the moment that it is told for.
    """

    parts: Parts
    network: Network
    told: "Belief"
    practised: "Practised"
    rows: Mapping[str, int]
    reserved_rows: int
    now_ms: int | None = None

    @property
    def beliefs(self) -> "Mapping[str, PartBelief]":
        """What is believed of each part, by id."""
        return self.told.parts

    @property
    def incidents(self) -> Incidents:
        """What may go wrong."""
        return self.told.incidents

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
    def estimates(self) -> Mapping[str, TimeEstimate]:
        """Low, likely and high of every part as now believed, by id."""
        return {each: belief.estimate for each, belief in self.beliefs.items()}

    def changed(self, parts: Parts) -> "Model":
        """The model of changed parts, as it will be once they are saved; the luck is kept."""
        from server.domain.belief.believe import belief_of

        return replace(
            self,
            parts=parts,
            network=self.network if waits_as(parts, self.parts) else network_of(parts),
            told=belief_of(self.practised.state, plan_of(parts), self.now_ms),
            rows=_rows(self.rows, parts.estimates),
        )


def model_of(
    parts: Parts,
    runs: Sequence[Run] = (),
    now_ms: int | None = None,
    before: "Practised | None" = None,
) -> Model:
    """The model of a plan after these runs; `now_ms` tells how long the last of them is ago.

    Of runs that `before` has seen nothing is worked out again. Raises InvalidInput where parts wait
    for one another in a circle.
    """
    from server.domain.belief.believe import belief_of
    from server.domain.belief.practised import practised

    plan = plan_of(parts)
    network = network_of(parts)
    folded = practised(runs, plan, before)
    rows = _rows({}, parts.estimates)
    return Model(
        parts=parts,
        network=network,
        told=belief_of(folded.state, plan, now_ms),
        practised=folded,
        rows=rows,
        reserved_rows=len(rows) + SPARE_ROWS,
        now_ms=now_ms,
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
