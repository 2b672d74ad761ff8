"""About how many seconds a shorter way saves: by the person's own splits, or by a published table.

The person's own splits tell it where segments with longer ways clearly take longer; otherwise it is
the table of `motions`.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, stdev

from server.domain.prepare.station.travel import Travel

LEAST_SEGMENTS = 6
LEAST_RUNS = 3
CLEARLY = 2.0
"""The splits must grow with the way by so many standard errors, or they say nothing of it."""


@dataclass(frozen=True)
class Saved:
    """What another arrangement saves in a run: the way in cm and about so many seconds.

    `by_splits` says that the person's own splits tell it; `noise_s` is how far the same segments
    lie apart from run to run anyway (standard deviation), None with too few runs.
    """

    cm: float
    seconds: float
    by_splits: bool
    noise_s: float | None

    @property
    def is_noise(self) -> bool:
        """Whether it is less than the runs differ by themselves."""
        return self.noise_s is not None and abs(self.seconds) < self.noise_s


def saved(
    before: Travel, after: Travel, typical_s: dict[str, float], runs_s: Sequence[dict[str, float]]
) -> Saved:
    """What is saved; `typical_s` and `runs_s` hold the splits of segments, by their ids."""
    pairs = [(cm, typical_s[each]) for each, cm in before.by_segment.items() if each in typical_s]
    own = own_s_per_cm(pairs)
    cm = before.all_cm - after.all_cm
    table_s = before.table_s - after.table_s
    changed = [
        each
        for each in before.by_segment
        if abs(before.by_segment[each] - after.by_segment.get(each, 0.0)) > 1
    ]
    sums = [sum(run[each] for each in changed) for run in runs_s if set(changed) <= set(run)]
    noise_s = stdev(sums) if changed and len(sums) >= LEAST_RUNS else None
    return Saved(cm, table_s if own is None else own * cm, own is not None, noise_s)


def own_s_per_cm(pairs: Sequence[tuple[float, float]]) -> float | None:
    """By how much splits grow with the way (least squares); None where they do not clearly."""
    if len(pairs) < LEAST_SEGMENTS:
        return None
    mean_cm, mean_s = (fmean(each) for each in zip(*pairs, strict=True))
    spread = sum((cm - mean_cm) ** 2 for cm, _ in pairs)
    if spread <= 0:
        return None
    slope = sum((cm - mean_cm) * (s - mean_s) for cm, s in pairs) / spread
    rest = sum((s - mean_s - slope * (cm - mean_cm)) ** 2 for cm, s in pairs)
    error = math.sqrt(rest / (len(pairs) - 2) / spread)
    return slope if slope > CLEARLY * error else None
