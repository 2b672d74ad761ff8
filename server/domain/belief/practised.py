"""The state that runs have left behind, kept so that little is folded in anew after a change."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import takewhile

from server.domain.belief.believe import state_after
from server.domain.belief.history import Plan, Run, in_order
from server.domain.belief.state import State, started

STEP = 5
"""A state is kept after every so many runs, some KB each."""


@dataclass(frozen=True, eq=False)
class Practised:
    """The state that runs have left behind, the oldest first, and the plan it started with.

    `steps` are the states after every STEP runs: where a late run is changed or taken out, only
    the runs from the step before it are folded in anew.
    """

    plan: Plan
    runs: tuple[Run, ...]
    state: State
    steps: tuple[State, ...] = ()

    def before_difference(self, plan: Plan, runs: Sequence[Run]) -> "Practised | None":
        """As it was before anything that differs from these runs; None for another plan."""
        # The rows of a state stand in the order of its plan.
        if list(self.plan.items()) != list(plan.items()):
            return None
        alike = takewhile(lambda pair: pair[0] == pair[1], zip(self.runs, runs, strict=False))
        same = sum(1 for _ in alike)
        if same == len(self.runs):
            return self
        steps = self.steps[: same // STEP]
        runs_of_steps = self.runs[: len(steps) * STEP]
        return Practised(plan, runs_of_steps, steps[-1], steps) if steps else None


def practised(history: Sequence[Run], plan: Plan, before: Practised | None = None) -> Practised:
    """All runs of `history` folded in; of those that `before` has seen only what differs, and what
    comes after it.

    The state is the same either way, to the last digit.
    """
    runs = tuple(in_order(history))
    known = before and before.before_difference(plan, runs)
    known = known or Practised(plan, (), started(plan))
    state, steps, at = known.state, list(known.steps), len(known.runs)
    while at < len(runs):
        until = min(at - at % STEP + STEP, len(runs))
        state, at = state_after(runs[at:until], plan, before=state), until
        if at % STEP == 0:
            steps.append(state)
    return Practised(plan, runs, state, tuple(steps))
