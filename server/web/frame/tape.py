"""The tape: the slot as one long strip, drawn to scale.

Everything is placed in percent of the strip's width, so that the drawing stretches with the page
while its lettering does not. `templates/frame/_tape.html` draws it. What a screen has room for is
known to its style sheet (see `lettering`).
"""

from dataclasses import dataclass

from server.domain.base.durations import format_clock, format_duration
from server.domain.routine.plan import Layout, PlacedProcess, PlacedSegment
from server.domain.routine.routine import LANES, Routine
from server.domain.routine.rules import RuleSheet, TimeCall
from server.web.frame.axis import round_moments
from server.web.frame.lettering import WIDTHS_PX, Notch, beside, room_of, side_by_side

MOST_TICKS = 20
"""Ticks that a tape can bear; a run that was left open over night would have hundreds."""

MOST_SLOTS = 3.0
"""A tape shows at most so many slots or plans, whichever is longer: what ends later is cut off at
its edge, or all else would be a stroke."""


@dataclass(frozen=True)
class PlacedStretch:
    """A stretch of a tape where it is drawn, in percent of it, with its words."""

    x: float
    width: float
    kind: str
    title: str


@dataclass(frozen=True)
class TapePiece:
    """A stretch of the tape; `x` and `width` in percent."""

    x: float
    width: float
    label: str
    title: str


@dataclass(frozen=True)
class Post:
    """A moment on the tape: a time call, the target, the end of the slot."""

    x: float
    label: str
    kind: str


@dataclass(frozen=True)
class TapeBlock:
    """A segment on the band, as planned.

    `row` is the track it lies in ("both" fills two), `tint` how its drink is drawn. `number_room`
    and `lasts_room` name the widths from which its number and its time have room. `critical` says
    that it holds up the finish, `said` is what a screen reader says of it.
    """

    id: str
    number: int
    name: str
    x: float
    width: float
    row: str
    tint: str
    lasts: str
    seconds: float
    title: str
    number_room: str
    lasts_room: str
    critical: bool = False
    said: str = ""


@dataclass(frozen=True)
class ProcessStrip:
    """A process on the tape: surely busy, perhaps ready, and when it is needed."""

    id: str
    name: str
    tint: str
    busy: TapePiece
    unsure: TapePiece
    due: Post | None
    late: bool
    through: str
    """When it is likely to be ready, in words."""
    through_room: str
    due_left: bool
    """Whether the words about its need stand to the left of it."""
    due_room: str
    """The widths from which its chance has room beside its need."""
    critical: bool = False


@dataclass(frozen=True)
class PracticeBand:
    """How a plan is run, beneath its band.

    `pieces` have the ids of segments as labels; `unsure` is where most finishes lie, `typical` the
    one in their middle, `notches` are segments that take longer, `told` what is said at the end.
    """

    pieces: tuple[TapePiece, ...]
    unsure: TapePiece | None
    typical: float | None
    notches: tuple[Notch, ...]
    told: str
    typical_words: str


@dataclass(frozen=True)
class Tape:
    """A plan drawn on the slot."""

    span_s: float
    blocks: tuple[TapeBlock, ...]
    processes: tuple[ProcessStrip, ...]
    calls: tuple[Notch, ...]
    target: Notch
    end: Notch
    spare: TapePiece | None
    overrun: TapePiece | None
    title: str

    @property
    def with_helper(self) -> bool:
        """Whether there is a track for other hands."""
        return any(each.row == "helper" for each in self.blocks)


class TapeScale:
    """Seconds to percent of the strip."""

    def __init__(self, span_s: float) -> None:
        self.span_s = span_s

    def at(self, seconds: float) -> float:
        """Where a moment lies, in percent."""
        return round(100 * min(max(seconds, 0.0), self.span_s) / self.span_s, 3)

    def stretch(self, start_s: float, end_s: float) -> tuple[float, float]:
        """Where a stretch from one moment to another begins, and how wide it is, in percent."""
        x = self.at(start_s)
        return x, round(self.at(end_s) - x, 3)

    def piece(self, start_s: float, end_s: float, label: str, title: str) -> TapePiece:
        """A stretch from one moment to another."""
        return TapePiece(*self.stretch(start_s, end_s), label, title)


def span_of(rules: RuleSheet, planned_s: float, *ends_s: float) -> float:
    """The seconds that a tape must show: slot, plan, what ends after them, and some margin.

    What ends far beyond both (see MOST_SLOTS) is not shown to its end.
    """
    whole_s = max(rules.slot_s, planned_s)
    return min(max(whole_s, *ends_s, 0.0), MOST_SLOTS * whole_s) * 1.03


DUE_LEFT = 76.0
"""Percent of the strip from which the words about a need stand to the left of it."""

DUE_LETTERS = 31
"""Letters of the words about a need: "needed 7:08, in time 89 in 100"."""

DRINK_KINDS = 3
"""So many drinks look different; a fourth is drawn like the first."""


def drink_classes(routine: Routine) -> dict[str, str]:
    """Segment id -> how the drink that it serves is drawn: "drink-1", "drink-2", or "no-drink"."""
    order = {drink.id: index for index, drink in enumerate(routine.drinks)}
    return {
        each.id: f"drink-{order[each.drink_id] % DRINK_KINDS + 1}"
        if each.drink_id in order
        else "no-drink"
        for each in routine.segments
    }


