"""What was heard of a claim, as a value."""

from dataclasses import dataclass
from typing import Literal

from server.domain.claims.finds import FindKind
from server.domain.heard.alignment import AlignedStretch

Hearing = Literal["heard", "listen", "not heard"]

HEARINGS: dict[Hearing, str] = {"heard": "Heard", "listen": "Listen", "not heard": "Not heard"}
"""What became of a claim in a recording -> the words for it."""


@dataclass(frozen=True)
class HeardClaim:
    """A claim, what was heard of it, and why that is said.

    `key` is that of its ticks in runs, and `is_ticked` whether it has any: numbers have none.
    `start_s` and `end_s` bound the clip to listen to, None where there is none. `phrase` is what
    was heard there, as it was written down.
    """

    key: str
    label: str
    kind: FindKind
    drink_id: str | None
    segment_id: str | None
    hearing: Hearing
    why: str
    phrase: str = ""
    start_s: float | None = None
    end_s: float | None = None
    is_ticked: bool = False


@dataclass(frozen=True)
class HeardClaims:
    """The planned claims in the order of the script; what was said and not planned; the note."""

    planned: tuple[HeardClaim, ...]
    unplanned: tuple[HeardClaim, ...]
    improvised: tuple[AlignedStretch, ...]
    note: str

    def count(self, hearing: Hearing) -> int:
        """How many planned claims were heard, are to be listened to, or were not heard."""
        return sum(each.hearing == hearing for each in self.planned)
