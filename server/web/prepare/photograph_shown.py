"""What the page of the station shows of the photograph of the bar, and what it offers."""

from dataclasses import dataclass

from sqlmodel import Session

from server.domain.base.photographs import MOST_OF_PHOTOGRAPH
from server.store.uploads.photographs import UNDER, Photograph, photograph_of


@dataclass(frozen=True)
class BarPhotograph:
    """The photograph that is kept, and what one may be; `unders` are per cent."""

    kept: Photograph | None
    most_bytes: int = MOST_OF_PHOTOGRAPH
    unders: tuple[int, ...] = UNDER


def bar_photograph(session: Session, routine_id: str) -> BarPhotograph:
    """The photograph of a routine's bar as its page shows it."""
    return BarPhotograph(photograph_of(session, routine_id))
