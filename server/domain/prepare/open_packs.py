"""Packs that keep only so long once they are opened: what is left over goes bad before it is used.

>>> packs_in_a_row(100, 700, runs=8, lasts_runs=4), packs_in_a_row(100, 150, runs=6, lasts_runs=2)
(2, 4)
"""

import math

from server.domain.prepare.packs import DUST


def lasting_runs(opened_days: int | None, days_apart: int, runs: int) -> int:
    """Over how many runs an opened pack keeps: the run it is opened at, and those within its days.

    >>> lasting_runs(3, 1, 8), lasting_runs(3, 2, 8), lasting_runs(0, 1, 8)
    (4, 2, 1)
    """
    if opened_days is None or not days_apart:
        return runs
    return min(runs, opened_days // days_apart + 1)


def packs_in_a_row(per_run: float, content: float, runs: int, lasts_runs: int) -> int:
    """How many packs of one size all runs take, each opened only once the one before is empty.

    What was opened longer ago than it keeps is thrown away; `content` lies above 0.
    """
    count = 0
    opened: list[tuple[int, float]] = []
    for run in range(runs):
        opened = [(at, left) for at, left in opened if run - at < lasts_runs]
        needed = per_run - sum(left for _, left in opened)
        if needed <= DUST:
            opened = _less(opened, per_run)
            continue
        more = math.ceil(needed / content - DUST)
        count += more
        rest = more * content - needed
        opened = [(run, rest)] if rest > DUST else []
    return count


def _less(opened: list[tuple[int, float]], taken: float) -> list[tuple[int, float]]:
    """What is left in the opened packs, the oldest used up first."""
    found = []
    for at, left in opened:
        used = min(left, taken)
        taken -= used
        if left - used > DUST:
            found.append((at, left - used))
    return found
