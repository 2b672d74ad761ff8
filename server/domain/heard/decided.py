"""What a person decided of a take: boundaries that were moved, and claims that were listened to.

Times are in ms of the take's own clock, that of the sound or of the captions.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Annotated, TypeVar

from pydantic import Field

from server.domain.base.documents import Document
from server.domain.base.durations import HOUR_MS
from server.domain.base.errors import InvalidInput
from server.domain.runs.events import Verdict

V = TypeVar("V")

START, FINISH = "start", "finish"
"""Names of the boundaries that are no segment's start."""

LONGEST_TAKE_MS = 4 * HOUR_MS
"""Beyond four hours no recording is one of a slot."""

TakeMs = Annotated[int, Field(ge=0, le=LONGEST_TAKE_MS)]


@dataclass(frozen=True)
class Decided(Document):
    """`at_ms` maps START, FINISH and ids of segments to where the person put that boundary."""

    at_ms: dict[str, TakeMs] = field(default_factory=dict)
    claims: dict[str, Verdict] = field(default_factory=dict)

    def moved(self, boundary: str, at_ms: int | None) -> "Decided":
        """The same with a boundary at `at_ms`, or where it was heard for None.

        Raises InvalidInput on the field "at" for a moment that no take has.
        """
        if at_ms is not None and not 0 <= at_ms <= LONGEST_TAKE_MS:
            raise InvalidInput.of("at", "Give a moment of the recording, such as 1:31.2.")
        return replace(self, at_ms=_with(self.at_ms, boundary, at_ms))

    def listened(self, claim: str, verdict: Verdict | None) -> "Decided":
        """The same with what the person says of a claim; None leaves it as it was found."""
        return replace(self, claims=_with(self.claims, claim, verdict))


def _with(held: Mapping[str, V], key: str, value: V | None) -> dict[str, V]:
    others = {each: kept for each, kept in held.items() if each != key}
    return others if value is None else others | {key: value}
