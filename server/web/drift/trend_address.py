"""What the address of the trends asks for: a section, a span of days, the form of the goal."""

from dataclasses import dataclass
from datetime import date

from server.domain.base.errors import Fault

SECTIONS = {
    "lost": "Where time is lost",
    "segments": "All segments",
    "figures": "Figures",
    "groups": "Kinds of runs",
    "forecasts": "How good these forecasts were",
    "claims": "Claims",
}
"""What is folded, in the order of its names on the page."""

ALL = "report"
"""Asks for all sections, as they are printed."""


@dataclass(frozen=True)
class AskedOfTrends:
    """The query of the page."""

    edit: str = ""
    goal: str = ""
    open: str = ""
    since: str = ""
    until: str = ""

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Days that are none."""
        faults: list[Fault] = []
        for name, text in (("since", self.since), ("until", self.until)):
            day_from(name, text, faults)
        return tuple(faults)


def day_from(name: str, text: str, faults: list[Fault]) -> date | None:
    """The day in a field; a fault where it is none."""
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        faults.append(Fault(name, "Give a day, for example 2026-11-20."))
        return None
