"""How the pages of the script speak of a claims check: states, badges, ids."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import TYPE_CHECKING

from server.domain.base.errors import NotFound
from server.domain.base.text import LONG_TEXT
from server.domain.claims.backing import STATES
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.web.drinks.checked import checked

if TYPE_CHECKING:
    from server.domain.claims.rows import LedgerRow

UNCHECKED = "unchecked"

STUBS: Mapping[str, str] = {
    "contradicted": "wrong",
    "unbacked": "needs",
    "weakly backed": "holds",
    "unplanned": "extra",
    "unsaid": "unsaid",
    "backed": "holds",
    UNCHECKED: "open",
}
"""State of a claim -> the stub that is drawn for it."""


WORDS: Mapping[str, str] = dict([*STATES.items(), (UNCHECKED, "Can’t check")])
"""State of a claim -> the word for it."""


@dataclass(frozen=True)
class Badge:
    """A state as it is shown: its key, the stub that is drawn for it, and a word."""

    key: str
    stub: str
    word: str

    @property
    def is_wanting(self) -> bool:
        """Whether it is for the person to settle."""
        return self.stub in ("wrong", "needs", "extra", "unsaid")


def with_texts(routine: Routine, texts: Mapping[str, str]) -> Routine:
    """The routine as if these texts (segment id -> text) were saved, but for those too long."""
    fitting = {key: text for key, text in texts.items() if len(text) <= LONG_TEXT}
    segments = (replace(each, said=fitting.get(each.id, each.said)) for each in routine.segments)
    return replace(routine, segments=tuple(segments))


def badge_key(row: "LedgerRow") -> str:
    """Under which state a row is listed: its own, or unchecked."""
    return row.state if row.is_checked or row.state != "unbacked" else UNCHECKED


def badge(key: str) -> Badge:
    """How a state, or "unchecked", is shown."""
    return Badge(key.replace(" ", "-"), STUBS[key], WORDS[key])


PERHAPS = Badge("perhaps", "perhaps", "Perhaps")
"""For what may be no claim: it is asked before anything is held against it."""

AT_ODDS = Badge("at-odds", "needs", "At odds")
"""For a claim that holds by itself, but not beside another that is said of the same drink."""


def badge_of(row: "LedgerRow") -> Badge:
    """The badge of a claim."""
    if row.is_asked:
        return PERHAPS
    key = badge_key(row)
    return AT_ODDS if row.clashes_with and not badge(key).is_wanting else badge(key)


def row_id(row_key: str) -> str:
    """A row's key in a form that fits an address: the same claim keeps it through edits."""
    return f"claim-{sha256(row_key.encode()).hexdigest()[:12]}"


def claim_of(routine: Routine, rules: RuleSheet, claim_id: str) -> "LedgerRow":
    """The claim with that id as things stand. Raises NotFound where it is no longer made."""
    for row in checked(routine, rules).ledger.every:
        if row_id(row.key) == claim_id:
            return row
    raise NotFound("This claim is no longer in the script. Load the page again.")


def sentence_id(segment_id: str, index: int) -> str:
    """The id of a sentence in the script."""
    return f"sentence-{segment_id}-{index}"
