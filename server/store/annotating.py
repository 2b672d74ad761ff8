"""What a person says of a run as a whole: name, notes, occasion, whether it counts, deletion."""

from sqlmodel import Session

from server.domain.runs.labels import Occasion
from server.store.run_rows import occasion_text
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
    """Change where and how a run was made. Raises NotFound and Gone."""
    row = live_row(session, run_id)
    row.occasion = occasion_text(occasion)
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
