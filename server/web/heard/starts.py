"""Where each segment starts in a take: as it was heard, and where the person put it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from server.domain.base.durations import format_duration
from server.domain.base.errors import InvalidInput
from server.domain.base.number_words import count
from server.domain.heard.alignment import CERTAINTIES, Alignment, Boundary
from server.domain.heard.decided import FINISH, START, Decided
from server.domain.routine.routine import Routine

BY_HAND = "Set by you"
GUESS = CERTAINTIES["guess"]
END = "The clock stops"


@dataclass(frozen=True)
class StartLine:
    """A boundary: the start of a segment, or of the clock, or its end.

    `heard_ms` is where it was heard; `took_ms` how long the segment then took, None for an end and
    where segments came in another order.
    """

    key: str
    segment_id: str
    number: int
    name: str
    at_ms: int
    heard_ms: int
    how_sure: str
    why: str
    took_ms: int | None
    planned_s: float | None
    was_guess: bool = False
    """Whether nobody heard it, wherever the person put it since."""
    is_unheard: bool = False
    """Whether it is of a segment with words of which nothing was heard, nor set by the person."""

    @property
    def title(self) -> str:
        """What it is the beginning of: "3. Brew"."""
        return f"{self.number}. {self.name}" if self.number else self.name

    @property
    def is_moved(self) -> bool:
        """Whether the person put it there."""
        return self.how_sure == BY_HAND

    @property
    def longer_s(self) -> float | None:
        """How much longer the segment took than planned."""
        if self.took_ms is None or self.planned_s is None:
            return None
        return self.took_ms / 1000 - self.planned_s


def settled(alignment: Alignment, decided: Decided) -> Alignment:
    """A talk laid against its script, its boundaries where the person put them.

    The clock starts with the first segment, so that one has no start of its own.
    """
    at_ms = decided.at_ms
    start_s = at_ms.get(START, _ms(alignment.start_s)) / 1000
    placed = [
        replace(each, start_s=at_ms[each.segment_id] / 1000, certain="sure", why="")
        if each.segment_id in at_ms
        else each
        for each in alignment.boundaries
    ]
    if placed:
        placed[0] = replace(placed[0], start_s=start_s)
    return replace(
        alignment,
        start_s=start_s,
        finish_s=at_ms.get(FINISH, _ms(alignment.finish_s)) / 1000,
        boundaries=tuple(placed),
        lacks_beginning=alignment.lacks_beginning and START not in at_ms,
        lacks_end=alignment.lacks_end and FINISH not in at_ms,
    )


def start_lines(
    routine: Routine,
    heard: Alignment,
    now: Alignment,
    decided: Decided,
    planned_s: Mapping[str, float],
) -> tuple[StartLine, ...]:
    """A line for each segment in the order of the plan, and one for the end of the clock."""
    names = {each.id: each.name for each in routine.segments}
    firsts = {each.segment_id: each for each in heard.boundaries}
    behind, unheard = _next_starts(now), set(now.skipped_ids)
    found = []
    for number, each in enumerate(now.boundaries, 1):
        is_first = number == 1
        first = firsts[each.segment_id]
        heard_s = heard.start_s if is_first else first.start_s
        certain = heard.start_certain if is_first else first.certain
        key = START if is_first else each.segment_id
        is_unheard = each.segment_id in unheard and key not in decided.at_ms
        found.append(
            StartLine(
                key=key,
                segment_id=each.segment_id,
                number=number,
                name=names[each.segment_id],
                at_ms=_ms(each.start_s),
                heard_ms=_ms(heard_s),
                how_sure=BY_HAND if key in decided.at_ms else CERTAINTIES[certain],
                why="" if key in decided.at_ms else heard.start_why if is_first else first.why,
                took_ms=None if is_unheard else _took_ms(each, behind),
                planned_s=planned_s.get(each.segment_id),
                was_guess=certain == "guess",
                is_unheard=is_unheard,
            )
        )
    found.append(
        StartLine(
            key=FINISH,
            segment_id="",
            number=0,
            name=END,
            at_ms=_ms(now.finish_s),
            heard_ms=_ms(heard.finish_s),
            how_sure=BY_HAND if FINISH in decided.at_ms else CERTAINTIES[heard.finish_certain],
            why="" if FINISH in decided.at_ms else heard.finish_why,
            took_ms=None,
            planned_s=None,
            was_guess=heard.finish_certain == "guess",
        )
    )
    return tuple(found)


def folded_words(lines: Sequence[StartLine], *, is_all: bool) -> str:
    """What is folded away: how many segments, whether the end too, and whether all was heard.

    `is_all` says that none stands outside of the fold.
    """
    segments = sum(each.key != FINISH for each in lines)
    told = [f"{'All' if is_all else 'The other'} {count(segments, 'segment')}"] if segments else []
    if segments < len(lines):
        told.append("the end" if told else "The end")
    heard = "" if any(each.was_guess for each in lines) else ", heard"
    return f"{' and '.join(told)}{heard}"


def room_of(lines: Sequence[StartLine], key: str) -> tuple[StartLine | None, StartLine | None]:
    """The boundaries between which one lies, as they are set; None for none."""
    inside = sorted(lines, key=lambda each: (each.at_ms, each.key == FINISH))
    at = [each.key for each in inside].index(key)
    return (inside[at - 1] if at else None), (inside[at + 1] if at + 1 < len(inside) else None)


def require_room(lines: Sequence[StartLine], key: str, at_ms: int) -> None:
    """Raise InvalidInput on "at" for a boundary that would lie behind the next one, or before
    the one before it."""
    before, behind = room_of(lines, key)
    for other, is_wrong, words in (
        (before, before is not None and at_ms < before.at_ms, "before"),
        (behind, behind is not None and at_ms > behind.at_ms, "behind"),
    ):
        if other is not None and is_wrong:
            at = format_duration(other.at_ms / 1000)
            raise InvalidInput.of("at", f"That is {words} {other.title} at {at}. Move that first.")


def _next_starts(now: Alignment) -> dict[str, float]:
    """Segment -> when what follows it begins, in the order in which they were heard."""
    inside = sorted(now.boundaries, key=lambda each: each.start_s)
    ends = [each.start_s for each in inside[1:]] + [now.finish_s]
    return {each.segment_id: end for each, end in zip(inside, ends, strict=True)}


def _took_ms(each: Boundary, behind: Mapping[str, float]) -> int | None:
    took_ms = _ms(behind[each.segment_id]) - _ms(each.start_s)
    return took_ms if took_ms >= 0 else None


def _ms(seconds: float) -> int:
    return round(seconds * 1000)
