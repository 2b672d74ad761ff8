"""What is remarked of a run beside its marks: claims heard or missed, calls, points given.

Remarks move no clock and end nothing. They come from a watcher on another device, or from someone
who ticks claims on the presenter's own. The browser's mirror is `static/js/run/remarks.js`.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TypeVar

from server.domain.runs.events import Event, Verdict


@dataclass(frozen=True)
class OtherWord:
    """What somebody else last ticked of a claim, where it is another verdict."""

    who: str
    verdict: Verdict


@dataclass(frozen=True)
class ClaimState:
    """What became of a claim: of several words on it the latest holds.

    `against` is what was last ticked on other devices, where that is something else.
    """

    id: str
    claim: str
    verdict: Verdict
    elapsed_ms: int
    segment_id: str | None
    who: str
    against: tuple[OtherWord, ...] = ()


@dataclass(frozen=True)
class CallState:
    """Something that a watcher called out to the presenter."""

    id: str
    elapsed_ms: int
    text: str
    who: str


@dataclass(frozen=True)
class ScoreState:
    """Points that one watcher gave for a criterion; the last ones given on that device hold."""

    id: str
    criterion: str
    points: float
    device_id: str
    who: str


class Remarks:
    """The remarks of a run while its log is read."""

    def __init__(self) -> None:
        # Of each claim and each criterion, by device, the latest word and its place.
        self._claims: dict[tuple[str, str], tuple[tuple[int, int, str], ClaimState]] = {}
        self._calls: list[CallState] = []
        self._scores: dict[tuple[str, str], tuple[tuple[int, str], ScoreState]] = {}

    def take(self, event: Event, at_ms: int) -> None:
        """Take a remark; any other event is left alone."""
        who = event.who or ""
        if event.kind == "claim" and event.claim is not None and event.verdict is not None:
            state = ClaimState(event.id, event.claim, event.verdict, at_ms, event.segment_id, who)
            of_device = event.claim, event.device_id
            _keep_later(self._claims, of_device, (at_ms, event.seq, event.id), state)
        elif event.kind == "call":
            self._calls.append(CallState(event.id, at_ms, event.text or "", who))
        elif event.kind == "score" and event.criterion is not None and event.points is not None:
            given = ScoreState(event.id, event.criterion, event.points, event.device_id, who)
            key = event.criterion, event.device_id
            _keep_later(self._scores, key, (event.seq, event.id), given)

    def claims(self) -> tuple[ClaimState, ...]:
        """One state a claim, in the order in which claims were last ticked."""
        latest: dict[str, ClaimState] = {}
        words: dict[str, list[OtherWord]] = {}
        for _, state in sorted(self._claims.values(), key=_place):
            latest.pop(state.claim, None)
            latest[state.claim] = state
            words.setdefault(state.claim, []).append(OtherWord(state.who, state.verdict))
        return tuple(
            replace(state, against=tuple(_differing(words[claim], state.verdict)))
            for claim, state in latest.items()
        )

    def calls(self) -> tuple[CallState, ...]:
        """What was called, in order of time."""
        return tuple(sorted(self._calls, key=lambda call: (call.elapsed_ms, call.id)))

    def scores(self) -> tuple[ScoreState, ...]:
        """One score a criterion and device, in the order in which they were given."""
        return tuple(score for _, score in sorted(self._scores.values(), key=_place))


def _differing(words: Iterable[OtherWord], verdict: Verdict) -> Iterator[OtherWord]:
    return (word for word in words if word.verdict != verdict)


Key = TypeVar("Key")
Place = TypeVar("Place", tuple[int, int, str], tuple[int, str])
State = TypeVar("State")


def _keep_later(kept: dict[Key, tuple[Place, State]], key: Key, place: Place, state: State) -> None:
    if key not in kept or kept[key][0] < place:
        kept[key] = place, state


def _place(each: tuple[Place, State]) -> Place:
    return each[0]
