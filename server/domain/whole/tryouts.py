"""Changes to try on a routine without saving them, and to take over afterwards.

Each is an edit of the routine like any other, with words for it. What is forecast for a tryout is
therefore what will be forecast once it is saved.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from server.domain.base.durations import format_clock, format_duration, format_signed
from server.domain.base.errors import InvalidInput
from server.domain.claims.pace import Paces, SentenceCost, WordPace, costs
from server.domain.routine.edits import move_segment, part_of, put_process, put_segment
from server.domain.routine.routine import Process, Routine, Segment, Spread
from server.domain.whole.segment_times import SAME_S
from server.domain.whole.talk import voice_s, words_over

UNWRITTEN = "Still to be written down."
"""Stands for the words of a fallback that nobody has put into words yet."""


@dataclass(frozen=True)
class Tryout:
    """A change in words, and the edit that makes it.

    `fitted` are segments whose words must still be cut to their planned time, which no edit can do
    by itself: `words` says so, and a forecast takes them for cut.
    """

    words: str
    edit: Callable[[Routine], Routine]
    fitted: frozenset[str] = frozenset()


def all_tried(routine: Routine, tryouts: Iterable[Tryout]) -> Routine:
    """The routine after all these changes, one upon the other."""
    for tryout in tryouts:
        routine = tryout.edit(routine)
    return routine


def drop_sentence(routine: Routine, segment_id: str, index: int, pace: WordPace) -> Tryout:
    """Leave out the sentence at `index` of what is said in a segment.

    A segment of talk alone gets shorter by what the sentence costs; where the hands work too, their
    time stands. Raises NotFound and InvalidInput.
    """
    segment = part_of(routine.segments, segment_id)
    cost = _sentence(segment, index, pace, routine.language)
    left = segment.said[: cost.start].rstrip() + " " + segment.said[cost.end :].lstrip()
    shorter_s = -cost.seconds if segment.lane == "voice" else 0.0
    gist = _gist(segment.said[cost.start : cost.end])
    words = f"leave out “{gist}” in “{segment.name}” ({format_signed(-cost.seconds)} of talk)"

    def edit(before: Routine) -> Routine:
        now = part_of(before.segments, segment_id)
        duration = now.duration.changed_by(shorter_s)
        return put_segment(before, replace(now, said=left.strip(), duration=duration))

    return Tryout(words, edit)


def lengthen(routine: Routine, segment_id: str, seconds: float) -> Tryout:
    """Plan a segment for so many seconds more, or fewer where negative. Raises NotFound."""
    segment = part_of(routine.segments, segment_id)
    longer = "longer" if seconds >= 0 else "shorter"
    return Tryout(
        f"“{segment.name}” {format_duration(abs(seconds))} {longer}", _longer(segment_id, seconds)
    )


def shorten(
    routine: Routine, segment_id: str, seconds: float, takes_s: float, paces: Paces
) -> Tryout:
    """Make a segment `seconds` shorter than the `takes_s` that it takes. Raises NotFound.

    What is said in it must fit as well; about how many words must go is told.
    """
    segment = part_of(routine.segments, segment_id)
    planned_s = segment.duration.likely_s
    change_s = takes_s - seconds - planned_s
    shorter = replace(segment, duration=segment.duration.changed_by(change_s))
    words = f"“{segment.name}” {format_duration(seconds)} shorter"
    if abs(takes_s - planned_s) >= SAME_S:
        words += f" than the {format_clock(takes_s)} it takes: planned for "
        words += format_clock(shorter.duration.likely_s)
    over = words_over(shorter, paces, routine.language)
    if over:
        words += f", once about {over} of its words are cut too"
    fitted = frozenset({segment_id} if over else ())
    return Tryout(words, _longer(segment_id, change_s), fitted)


def move(routine: Routine, segment_id: str, to: int) -> Tryout:
    """Move a segment to another place in the order. Raises NotFound."""
    name = part_of(routine.segments, segment_id).name
    return Tryout(f"moved “{name}”", lambda before: move_segment(before, segment_id, to))


def swap(routine: Routine, first_id: str, second_id: str) -> Tryout:
    """Let two segments change places. Raises NotFound."""
    first = part_of(routine.segments, first_id)
    second = part_of(routine.segments, second_id)
    places = {first_id: second_id, second_id: first_id}

    def edit(before: Routine) -> Routine:
        return in_order(before, [places.get(each.id, each.id) for each in before.segments])

    return Tryout(f"swap “{first.name}” and “{second.name}”", edit)


def reorder(order: Iterable[str]) -> Tryout:
    """Put all segments into this order of ids."""
    ids = tuple(order)
    return Tryout("used the proposed order", lambda before: in_order(before, ids))


def in_order(routine: Routine, order: Iterable[str]) -> Routine:
    """The routine with its segments in the order of these ids. Raises NotFound."""
    ordered = tuple(part_of(routine.segments, each) for each in order)
    if len(ordered) != len(routine.segments):
        raise InvalidInput.of("order", "The segments have changed meanwhile. Load the page again.")
    return replace(routine, segments=ordered)


def add_helper(
    routine: Routine, segment_id: str, needed_by_id: str | None, new_id: str, pace: WordPace
) -> Tryout:
    """Let other hands do a segment; what is said in it stays with the presenter.

    `needed_by_id` is the segment that waits for the helper; `new_id` the id of the helper's
    segment, where one has to be split off. Raises NotFound, and InvalidInput where there is
    nothing for a helper to do.
    """
    segment = part_of(routine.segments, segment_id)
    if segment.lane == "voice":
        raise InvalidInput.of("helper", f"“{segment.name}” leaves a helper nothing to do.")
    if segment.helper:
        raise InvalidInput.of("helper", f"A helper does “{segment.name}” already.")
    helper_id = segment.id if segment.lane == "hands" else new_id

    def edit(before: Routine) -> Routine:
        now = part_of(before.segments, segment_id)
        helped = _split(before, now, new_id, pace) if now.lane == "both" else _helped(before, now)
        return _linked(helped, needed_by_id, helper_id)

    until = f", needed by “{part_of(routine.segments, needed_by_id).name}”" if needed_by_id else ""
    return Tryout(f"a helper for “{segment.name}”{until}", edit)


def set_fallback(
    routine: Routine, process_id: str, patience_s: float, by_s: float, cost_s: float
) -> Tryout:
    """Take a fallback after so long, not before a moment, at a cost. Raises NotFound."""
    process = part_of(routine.processes, process_id)
    words = (
        f"plan B of “{process.name}” after waiting {format_duration(patience_s)}, "
        f"earliest {format_duration(by_s)}, takes {format_duration(cost_s)} longer"
    )
    return Tryout(words, _with_process(process_id, lambda now: replace(
        now,
        fallback=now.fallback.strip() or UNWRITTEN,
        patience_s=patience_s,
        fallback_by_s=by_s,
        fallback_cost_s=cost_s,
    )))  # fmt: skip


def wait_for(routine: Routine, process_id: str) -> Tryout:
    """Wait for a process however long it takes; what its fallback was is left out."""
    name = part_of(routine.processes, process_id).name
    return Tryout(f"no plan B for “{name}”: wait for it", _with_process(process_id, lambda now: (
        replace(now, fallback="", patience_s=0.0, fallback_by_s=0.0, fallback_cost_s=0.0)
    )))  # fmt: skip


def start_after(routine: Routine, process_id: str, segment_id: str) -> Tryout:
    """Start a process at the end of another segment. Raises NotFound."""
    process = part_of(routine.processes, process_id)
    name = part_of(routine.segments, segment_id).name
    edit = _with_process(process_id, lambda now: replace(now, after_segment_id=segment_id))
    return Tryout(f"start “{process.name}” after “{name}”", edit)


def _longer(segment_id: str, seconds: float) -> Callable[[Routine], Routine]:
    def edit(before: Routine) -> Routine:
        now = part_of(before.segments, segment_id)
        return put_segment(before, replace(now, duration=now.duration.changed_by(seconds)))

    return edit


def _sentence(segment: Segment, index: int, pace: WordPace, language: str) -> SentenceCost:
    for cost in costs(segment.said, pace, language):
        if cost.index == index:
            return cost
    raise InvalidInput.of("sentence", f"“{segment.name}” has no such sentence any more.")


def _gist(text: str) -> str:
    words = text.split()
    return " ".join(words[:6]) + (" …" if len(words) > 6 else "")


def _split(routine: Routine, segment: Segment, new_id: str, pace: WordPace) -> Routine:
    """The routine with the hands of a segment in a helper's segment behind it."""
    spoken_s = voice_s(segment, pace, routine.language)
    said = segment.duration if spoken_s is None else Spread(round(spoken_s, 1))
    hands = replace(
        segment,
        id=new_id,
        name=f"{segment.name[:100]} (helper)",
        lane="hands",
        said="",
        helper=True,
        alongside=True,
        movable=False,
    )
    spoken = put_segment(routine, replace(segment, lane="voice", hands="", duration=said))
    place = [each.id for each in routine.segments].index(segment.id) + 1
    return move_segment(put_segment(spoken, hands), new_id, place)


def _helped(routine: Routine, segment: Segment) -> Routine:
    return put_segment(routine, replace(segment, helper=True))


def _linked(routine: Routine, needing_id: str | None, helper_id: str) -> Routine:
    if needing_id is None:
        return routine
    needing = part_of(routine.segments, needing_id)
    links = dict.fromkeys((*needing.after_segment_ids, helper_id))
    return put_segment(routine, replace(needing, after_segment_ids=tuple(links)))


def _with_process(
    process_id: str, change: Callable[[Process], Process]
) -> Callable[[Routine], Routine]:
    return lambda before: put_process(before, change(part_of(before.processes, process_id)))