def plan_tape(
    routine: Routine, layout: Layout, rules: RuleSheet, span_s: float | None = None
) -> Tape:
    """The tape of a plan; `span_s` holds it to the scale of a tape already drawn."""
    ends = [each.ready_high_s or 0.0 for each in layout.processes]
    scale = TapeScale(span_s or span_of(rules, layout.total_s, *ends))
    drinks = drink_classes(routine)
    total_s, slot_s = layout.total_s, rules.slot_s
    return Tape(
        span_s=scale.span_s,
        blocks=tuple(
            _block(number, each, drinks[each.segment.id], scale)
            for number, each in enumerate(layout.segments, 1)
        ),
        processes=tuple(
            _strip(each, drinks.get(each.process.before_segment_id or "", "no-drink"), scale)
            for each in layout.processes
            if each.start_s is not None
        ),
        calls=_calls(rules, scale),
        target=Notch(scale.at(rules.target_s), "", f"target {format_clock(rules.target_s)}"),
        end=Notch(scale.at(slot_s), format_clock(slot_s), "end of the slot"),
        spare=scale.piece(total_s, slot_s, "", "spare") if total_s < slot_s else None,
        overrun=scale.piece(slot_s, total_s, "", "past the slot") if total_s > slot_s else None,
        title=f"{len(layout.segments)} segments, {format_clock(total_s)} planned in a slot "
        f"of {format_clock(slot_s)}",
    )


def _calls(rules: RuleSheet, scale: TapeScale) -> tuple[Notch, ...]:
    notches = [
        Notch(scale.at(call.at_s), _left(call, rules), f"{format_clock(call.at_s)} {call.words}")
        for call in rules.time_calls
    ]
    letters = len(format_clock(rules.slot_s))
    return side_by_side(notches, scale.at(rules.slot_s), {name: letters for name, _ in WIDTHS_PX})


def _left(call: TimeCall, rules: RuleSheet) -> str:
    """What a call leaves of the slot: "5 min", "30 s"."""
    left_s = round(rules.slot_s - call.at_s)
    if left_s <= 0:
        return format_clock(call.at_s)
    if left_s % 60 == 0:
        return f"{left_s // 60} min"
    return f"{left_s} s" if left_s < 60 else format_clock(left_s)


def ticks(scale: TapeScale) -> tuple[Post, ...]:
    """A tick for every full minute, or for every so many where that would be too many."""
    moments = round_moments(0, scale.span_s, MOST_TICKS, 60)
    return tuple(Post(scale.at(each), format_clock(each), "tick") for each in moments)


def _block(number: int, placed: PlacedSegment, tint: str, scale: TapeScale) -> TapeBlock:
    segment = placed.segment
    x, width = scale.stretch(placed.start_s, placed.end_s)
    lasts = format_clock(segment.duration.likely_s)
    start, end = format_clock(placed.start_s), format_clock(placed.end_s)
    return TapeBlock(
        id=segment.id,
        number=number,
        name=segment.name,
        x=x,
        width=width,
        row="helper" if segment.helper else segment.lane,
        tint=tint,
        lasts=lasts,
        seconds=segment.duration.likely_s,
        title=f"{number}. {segment.name}, {lasts}, {start} to {end}",
        number_room=room_of(width, len(str(number)) + 1),
        lasts_room=room_of(width, len(lasts)) if segment.lane == "both" else "never",
        said=f"{format_duration(segment.duration.likely_s)}, from {start}, "
        f"{'a helper' if segment.helper else LANES[segment.lane].lower()}",
    )


def _strip(placed: PlacedProcess, tint: str, scale: TapeScale) -> ProcessStrip:
    start_s, low_s = placed.start_s or 0.0, placed.ready_low_s or 0.0
    ready_s, high_s = placed.ready_s or 0.0, placed.ready_high_s or 0.0
    name, due_s = placed.process.name, placed.due_s
    due = None if due_s is None else Post(scale.at(due_s), f"needed {format_clock(due_s)}", "due")
    busy = scale.piece(start_s, low_s, name, f"{name}: started {format_clock(start_s)}")
    through = f"ready at about {format_clock(ready_s)}, {name}"
    due_x = None if due is None else due.x
    due_left = due_x is not None and due_x > DUE_LEFT
    return ProcessStrip(
        id=placed.process.id,
        name=name,
        tint=tint,
        busy=busy,
        unsure=scale.piece(
            low_s, high_s, "", f"ready about {format_clock(ready_s)}, at the latest "
            f"{format_clock(high_s)}",
        ),
        due=due,
        late=due_s is not None and ready_s > due_s,
        through=through,
        through_room=beside(busy.x, len(through), due_x, DUE_LETTERS, due_left),
        due_left=due_left,
        due_room=room_of(_beyond(due_x, due_left), DUE_LETTERS),
    )  # fmt: skip


def _beyond(x: float | None, left: bool) -> float:
    """Percent of the strip on the side of a moment where its words stand."""
    if x is None:
        return 0.0
    return x if left else 100 - x
