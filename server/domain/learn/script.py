"""The sentences of a script as they are learnt: where each stands, its seconds and its claims."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.domain.claims.pace import Paces, costs
from server.domain.learn.thinning import words_of
from server.domain.routine.routine import Routine

if TYPE_CHECKING:
    from server.domain.claims.due import DueClaim


@dataclass(frozen=True)
class LearntSentence:
    """A sentence of a segment; `seconds` at the presenter's pace.

    `claims` are the descriptors it says, by their keys in runs; `is_planned` tells whether one of
    them stands on a card.
    """

    segment_id: str
    index: int
    text: str
    words: tuple[str, ...]
    seconds: float
    claims: tuple[str, ...] = ()
    is_planned: bool = False


def sentences_to_learn(
    routine: Routine, paces: Paces, due: "Sequence[DueClaim]" = ()
) -> tuple[LearntSentence, ...]:
    """Every sentence of the script, in order; each has words (see `tokens.sentences_of`)."""
    claims = _claims_by_sentence(due)
    planned = {each.key for each in due if each.is_planned}
    found = []
    for segment in routine.segments:
        for cost in costs(segment.said, paces.of(segment.id), routine.language):
            text = segment.said[cost.start : cost.end]
            keys = claims.get((segment.id, cost.index), ())
            found.append(
                LearntSentence(
                    segment.id,
                    cost.index,
                    text,
                    words_of(text),
                    cost.seconds,
                    keys,
                    bool(planned & set(keys)),
                )
            )
    return tuple(found)


def _claims_by_sentence(
    due: "Iterable[DueClaim]",
) -> Mapping[tuple[str, int], tuple[str, ...]]:
    found: dict[tuple[str, int], tuple[str, ...]] = {}
    for each in due:
        for place in each.places:
            found[place] = tuple(dict.fromkeys((*found.get(place, ()), each.key)))
    return found
