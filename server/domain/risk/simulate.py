"""Simulated slots: drawn durations put through a network, and what became of them.

The same rows, network, number of slots and seed give the same answer to the last digit.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from server.domain.belief.scores import Array
from server.domain.risk.activities import Network
from server.domain.risk.draws import Chunk, Draws, rows_of, struck_rows
from server.domain.risk.model import Model
from server.domain.risk.passage import Flags, Met, NetworkPassage
from server.domain.risk.trace import Trace

Waits = npt.NDArray[np.float32]

SEED = 950

TRACED = 8
"""The chains of every eighth chunk are followed: enough for shares and chances of a chain."""


@dataclass(frozen=True, eq=False)
class NeedRecord:
    """What became of a needed process.

    For each slot, whether it was ready in time, and how long its product stood before use (not a
    number where the fallback was taken). `late_s` is how late it was, on average over all slots.
    """

    process_id: str
    in_time: Flags
    waits_s: Waits
    late_s: float


@dataclass(frozen=True, eq=False)
class Simulation:
    """Every simulated slot; `trace` knows the chains of some of them."""

    network: Network
    finish_s: Array
    needs: tuple[NeedRecord, ...]
    trace: Trace

    @property
    def all_ready(self) -> Flags:
        """In which slots every needed process was ready in time."""
        ready = np.ones(len(self.finish_s), dtype=bool)
        for need in self.needs:
            ready &= need.in_time
        return ready


def simulate(model: Model, slots: int, seed: int = SEED, *, with_chains: bool = True) -> Simulation:
    """At least `slots` simulated slots of a model; without chains the trace stays empty."""
    draws = draws_of(model, slots, seed)
    return run_through(model.network, model.rows, draws, with_chains=with_chains)


def draws_of(model: Model, slots: int, seed: int = SEED) -> Draws:
    """The durations that simulating a model draws."""
    return Draws(rows_of(model), slots, seed, struck_rows(model))


def run_through(
    network: Network,
    rows: Mapping[str, int],
    chunks: Iterable[Chunk],
    *,
    with_chains: bool = True,
) -> Simulation:
    """All `chunks` put through a network; without chains the trace stays empty."""
    passage = NetworkPassage(network, rows)
    trace = Trace(len(network.activities))
    finishes: list[Array] = []
    records: dict[str, list[NeedRecord]] = {}
    for number, chunk in enumerate(chunks):
        finish_s = passage.finish(chunk.durations_s)
        finishes.append(finish_s.copy())
        for (position, process), met in passage.met.items():
            process_id = network.activities[process].id
            record = _record(process_id, met, passage.starts[position])
            records.setdefault(process_id, []).append(record)
        if with_chains and number % TRACED == 0:
            trace.follow(passage, chunk, finish_s)
    needs = tuple(_joined(pieces) for pieces in records.values())
    return Simulation(network, np.concatenate(finishes), needs, trace)


def _record(process_id: str, met: Met, start_s: Array) -> NeedRecord:
    waits_s = (start_s - met.ready_s).astype(np.float32)
    if met.late is not None:
        waits_s[met.late] = np.nan
    late_s = np.maximum(met.ready_s - met.arrival_s, 0.0).mean()
    return NeedRecord(process_id, met.in_time, waits_s, float(late_s))


def _joined(pieces: list[NeedRecord]) -> NeedRecord:
    sizes = [len(piece.in_time) for piece in pieces]
    return NeedRecord(
        process_id=pieces[0].process_id,
        in_time=np.concatenate([piece.in_time for piece in pieces]),
        waits_s=np.concatenate([piece.waits_s for piece in pieces]),
        late_s=float(np.average([piece.late_s for piece in pieces], weights=sizes)),
    )
