"""Where the time went: each slot's critical chain, followed back from its finish.

A finish is the sum of what lies on its chain: durations, incidents, and waiting for a process
until its fallback. What a part adds is how far it is from its own mean while it lies on the
chain; its share of the risk is the covariance of that with the finish over the variance. Where
the plan is one chain, the shares add up to 1. Where chains meet, what is left is the risk that
belongs to no single part: which of the chains happens to be the longest.
"""

from collections.abc import Callable

import numpy as np

from server.domain.belief.scores import Array
from server.domain.risk.draws import Chunk, Strikes
from server.domain.risk.passage import ActivityStep, Flags, Met, NetworkPassage

Mark = Flags | None
"""Which slots have something on their chain; None for no slot."""


class Trace:
    """Sums over all slots followed so far; the last two of `shares` are incidents and waiting."""

    def __init__(self, activities: int) -> None:
        self._slots = 0
        self._on_chain = np.zeros(activities)
        self._sums = np.zeros(activities + 2)
        self._crossed = np.zeros(activities + 2)
        self._finish_sum = 0.0
        self._finish_crossed = 0.0
        self._means_s: Array | None = None
        self._centre_s = 0.0

    def follow(self, passage: NetworkPassage, chunk: Chunk, finish_s: Array) -> None:
        """Follow the chains of a chunk that has just passed."""
        if self._means_s is None:
            self._means_s = chunk.durations_s.mean(axis=1, keepdims=True)
            self._centre_s = float(finish_s.mean())
        around_s = finish_s - self._centre_s
        chains = Chains(passage, finish_s)
        added_s = _added(passage, chunk, chains, self._means_s)
        self._slots += len(finish_s)
        self._on_chain += chains.on.sum(axis=1)
        self._sums += added_s.sum(axis=1)
        self._crossed += added_s @ around_s
        self._finish_sum += float(around_s.sum())
        self._finish_crossed += float(around_s @ around_s)

    @property
    def followed(self) -> bool:
        """Whether any chain was followed."""
        return self._slots > 0

    @property
    def on_chain(self) -> Array:
        """By position of the activity, the chance that it lies on the chain."""
        return self._on_chain / max(self._slots, 1)

    @property
    def shares(self) -> Array:
        """Parts of the variance: of each activity, then of incidents, then of waiting."""
        slots = max(self._slots, 1)
        variance = self._finish_crossed - self._finish_sum**2 / slots
        if variance < 1e-9 * slots:
            return np.zeros_like(self._sums)
        shares: Array = (self._crossed - self._sums * self._finish_sum / slots) / variance
        return shares


class Chains:
    """The critical chains of a chunk.

    `on` tells for each activity (by position) and slot whether the activity lies on the slot's
    chain with its whole duration. `waited_s` is what waiting and fallbacks add to the chain.
    """

    def __init__(self, passage: NetworkPassage, finish_s: Array) -> None:
        self._passage = passage
        self._marks: list[Mark] = [None] * len(passage.steps)
        self._start_marks: list[Mark] = [None] * len(passage.steps)
        self.waited_s = np.zeros(len(finish_s))
        every = np.ones(len(finish_s), dtype=bool)
        last = [(self._marker(self._marks, n), passage.ends[n]) for n in passage.last]
        if last:
            _hand_on(every, finish_s, last)
        for position in reversed(range(len(passage.steps))):
            mark = _either(self._marks[position], self._start_marks[position])
            if mark is not None:
                self._step_back(position, passage.steps[position], mark)
        self.on = np.zeros((len(passage.steps), len(finish_s)), dtype=bool)
        for position, mark in enumerate(self._marks):
            if mark is not None:
                self.on[position] = mark

    def _step_back(self, position: int, step: ActivityStep, mark: Flags) -> None:
        passage = self._passage
        moments = [(self._marker(self._marks, n), passage.ends[n]) for n in step.ends]
        moments += [(self._marker(self._start_marks, n), passage.starts[n]) for n in step.starts]
        if step.needs:
            mark = self._wait(position, step, mark)
        if moments:
            arrival_s = passage.starts[position]
            if step.needs:
                arrival_s = passage.met[position, step.needs[0][0]].arrival_s
            _hand_on(mark, arrival_s, moments)

    def _wait(self, position: int, step: ActivityStep, mark: Flags) -> Flags:
        """Hand chains that waited for a product on to its process; the slots of the others."""
        passage, base_s = self._passage, self._passage.bases[position]
        self.waited_s += mark * (passage.starts[position] - base_s)
        rest = mark
        for process, _ in step.needs:
            met = passage.met[position, process]
            held = rest & (met.release_s == base_s) & (base_s > met.arrival_s)
            rest = rest & ~_by_process(held, met)
            self._marker(self._marks, process)(_by_process(held, met))
            if met.late is not None:
                given_up = held & met.late
                self.waited_s += given_up * (base_s - met.arrival_s)
                base_s = np.where(given_up, met.arrival_s, base_s)
        return rest

    def _marker(self, marks: list[Mark], position: int) -> Callable[[Flags], None]:
        def put(mark: Flags) -> None:
            marks[position] = _either(marks[position], mark)

        return put


def _by_process(held: Flags, met: Met) -> Flags:
    return held if met.late is None else held & ~met.late


def _either(one: Mark, other: Mark) -> Mark:
    if one is None or other is None:
        return other if one is None else one
    return one | other


def _hand_on(
    mark: Flags, moment_s: Array, sources: list[tuple[Callable[[Flags], None], Array]]
) -> None:
    """Give each marked slot to the first source whose moment is the one that counted."""
    *others, (last, _) = sources
    for put, source_s in others:
        hit = mark & (source_s == moment_s)
        put(hit)
        mark = mark & ~hit
    last(mark)


def _added(passage: NetworkPassage, chunk: Chunk, chains: Chains, means_s: Array) -> Array:
    """What each activity adds to each slot's chain; in the last rows incidents and waiting."""
    rows = [step.row for step in passage.steps]
    added_s = np.empty((len(rows) + 2, len(chains.waited_s)))
    np.take(chunk.durations_s, rows, axis=0, out=added_s[:-2], mode="clip")
    added_s[:-2] -= means_s[rows]
    added_s[:-2] *= chains.on
    added_s[-2] = 0.0
    if chunk.strikes is not None:
        _set_apart(chunk.strikes, rows, chains, added_s)
    added_s[-1] = chains.waited_s
    return added_s


def _set_apart(strikes: Strikes, rows: list[int], chains: Chains, added_s: Array) -> None:
    """Move the cost of incidents from the segments they struck to a row of their own."""
    positions = np.zeros(max(rows) + 1, dtype=np.intp)
    positions[rows] = np.arange(len(rows))
    struck = positions[strikes.rows], strikes.slots
    costs_s = strikes.costs_s * chains.on[struck]
    np.subtract.at(added_s, struck, costs_s)
    np.add.at(added_s[-2], strikes.slots, costs_s)
