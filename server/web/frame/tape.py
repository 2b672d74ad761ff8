"""The tape: the slot as one long strip, drawn to scale.

Everything is placed in percent of the strip's width, so that the drawing stretches with the page
while its lettering does not. `templates/frame/_tape.html` draws it.
"""

from dataclasses import dataclass, replace

from server.domain.base.durations import format_clock, format_duration
from server.domain.routine.plan import Layout, PlacedProcess
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.web.frame.ticks import round_moments

SLIM = 3.2
"""Percent of the strip below which a piece has no room for its number on a small screen."""
NAMED = 4.0
"""Percent of the strip from which a piece has room for a name on a large screen."""

MOST_TICKS = 20
"""Ticks that a tape can bear; a run that was left open over night would have hundreds."""

MOST_SLOTS = 3.0
"""A tape shows at most so many slots or plans, whichever is longer: what ends later is cut off at
its edge, or all else would be a stroke."""


@dataclass(frozen=True)
class Piece:
    """A stretch of the tape; `x` and `width` in percent."""

    x: float
    width: float
    label: str
    title: str
    kind: str = ""
    words: tuple[str, ...] = ()
    """What stands after the label where there is room, in lines."""


@dataclass(frozen=True)
class Post:
    """A moment on the tape: a time call, the target, the end of the slot."""

    x: float
    label: str
    kind: str


@dataclass(frozen=True)
class ProcessStrip:
    """A process on the tape: surely busy, perhaps ready, waiting; and when it is needed."""

    name: str
    busy: Piece
    unsure: Piece
    waiting: Piece | None
    due: Post | None
    late: bool


@dataclass(frozen=True)
class Tape:
    """A plan drawn on the slot."""

    span_s: float
    hands: tuple[Piece, ...]
    voice: tuple[Piece, ...]
    processes: tuple[ProcessStrip, ...]
    posts: tuple[Post, ...]
    ticks: tuple[Post, ...]
    overrun: Piece | None
    title: str


class Scale:
    """Seconds to percent of the strip."""

    def __init__(self, span_s: float) -> None:
        self.span_s = span_s

    def at(self, seconds: float) -> float:
        """Where a moment lies, in percent."""
        return round(100 * min(max(seconds, 0.0), self.span_s) / self.span_s, 3)

    def piece(self, start_s: float, end_s: float, label: str, title: str, kind: str = "") -> Piece:
        """A stretch from one moment to another."""
        x = self.at(start_s)
        width = round(self.at(end_s) - x, 3)
        return Piece(x, width, label, title, f"{kind} slim" if width < SLIM else kind)


def span_of(rules: RuleSheet, planned_s: float, *ends_s: float) -> float:
    """The seconds that a tape must show: slot, plan, what ends after them, and some margin.

    What ends far beyond both (see MOST_SLOTS) is not shown to its end.
    """
    whole_s = max(rules.slot_s, planned_s)
    return min(max(whole_s, *ends_s, 0.0), MOST_SLOTS * whole_s) * 1.03


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


def plan_tape(layout: Layout, rules: RuleSheet, span_s: float | None = None) -> Tape:
    """The tape of a plan; `span_s` holds it to the scale of a tape already drawn."""
    ends = [each.ready_high_s or 0.0 for each in layout.processes]
    scale = Scale(span_s or span_of(rules, layout.total_s, *ends))
    lanes: dict[str, list[Piece]] = {"hands": [], "voice": []}
    for number, placed in enumerate(layout.segments, 1):
        segment = placed.segment
        title = (
            f"{number}. {segment.name}, {format_duration(placed.start_s)} to "
            f"{format_duration(placed.end_s)}"
        )
        kind = "odd" if number % 2 else "even"
        piece = scale.piece(placed.start_s, placed.end_s, str(number), title, kind)
        named = replace(piece, words=two_lines(segment.name) if piece.width >= NAMED else ())
        if segment.lane != "voice":
            lanes["hands"].append(named)
        if segment.lane != "hands":
            # Beneath its own name the number is enough.
            lanes["voice"].append(named if segment.lane == "voice" else piece)
    over = layout.total_s > rules.slot_s
    return Tape(
        span_s=scale.span_s,
        hands=tuple(lanes["hands"]),
        voice=tuple(lanes["voice"]),
        processes=tuple(
            _strip(placed, scale) for placed in layout.processes if placed.start_s is not None
        ),
        posts=posts(rules, scale),
        ticks=ticks(scale),
        overrun=scale.piece(rules.slot_s, layout.total_s, "", "over the slot") if over else None,
        title=f"{len(layout.segments)} segments, {format_clock(layout.total_s)} planned in a slot "
        f"of {format_clock(rules.slot_s)}",
    )


def two_lines(name: str) -> tuple[str, ...]:
    """A name broken where its two lines are nearest to equal; one line if it is one word."""
    breaks = [at for at, sign in enumerate(name) if sign == " "]
    if not breaks:
        return (name,)
    middle = min(breaks, key=lambda at: abs(len(name) - 2 * at))
    return name[:middle], name[middle + 1 :]


def posts(rules: RuleSheet, scale: Scale) -> tuple[Post, ...]:
    """Time calls, target and slot end."""
    calls = [Post(scale.at(call.at_s), call.words, "call") for call in rules.time_calls]
    target = Post(scale.at(rules.target_s), f"target {format_clock(rules.target_s)}", "target")
    end = Post(scale.at(rules.slot_s), f"slot {format_clock(rules.slot_s)}", "slot")
    return (*calls, target, end)


def ticks(scale: Scale) -> tuple[Post, ...]:
    """A tick for every full minute, or for every so many where that would be too many."""
    moments = round_moments(0, scale.span_s, MOST_TICKS, 60)
    return tuple(Post(scale.at(each), format_clock(each), "tick") for each in moments)


def _strip(placed: PlacedProcess, scale: Scale) -> ProcessStrip:
    start_s, low_s = placed.start_s or 0.0, placed.ready_low_s or 0.0
    ready_s, high_s = placed.ready_s or 0.0, placed.ready_high_s or 0.0
    name, due_s = placed.process.name, placed.due_s
    due = None if due_s is None else Post(scale.at(due_s), f"needed {format_clock(due_s)}", "due")
    waits = due_s is not None and due_s > high_s
    return ProcessStrip(
        name=name,
        busy=scale.piece(start_s, low_s, name, f"{name}: started {format_duration(start_s)}"),
        unsure=scale.piece(
            low_s, high_s, "", f"ready about {format_duration(ready_s)}, at the latest "
            f"{format_duration(high_s)}",
        ),
        waiting=scale.piece(high_s, due_s, "", "waits until needed") if waits and due_s else None,
        due=due,
        late=due_s is not None and ready_s > due_s,
    )  # fmt: skip
