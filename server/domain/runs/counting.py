"""Whether a run counts: what makes one doubtful, and the one predicate that every figure asks.

A person who was asked has the last word. Where nobody said anything, a run counts unless its marks
speak against it: it took less than half or more than twice the time planned, as one that was only
tapped through or forgotten does, or most of its segments are not marked, as in one broken off.
`static/js/run/counting.js` says the same for the page that asks at the finish;
`tests/doubt_cases.json` holds both to the same answers.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from server.domain.base.durations import LONGEST_MS
from server.domain.runs.run import Status

Doubt = Literal["", "short", "long", "unmarked", "part"]

DOUBTS: dict[Doubt, str] = {
    "short": "under half of the time planned",
    "long": "over twice the time planned",
    "unmarked": "most segments not marked",
    "part": "a part of the plan",
}
"""Why a closed run is taken not to count -> the words for it."""

SHORTEST, LONGEST = 0.5, 2.0
"""Between these multiples of the time planned a run is believed to be one."""


@dataclass(frozen=True)
class Tally:
    """How many runs count, how many others were started, and the total of the last that counts."""

    counted: int = 0
    others: int = 0
    last_ms: int | None = None

    def with_run(self, counts: bool, total_ms: int | None) -> "Tally":
        """The tally after one more run, the latest so far."""
        if not counts:
            return Tally(self.counted, self.others + 1, self.last_ms)
        return Tally(self.counted + 1, self.others, total_ms)


def doubt_of(
    status: Status, total_ms: int | None, ends_ms: Sequence[int | None], planned_s: float
) -> Doubt:
    """What speaks against a closed run of a plan that lasts `planned_s`; "" where nothing does.

    `ends_ms` are the ends of its segments, None where they were not marked.
    """
    if total_ms is None:
        return ""
    # A plan without durations says nothing of how long a run may be.
    is_long = planned_s > 0 and total_ms > LONGEST * 1000 * planned_s
    if status != "finished":
        return "long" if is_long else ""
    unmarked = sum(end_ms is None for end_ms in ends_ms)
    if 2 * unmarked > len(ends_ms):
        return "unmarked"
    if total_ms < SHORTEST * 1000 * planned_s:
        return "short"
    return "long" if is_long else ""


def counts(status: Status, total_ms: int | None, excluded: bool | None, doubt: Doubt) -> bool:
    """Whether a run enters figures; `excluded` is None where the person said nothing of it.

    One of more than a day never does, whoever says so: a clock was wrong. Nor does a part of the
    plan, which is no run of the whole: only its splits count (see `summary`).
    """
    if status != "finished" or total_ms is None or total_ms > LONGEST_MS or doubt == "part":
        return False
    return not doubt if excluded is None else not excluded


def is_broken_off(status: Status, excluded: bool | None, doubt: Doubt) -> bool:
    """Whether a run was an attempt that was broken off, by a press or with most of it unmarked.

    One that the person took out was none, nor one that was forgotten and ended long after, nor a
    part of the plan.
    """
    if excluded or doubt == "part":
        return False
    if status == "abandoned":
        return doubt != "long"
    return excluded is None and doubt == "unmarked"
