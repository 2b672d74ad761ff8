"""What is worth saying: every claim tested, and none kept that many looks alone would bring.

Five kinds of claim could come of chance alone: the total moved, segments moved, segments are off
their plan, groups differ, segments go together. Each kind is tested at `ALARM`, within a kind the
false discovery rate is held to it, so that a report on a stable routine makes any such claim at
most about once in twenty. What is said because it stood out tends to be overstated, so intervals
are those of a value that is shown only beyond its cutoff (see `multiplicity`): of the intervals
that are said, 95 % hold the truth, which `tests/domain/drift/test_truth.py` tries.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from server.domain.drift.analysis import Drift, SeriesDrift
from server.domain.drift.groups import Difference
from server.domain.drift.laws import normal_quantile
from server.domain.drift.level import OffPlan, off_plan
from server.domain.drift.looks import LEAST_SHIFT_S, WHOLE, WINDOW_RUNS, FoundChange, Tier
from server.domain.drift.moves import Move, extent
from server.domain.drift.multiplicity import adjusted, chosen_bounds, selected_level
from server.domain.drift.pairs import Pair
from server.domain.drift.wandering import Link, VarianceShare

ALARM = 0.01
CHOSEN_LEVEL = 0.98
"""At which intervals called 95 % are computed: what chooses a segment is not quite the estimate
that is shown of it, which costs the bounds of a chosen value up to three points (simulated)."""

MARK_ERROR_S = 0.1
"""A difference is known no better than this, however equal the times are."""

LEAST_OFF_PLAN_S = 2.0
LEAST_SHARE_RUNS = 20
LEAST_CORRELATION = 0.3


@dataclass(frozen=True)
class Moved:
    """A series whose late times differ from its early ones, and by how much."""

    series: SeriesDrift
    move: Move
    extent: Difference


@dataclass(frozen=True)
class Jump:
    """A series that takes longer or less since run `at`, counted from 0 in the table.

    `shift_s` with the bounds of a 95 % interval; of the runs since it, and of those before it.
    """

    series: SeriesDrift
    at: int
    tier: Tier
    shift_s: float
    low_s: float
    high_s: float
    n_first: int
    n_second: int


@dataclass(frozen=True)
class Off:
    """A segment whose latest runs are off its plan."""

    series: SeriesDrift
    off: OffPlan


@dataclass(frozen=True)
class Apart:
    """A pair of groups whose totals differ."""

    pair: Pair
    difference: Difference


def moved(series: Sequence[SeriesDrift]) -> list[Moved]:
    """The series that have moved of late, the largest shift first."""
    tested = [(each, each.move) for each in series if each.move is not None]
    kept, cut_p = _kept([move.p for _, move in tested])
    found = []
    for each, move in (tested[place] for place in kept):
        told = _as_chosen(extent(move, each.times_s), move.cutoff(cut_p))
        if told is not None and abs(told.shift_s) >= LEAST_SHIFT_S:
            found.append(Moved(each, move, told))
    return sorted(found, key=lambda one: -abs(one.extent.shift_s))


def slopes(drift: Drift) -> list[Moved]:
    """The series that move steadily, the whole routine first, then the largest shift."""
    return [each for each in _all_moved(drift) if each.move.shape == "slope"]


def jumps(drift: Drift) -> list[Jump]:
    """The series that jumped, sure ones first: where a slope is told, it is not told as a jump.

    What `looks` finds counts; a jump that only the series by itself shows is as sure as that.
    """
    told = {each.series.id: each for each in _all_moved(drift)}
    found = {}
    for look in drift.looks.found:
        series = drift.total if look.column == WHOLE else drift.segments[look.column]
        moved_itself = told.get(series.id)
        if moved_itself is None or (moved_itself.move.shape == "jump" and look.tier == "sure"):
            found[series.id] = _as_jump(drift, series, look)
    for key, each in told.items():
        if each.move.shape == "jump" and key not in found:
            found[key] = _itself(each)
    return sorted(found.values(), key=lambda one: (one.tier != "sure", -abs(one.shift_s)))


def _all_moved(drift: Drift) -> list[Moved]:
    return [*moved([drift.total]), *moved(drift.segments)]


def _as_jump(drift: Drift, series: SeriesDrift, look: FoundChange) -> Jump:
    runs = series.runs[series.runs >= drift.table.runs - WINDOW_RUNS]
    before = int((runs < look.at).sum())
    return Jump(
        series, look.at, look.tier, look.shift_s, look.low_s, look.high_s,
        int(runs.size) - before, before,
    )  # fmt: skip


def _itself(found: Moved) -> Jump:
    told = found.extent
    low_s, high_s = told.low_s or 0.0, told.high_s or 0.0
    return Jump(
        found.series, found.move.late_run, "sure", told.shift_s, low_s, high_s,
        told.n_first, told.n_second,
    )  # fmt: skip


def groups_apart(drift: Drift) -> list[Apart]:
    """The pairs of groups whose totals differ, the largest difference first."""
    tested = [
        (each.pair, each.total, each.total.p)
        for each in drift.pairs
        if each.total is not None and each.total.p is not None
    ]
    kept, cut_p = _kept([p for _, _, p in tested])
    found = []
    for pair, total, _ in (tested[place] for place in kept):
        told = _as_chosen(total, normal_quantile(1 - cut_p / 2))
        if told is not None and abs(told.shift_s) >= LEAST_SHIFT_S:
            found.append(Apart(pair, told))
    return sorted(found, key=lambda one: -abs(one.difference.shift_s))


def off_their_plan(drift: Drift) -> list[Off]:
    """The segments whose latest runs are off their plan, the furthest first."""
    tested = [
        (each, each.planned_s, each.off_plan.p)
        for each in drift.segments
        if each.off_plan is not None and each.planned_s is not None
    ]
    kept, _ = _kept([p for _, _, p in tested])
    found = []
    for each, planned_s, _ in (tested[place] for place in kept):
        told = off_plan(each.times_s, planned_s, level=selected_level(len(kept), len(tested)))
        bounded = told is not None and told.low_s is not None and told.high_s is not None
        if told is not None and bounded and abs(told.off_s) >= LEAST_OFF_PLAN_S:
            found.append(Off(each, told))
    return sorted(found, key=lambda one: -abs(one.off.off_s))


def heavy_share(drift: Drift) -> VarianceShare | None:
    """The segment with the largest part of the total's variance, where that part is surely more
    than one and a half times an even one and more than a sixth; None elsewhere."""
    found = drift.together
    if found is None or found.n < LEAST_SHARE_RUNS or not found.shares:
        return None
    largest = max(found.shares, key=lambda share: share.share)
    return largest if largest.low > max(1.5 / len(found.shares), 1 / 6) else None


def strongest_link(drift: Drift) -> Link | None:
    """The two segments that most surely slow down together; None where none do."""
    links = () if drift.together is None else drift.together.links
    sure = [link for link in links if link.p <= ALARM and link.correlation >= LEAST_CORRELATION]
    return max(sure, key=lambda link: link.correlation) if sure else None


def _kept(chances: Sequence[float]) -> tuple[list[int], float]:
    """Which of the tests are kept, and below which chance one of them had to lie for that."""
    kept = [place for place, p in enumerate(adjusted(chances)) if p <= ALARM]
    return kept, ALARM * max(len(kept), 1) / max(len(chances), 1)


def _as_chosen(told: Difference | None, cutoff: float) -> Difference | None:
    """A difference with the bounds of one that is shown because it lay beyond `cutoff`.

    None where these leave its sign in doubt.
    """
    if told is None or told.low_s is None or told.high_s is None:
        return None
    reach = normal_quantile(0.975)
    below_s = max(MARK_ERROR_S, (told.shift_s - told.low_s) / reach)
    above_s = max(MARK_ERROR_S, (told.high_s - told.shift_s) / reach)
    z = told.shift_s / (below_s if told.shift_s > 0 else above_s)
    if abs(z) <= cutoff:
        return None
    low, high = chosen_bounds(round(z, 3), round(cutoff, 3), CHOSEN_LEVEL)
    if low * high <= 0:
        return None
    return replace(
        told,
        low_s=told.shift_s - (z - low) * below_s,
        high_s=told.shift_s + (high - z) * above_s,
    )
