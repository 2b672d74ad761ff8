"""Wrong codes by the address they come from, where several processes must know of them."""

from dataclasses import dataclass

from sqlmodel import Session, col, delete

from server.store.between.table import WrongTriesRow

FORGOTTEN_AFTER_S = 600.0
"""Long after all tries have come back."""


@dataclass(frozen=True)
class TriedCodes:
    """What an address did: tries spent, when that was so, and when its next turn is."""

    spent: float = 0.0
    since_s: float = 0.0
    turn_s: float = 0.0


def tried_at(session: Session, side: str) -> TriedCodes:
    """What was tried from there lately; `session` writes, so nobody else changes it meanwhile."""
    row = session.get(WrongTriesRow, side)
    return (
        TriedCodes()
        if row is None
        else TriedCodes(row.spent, row.since_ms / 1000, row.turn_ms / 1000)
    )


def keep_tried(session: Session, side: str, tried: TriedCodes) -> None:
    """Keep what was tried from there, and forget what was long ago elsewhere."""
    since_ms = round(tried.since_s * 1000)
    session.merge(
        WrongTriesRow(
            side=side, spent=tried.spent, since_ms=since_ms, turn_ms=round(tried.turn_s * 1000)
        )
    )
    old = col(WrongTriesRow.since_ms) < since_ms - round(FORGOTTEN_AFTER_S * 1000)
    session.exec(delete(WrongTriesRow).where(old))
