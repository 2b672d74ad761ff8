"""Sessions: the runs of one day at one venue, with what they came to."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from statistics import median

from server.domain.base.durations import LAST_MS
from server.domain.runs.summary import RunLine


@dataclass(frozen=True)
class Session:
    """The runs of one day at one venue, in the order they were started.

    `day` is None for runs whose clock said nothing that can be a date. Times are those of runs
    that count, in ms; None where there are none.
    """

    day: date | None
    venue: str
    runs: tuple[RunLine, ...]

    @property
    def tags(self) -> tuple[str, ...]:
        """Every tag of its runs, each once."""
        return tuple(dict.fromkeys(tag for line in self.runs for tag in line.occasion.tags))

    @property
    def totals_ms(self) -> tuple[int, ...]:
        """Totals of the runs that count."""
        return tuple(line.total_ms for line in self.runs if line.counts and line.total_ms)

    @property
    def best_ms(self) -> int | None:
        """The shortest total."""
        return min(self.totals_ms, default=None)

    @property
    def median_ms(self) -> float | None:
        """The middle total."""
        return median(self.totals_ms) if self.totals_ms else None

    @property
    def first_ms(self) -> int | None:
        """The total of the first of its runs that count."""
        return next((line.total_ms for line in self.runs if line.counts), None)

    @property
    def incidents(self) -> int:
        """How many things went wrong in the runs that count."""
        return sum(len(line.summary.incidents) for line in self.runs if line.counts)

    def inside(self, slot_s: float) -> int:
        """How many of the runs that count ended within a slot."""
        return sum(total_ms <= slot_s * 1000 for total_ms in self.totals_ms)


def sessions(lines: Sequence[RunLine], zone: tzinfo) -> tuple[Session, ...]:
    """The sessions of `lines`, latest day first, without runs still open."""
    found: dict[tuple[date | None, str], list[RunLine]] = {}
    for line in lines:
        if line.status not in ("waiting", "running"):
            found.setdefault((day_of(line, zone), line.occasion.venue), []).append(line)
    made = [Session(day, venue, tuple(runs)) for (day, venue), runs in found.items()]
    return tuple(sorted(made, key=lambda each: each.day or date.min, reverse=True))


def day_of(line: RunLine, zone: tzinfo) -> date | None:
    """The day on which a run was started, where that is known."""
    started = started_at(line, zone)
    return None if started is None else started.date()


def started_at(line: RunLine, zone: tzinfo) -> datetime | None:
    """When a run was started; None where its clock said nothing that can be a date."""
    if line.started_ms is None or not 0 <= line.started_ms <= LAST_MS:
        return None
    return datetime.fromtimestamp(line.started_ms / 1000, zone)
