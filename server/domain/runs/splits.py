"""Splits as a table for a spreadsheet: a row for each segment of each run."""

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime

from server.domain.base.durations import LAST_MS
from server.domain.routine.routine import Routine
from server.domain.runs.summary import RunLine

HEADER = (
    "run", "run_id", "started_utc", "status", "counted", "total_s", "segment", "segment_id",
    "position", "planned_s", "split_s", "end_s", "venue", "tags",
)  # fmt: skip


def split_table(
    routine: Routine, lines: Sequence[RunLine], old_names: dict[str, str]
) -> Iterator[tuple[object, ...]]:
    """The header, then a row per marked segment per run, oldest run first.

    Seconds have three decimals. `position` and `planned_s` are those of the plan as it stands
    now, empty for a segment that is no longer in it.
    """
    yield HEADER
    planned = {segment.id: (n, segment) for n, segment in enumerate(routine.segments, 1)}
    for line in lines:
        for segment_id, end_ms in line.summary.ends_ms.items():
            number, segment = planned.get(segment_id, ("", None))
            name = segment.name if segment else old_names.get(segment_id, "")
            yield (
                text_cell(line.label),
                line.id,
                _instant(line.started_ms),
                line.status,
                "yes" if line.splits_count else "no",
                _seconds(line.total_ms),
                text_cell(name),
                segment_id,
                number,
                "" if segment is None else segment.duration.likely_s,
                _seconds(line.summary.splits_ms.get(segment_id)),
                _seconds(end_ms),
                text_cell(line.occasion.venue),
                text_cell(", ".join(line.occasion.tags)),
            )


def text_cell(text: str) -> str:
    """A text as a spreadsheet takes it: one that looks like a formula would be run."""
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text


def _seconds(ms: int | None) -> str:
    return "" if ms is None else f"{ms / 1000:.3f}"


def _instant(ms: int | None) -> str:
    if ms is None or ms > LAST_MS:
        return ""
    return datetime.fromtimestamp(ms / 1000, UTC).isoformat("T", "seconds")
