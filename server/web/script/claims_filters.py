"""What the list of claims can be narrowed to."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from urllib.parse import urlencode

from server.domain.claims.rows import LedgerRow
from server.web.script.check import UNCHECKED

NOTES = {
    "timing": "Said when nobody can taste it",
    "again": "Said more than once",
    "odds": "At odds with another",
}
"""What else a list of claims can be narrowed to -> the words for it."""

ASKED = "perhaps"
SHOWN = {"settle": "to settle", "hold": "hold", UNCHECKED: "can’t check", ASKED: "perhaps"}
"""The tallies of the ledger, each of which narrows it -> the words behind its number."""

NO_DRINK = "none"
"""Stands for "of no drink in particular" among the drinks to choose from."""


@dataclass(frozen=True)
class Filters:
    """What the list is narrowed to; "" for no narrowing."""

    show: str = ""
    drink: str = ""
    kind: str = ""
    note: str = ""

    @classmethod
    def of(cls, query: Mapping[str, str]) -> "Filters":
        """What an address narrows the list to."""
        return cls(*(query.get(each.name, "") for each in fields(cls)))

    def takes(self, row: LedgerRow) -> bool:
        """Whether a row is to be shown."""
        return (
            self.show in ("", tally_of(row))
            and self.drink in ("", row.drink_id or NO_DRINK)
            and self.kind in ("", row.kind)
            and (not self.note or _has_note(row, self.note))
        )

    def query(self, **changes: str) -> str:
        """The address's query with some of them changed; "" where nothing is narrowed."""
        given = {key: value for key, value in vars(replace(self, **changes)).items() if value}
        return f"?{urlencode(given)}" if given else ""

    def opening(self, name: str) -> str:
        """The same query with something open beside the list."""
        given = {key: value for key, value in vars(self).items() if value}
        return f"?{urlencode({**given, 'open': name})}"

    def coming_to(self, claim_id: str) -> str:
        """The same query, a claim of the list under the hand; "" for none."""
        given = {key: value for key, value in vars(self).items() if value}
        coming = {"next": claim_id} if claim_id else {}
        return f"?{urlencode({**given, **coming})}" if given or coming else ""

    @property
    def narrows(self) -> bool:
        """Whether anything is left out."""
        return any(vars(self).values())


def tally_of(row: LedgerRow) -> str:
    """Under which tally a claim counts: a key of SHOWN."""
    if row.is_asked:
        return ASKED
    if row.is_open:
        return "settle"
    return "hold" if row.is_checked else UNCHECKED


def _has_note(row: LedgerRow, note: str) -> bool:
    return {
        "timing": row.is_untimely,
        "again": row.is_repeated,
        "odds": bool(row.clashes_with),
    }.get(note, False)
