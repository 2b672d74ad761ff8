"""What the person says of a run beside its marks."""

from dataclasses import dataclass
from typing import Annotated

from server.domain.base.documents import Document
from server.domain.base.errors import Fault
from server.domain.base.ids import Id
from server.domain.base.limits import AtMost, Length, limit_faults
from server.domain.base.text import Line

USUAL_TAGS = ("alone", "coach", "dress rehearsal", "travel kit")
"""Tags that are offered before anybody has written one."""

ALONE, WATCHED = "alone", "coach"

LONGEST_TAG = 40
MOST_LEFT_OUT = 500
MOST_TAGS = 12

Tag = Annotated[str, Length(LONGEST_TAG, required=True)]


@dataclass(frozen=True)
class Occasion(Document):
    """Where a run was made, what kind of run it was, and which of its splits shall not count.

    `left_out` holds the segments whose split was odd, as the person says: no figure of a segment is
    made of it, while the run and its finish count as they do.
    """

    venue: Line = ""
    tags: Annotated[tuple[Tag, ...], AtMost(MOST_TAGS, "Keep it to {} tags a run.")] = ()
    left_out: Annotated[
        tuple[Id, ...], AtMost(MOST_LEFT_OUT, "Leave out {} splits of a run at most.")
    ] = ()


NOTHING_SAID = Occasion()


def occasion_faults(occasion: Occasion) -> list[Fault]:
    """What is wrong with an occasion, on the fields `venue` and `tags`; empty when nothing is."""
    faults = limit_faults(occasion)
    if any(len(tag) > LONGEST_TAG for tag in occasion.tags):
        faults.append(Fault("tags", f"Keep a tag to {LONGEST_TAG} characters."))
    return faults


@dataclass(frozen=True)
class RunLabels:
    """Where a run was made and what kind it was; `claims_said` is None while unknown."""

    venue: str = ""
    tags: frozenset[str] = frozenset()
    claims_said: bool | None = None
