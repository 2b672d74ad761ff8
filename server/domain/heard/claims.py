"""What the judges heard of each planned claim.

*Heard* is only what stands word for word in the plain transcript, where the script or the grammar
shows that it was said of the drink. *Listen* is what may have been said: a person decides by the
clip. *Not heard* needs a transcript that tells.
"""

from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Literal

from server.domain.claims.due import DueClaim, due_claims
from server.domain.claims.finds import FindKind
from server.domain.claims.ledger import Ledger
from server.domain.claims.rows import Case
from server.domain.heard.alignment import Alignment, Stretch
from server.domain.heard.words import Transcript
from server.domain.routine.routine import Routine

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
    improvised: tuple[Stretch, ...]
    note: str

    def count(self, hearing: Hearing) -> int:
        """How many planned claims were heard, are to be listened to, or were not heard."""
        return sum(each.hearing == hearing for each in self.planned)


def hear_claims(
    routine: Routine, case: Case, ledger: Ledger, transcript: Transcript, alignment: Alignment
) -> HeardClaims:
    """What was heard of the claims of a script: its `case` and its `ledger`."""
    del case, transcript
    planned = tuple(_unheard(each) for each in due_claims(routine, ledger))
    return HeardClaims(planned, (), alignment.improvised, alignment.quality.why)


def with_second_pass(found: HeardClaims, likely_keys: Collection[str]) -> HeardClaims:
    """The same after a second pass thought it heard the claims of these keys.

    It raises *not heard* to *listen*, never to *heard*.
    """
    why = "Only a second pass thinks that it was said."
    return replace(
        found,
        planned=tuple(
            replace(each, hearing="listen", why=why)
            if each.hearing == "not heard" and each.key in likely_keys
            else each
            for each in found.planned
        ),
    )


def _unheard(due: DueClaim) -> HeardClaim:
    return HeardClaim(
        due.key, due.label, "descriptor", due.drink_id,
        due.segment_ids[0] if due.segment_ids else None, "listen", "", is_ticked=True,
    )  # fmt: skip
