"""What a person says of a run as a whole: name, notes, occasion, whether it counts, deletion."""

from dataclasses import replace

from sqlmodel import Session

from server.domain.base.errors import NotFound
from server.domain.runs.labels import Occasion
from server.domain.runs.summary import RunSummary
from server.domain.whole.exchange import from_json
from server.store.run_rows import occasion_of, occasion_text
from server.store.runs import live_row, row_of, save_row


def annotate_run(session: Session, run_id: str, label: str, notes: str) -> None:
    """Change what the person wrote about a run. Raises NotFound and Gone."""
    row = live_row(session, run_id)
    row.label, row.notes = label, notes
    save_row(session, row)


def exclude_run(session: Session, run_id: str, excluded: bool | None) -> bool | None:
    """Take a run out of the figures or into them, or leave it to its marks (None).

    Returns what held before. Raises NotFound and Gone.
    """
    row = live_row(session, run_id)
    before, row.excluded = row.excluded, excluded
    save_row(session, row)
    return before


def set_occasion(session: Session, run_id: str, occasion: Occasion) -> None:
    """Change where and how a run was made; what was left out of it stays. Raises NotFound, Gone."""
    row = live_row(session, run_id)
    left_out = occasion_of(row.occasion).left_out
    row.occasion = occasion_text(replace(occasion, left_out=left_out))
    save_row(session, row)


def leave_split_out(session: Session, run_id: str, segment_id: str, *, left_out: bool) -> None:
    """Take a segment's split of a run out of the figures, or into them again.

    The run and its finish count as before. Raises NotFound where there is no such split, and Gone.
    """
    row = live_row(session, run_id)
    if segment_id not in from_json(RunSummary, row.summary).splits_ms:
        raise NotFound("There is no such split in this run.")
    occasion = occasion_of(row.occasion)
    others = tuple(each for each in occasion.left_out if each != segment_id)
    now = (*others, segment_id) if left_out else others
    row.occasion = occasion_text(replace(occasion, left_out=now))
    save_row(session, row)


def delete_run(session: Session, run_id: str, now_ms: int) -> str:
    """Delete a run; returns the id of its routine. Raises NotFound."""
    row = row_of(session, run_id)
    row.deleted_ms = now_ms
    return save_row(session, row)


def restore_run(session: Session, run_id: str) -> str:
    """Bring a deleted run back; returns the id of its routine. Raises NotFound."""
    row = row_of(session, run_id)
    row.deleted_ms = None
    return save_row(session, row)
