"""Runs as rows of their table: what is kept of one, both ways."""

from dataclasses import replace
from functools import lru_cache
from typing import Any

from server.domain.runs.about import About, taken_over
from server.domain.runs.events import Event
from server.domain.runs.labels import NOTHING_SAID, Occasion
from server.domain.runs.moment import moment_ms
from server.domain.runs.summary import RunLine, RunSummary
from server.domain.whole.exchange import RunRecord, to_json
from server.store.readable import readable
from server.store.tables import RunRow

LINE_COLUMNS: tuple[Any, ...] = (
    RunRow.id, RunRow.label, RunRow.notes, RunRow.source, RunRow.excluded, RunRow.status,
    RunRow.created_ms, RunRow.started_ms, RunRow.total_ms, RunRow.summary, RunRow.occasion,
    RunRow.doubt,
)  # fmt: skip
"""What a `RunLine` is made of."""

_LINE_NAMES = tuple(each.key for each in LINE_COLUMNS)

LINES_KEPT = 2_048
"""About 10 KB each where runs have 40 segments."""


def new_row(routine_id: str, record: RunRecord) -> RunRow:
    """The row of a run without its events, from which the rest is derived."""
    return RunRow(**columns_of(routine_id, record), summary=to_json(RunSummary({}, {})))


def columns_of(routine_id: str, record: RunRecord) -> dict[str, Any]:
    """The columns of a run that its record says; the rest is derived from its events."""
    return {
        "id": record.id,
        "routine_id": routine_id,
        "plan_key": record.plan_key,
        "created_ms": record.created_ms,
        "source": record.source,
        "label": record.label,
        "notes": record.notes,
        "excluded": record.excluded,
        "occasion": occasion_text(record.occasion),
    }


def record_of(row: RunRow, events: tuple[Event, ...]) -> RunRecord:
    """The run of a row with its events."""
    return RunRecord(
        id=row.id,
        plan_key=row.plan_key,
        created_ms=row.created_ms,
        source=row.source,  # type: ignore[arg-type]
        label=row.label,
        notes=row.notes,
        excluded=row.excluded,
        occasion=occasion_of(row.occasion),
        events=events,
    )


@lru_cache(maxsize=LINES_KEPT)
def line_of(values: tuple[Any, ...]) -> RunLine:
    """The line of a list from `LINE_COLUMNS`, in their order; what is equal is read once.

    The same columns give the same object, so that whoever makes something of a line tells at once
    that it still stands.
    """
    columns: dict[str, Any] = dict(zip(_LINE_NAMES, values, strict=True))
    summary = readable(RunSummary, columns["summary"]) or RunSummary({}, {})
    occasion = occasion_of(columns["occasion"])
    if occasion.left_out:
        summary = summary.without(occasion.left_out)
    started_ms = columns["started_ms"]
    if started_ms is not None:
        started_ms = moment_ms(columns["source"], started_ms, columns["created_ms"])
    derived = {"summary": summary, "occasion": occasion, "started_ms": started_ms}
    return RunLine(**{**columns, **derived})


def line_of_row(row: RunRow) -> RunLine:
    """The line of a list from a row that is read already."""
    return line_of(tuple(getattr(row, name) for name in _LINE_NAMES))


def take_over(row: RunRow, before: About, now: About) -> None:
    """Write into a row what its log now says of the run, where it said `before` until now."""
    occasion = occasion_of(row.occasion)
    kept = About(row.excluded, row.label, occasion.venue, row.notes)
    taken = taken_over(kept, before, now)
    row.excluded, row.label, row.notes = taken.excluded, taken.label, taken.notes
    row.occasion = occasion_text(replace(occasion, venue=taken.venue))


def occasion_text(occasion: Occasion) -> str | None:
    """Where and how a run was made as the text of a column; None where nothing was said."""
    return None if occasion == NOTHING_SAID else to_json(occasion)


@lru_cache(maxsize=1024)
def occasion_of(text: str | None) -> Occasion:
    """The occasion in a column."""
    # Hundreds of runs share a few occasions.
    return (None if text is None else readable(Occasion, text)) or NOTHING_SAID
