"""Everything that the pages about drift are made of, read and worked out once.

Needs NumPy: imported where it is used.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from server.domain.drift.analysis import Drift, analyse
from server.domain.drift.pairs import Pair, tagged
from server.domain.drift.run_labels import labels_of
from server.domain.drift.table import RunTable, run_table
from server.domain.drift.wording import day
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


@dataclass(frozen=True, eq=False)
class Reading:
    """A routine's runs, as they are listed and as they were analysed."""

    stored: StoredRoutine
    rules: RuleSheet
    lines: tuple[RunLine, ...]
    """Runs that were started, oldest first."""
    old_names: dict[str, str]
    drift: Drift
    untold: str = ""
    """Why nothing is told of the next run; "" where it is, or was not asked for."""

    @property
    def counted(self) -> list[RunLine]:
        """The runs of the table, in its order."""
        return [line for line in self.lines if line.splits_count]

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
) -> Reading:
    """The runs of a routine and what they say; `pairs` names the groups to hold together.

    With `outlooks` the next run is told of as well, as every other page tells it.
    """
    routine = stored.routine
    rules = load_rule_sheet(session, routine.rule_sheet_id)
    lines = [line for line in list_runs(session, routine.id) if line.status != "waiting"]
    planned = {segment.id for segment in routine.segments}
    is_retired = any(not planned.issuperset(line.summary.ends_ms) for line in lines)
    old_names = segment_names(session, routine.id) if is_retired else {}
    table = run_table(routine, lines, old_names, zone=LOCAL, labels=labels_of(lines))
    ahead, untold = None, ""
    if outlooks is not None and routine.segments and table.wholes:
        outlook = outlooks.of(session, stored, rules)
        ahead, why = told(RISK, lambda: outlook.next_run)
        untold = outlook.untold or why
    drift = analyse(table, rules, pairs(table), ahead)
    return Reading(stored, rules, tuple(lines), old_names, drift, untold)
