"""Everything that the pages about drift are made of, read and worked out once.

Needs NumPy: imported where it is used.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from sqlmodel import Session

from server.domain.drift.analysis import Drift, analyse
from server.domain.drift.pairs import Pair, tagged
from server.domain.drift.run_labels import labels_of
from server.domain.drift.run_table import RunTable, run_table
from server.domain.drift.sessions import day_of
from server.domain.drift.wording import day
from server.domain.risk.next_run import NextRun
from server.domain.routine.rules import RuleSheet
from server.domain.runs.labels import ALONE, WATCHED
from server.domain.runs.summary import RunLine
from server.store.routines import StoredRoutine
from server.store.rule_sheets import load_rule_sheet
from server.store.runs import list_runs, segment_names
from server.web.frame.local_zone import LOCAL
from server.web.frame.telling import told
from server.web.plan.outlook import RISK, Outlooks

PairsOf = Callable[[RunTable], Sequence[Pair]]


@dataclass(frozen=True)
class Span:
    """The days that one asks about, both included; None where it is open."""

    since: date | None = None
    until: date | None = None

    def holds(self, line: RunLine) -> bool:
        """Whether a run was started within it; one without a day is in none that has an end."""
        if self == ALWAYS:
            return True
        day = day_of(line, LOCAL)
        return day is not None and (self.since or day) <= day <= (self.until or day)


ALWAYS = Span()


@dataclass(frozen=True, eq=False)
class DriftReading:
    """A routine's runs, as they are listed and as they were analysed."""

    stored: StoredRoutine
    rules: RuleSheet
    lines: tuple[RunLine, ...]
    """Runs that were started, oldest first."""
    old_names: dict[str, str]
    drift: Drift
    untold: str = ""
    """Why nothing is told of the next run; "" where it is, or was not asked for."""
    ahead: NextRun | None = None
    """The next run as every page tells it; that of `drift` knows the past runs of the span only."""

    @property
    def counted(self) -> list[RunLine]:
        """The runs of the table, in its order."""
        return [line for line in self.lines if line.splits_count]

    def day_name(self, run: int) -> str:
        """A run of the table by its day, as an axis has room for it; its number without one."""
        started = self.drift.table.started[run]
        return f"{started.day} {started:%b}" if started else str(run + 1)

    def run_name(self, run: int) -> str:
        """What a run of the table is called, with its day."""
        table = self.drift.table
        started = table.started[run]
        return table.names[run] + (f" ({day(started)})" if started else "")


def watched_or_alone(table: RunTable) -> list[Pair]:
    """Runs alone against runs before a coach."""
    return [tagged(table, ALONE, WATCHED)]


def read_drift(
    session: Session,
    stored: StoredRoutine,
    outlooks: Outlooks | None = None,
    pairs: PairsOf = watched_or_alone,
    span: Span = ALWAYS,
) -> DriftReading:
    """The runs of a routine and what they say; `pairs` names the groups to hold together.

    With `outlooks` the next run is told of as well, as every other page tells it: from all runs,
    whatever the `span` of days is that all else speaks of.
    """
    routine = stored.routine
    rules = load_rule_sheet(session, routine.rule_sheet_id)
    listed = list_runs(session, routine.id)
    lines = [each for each in listed if each.status != "waiting" and span.holds(each)]
    planned = {segment.id for segment in routine.segments}
    is_retired = any(not planned.issuperset(line.summary.ends_ms) for line in lines)
    old_names = segment_names(session, routine.id) if is_retired else {}
    table = run_table(routine, lines, old_names, zone=LOCAL, labels=labels_of(lines))
    next_run, untold = None, ""
    if outlooks is not None and routine.segments and table.wholes:
        outlook = outlooks.of(session, stored, rules, listed)
        next_run, why = told(RISK, lambda: outlook.next_run)
        untold = outlook.untold or why
    kept = set(table.run_ids)
    ahead = next_run and replace(
        next_run, past=tuple(each for each in next_run.past if each.run_id in kept)
    )
    drift = analyse(table, rules, pairs(table), ahead)
    return DriftReading(stored, rules, tuple(lines), old_names, drift, untold, next_run)
