"""The tape of the plan page: blocks that can be taken hold of, slack, and the critical chain."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from server.domain.base.durations import format_duration
from server.domain.risk.model import Model
from server.domain.risk.times import Times, schedule
from server.domain.routine.plan import Layout, PlacedProcess, PlacedSegment
from server.domain.routine.plan import layout as plain_layout
from server.domain.routine.routine import LANES, Process, Routine, Spread
from server.domain.routine.rules import RuleSheet
from server.web.frame.tape import NAMED, Piece, ProcessStrip, Scale, Tape, plan_tape, two_lines

SHORTEST_SLACK_S = 0.5
"""Slack below this is not worth a line."""


@dataclass(frozen=True)
class Block:
    """A segment on the tape.

    `row` is the lane it is drawn in ("both" fills two); `slack` is the stretch by which it may end
    later, `more` the end of it that its words take beyond what is planned.
    """

    id: str
    name: str
    piece: Piece
    row: str
    said: str
    seconds: float
    critical: bool
    slack: Piece | None
    more: Piece | None


@dataclass(frozen=True)
class Bar:
    """A parallel process on the tape."""

    id: str
    strip: ProcessStrip
    critical: bool


@dataclass(frozen=True)
class PlanTape:
    """The whole drawing; `with_helper` says whether there is a row for other hands."""

    base: Tape
    blocks: tuple[Block, ...]
    bars: tuple[Bar, ...]
    with_helper: bool

    @property
    def places(self) -> dict[str, list[float]]:
        """Id of a shape -> where it begins and how wide it is, in percent."""
        found = {f"block-{each.id}": [each.piece.x, each.piece.width] for each in self.blocks}
        for bar in self.bars:
            strip = bar.strip
            found[f"busy-{bar.id}"] = [strip.busy.x, strip.busy.width]
            found[f"unsure-{bar.id}"] = [strip.unsure.x, strip.unsure.width]
            if strip.due is not None:
                found[f"due-{bar.id}"] = [strip.due.x]
        return found


def timed_layout(routine: Routine, model: Model) -> Layout:
    """The plan with its words at the presenter's pace, and with waiting for what is late."""
    times = model.plan.times
    plain = plain_layout(routine)
    segments = tuple(
        PlacedSegment(each, times[each.id].start_s, times[each.id].end_s)
        for each in routine.segments
    )
    return replace(
        plain,
        segments=segments,
        processes=tuple(_placed(each, times) for each in routine.processes),
        total_s=model.plan.finish_s,
        total_low_s=_finish_s(routine, model, lambda spread: spread.least_s),
        total_high_s=_finish_s(routine, model, lambda spread: spread.most_s),
    )


def _finish_s(routine: Routine, model: Model, lasts_s: Callable[[Spread], float]) -> float:
    """When the plan is over where everything takes what `lasts_s` reads, words at their pace."""
    # Where words take longer than planned the segment takes their time, whatever the hands do.
    words_s = {
        part.id: part.duration.likely_s
        for part, each in zip(model.parts.segments, routine.segments, strict=True)
        if part.duration.likely_s > each.duration.likely_s
    }
    durations_s = {
        each.id: max(lasts_s(each.duration), words_s.get(each.id, 0.0)) for each in routine.segments
    }
    durations_s |= {each.id: lasts_s(each.duration) for each in routine.processes}
    return schedule(model.network, durations_s).finish_s


def tape_of(
    placed: Layout, model: Model, rules: RuleSheet, span_s: float | None = None
) -> PlanTape:
    """The tape of a timed plan; `span_s` holds it to the scale of a tape already drawn."""
    base = plan_tape(placed, rules, span_s)
    scale = Scale(base.span_s)
    times = model.plan.times
    blocks = tuple(
        _block(number, each, times[each.segment.id], scale)
        for number, each in enumerate(placed.segments, 1)
    )
    hung = [each for each in placed.processes if each.start_s is not None]
    bars = tuple(
        Bar(each.process.id, strip, times[each.process.id].critical)
        for each, strip in zip(hung, base.processes, strict=True)
    )
    return PlanTape(base, blocks, bars, any(each.segment.helper for each in placed.segments))


def _block(number: int, placed: PlacedSegment, times: Times, scale: Scale) -> Block:
    segment = placed.segment
    piece = scale.piece(
        placed.start_s, placed.end_s, str(number), _title(number, placed),
        "odd" if number % 2 else "even",
    )  # fmt: skip
    if piece.width >= NAMED:
        piece = replace(piece, words=two_lines(segment.name))
    planned_end_s = placed.start_s + segment.duration.likely_s
    return Block(
        id=segment.id,
        name=segment.name,
        piece=piece,
        row="helper" if segment.helper else segment.lane,
        said=_said(placed, times),
        seconds=segment.duration.likely_s,
        critical=times.critical,
        slack=_stretch(scale, placed.end_s, placed.end_s + times.stretch_s, "may end later"),
        more=_stretch(scale, planned_end_s, placed.end_s, "its words take longer than planned"),
    )


def _stretch(scale: Scale, start_s: float, end_s: float, words: str) -> Piece | None:
    if end_s - start_s < SHORTEST_SLACK_S:
        return None
    return scale.piece(start_s, end_s, "", f"{words}: {format_duration(end_s - start_s)}")


def _title(number: int, placed: PlacedSegment) -> str:
    start, end = format_duration(placed.start_s), format_duration(placed.end_s)
    return f"{number}. {placed.segment.name}, {start} to {end}"


def _said(placed: PlacedSegment, times: Times) -> str:
    """What a screen reader says of a block."""
    lane = "a helper" if placed.segment.helper else LANES[placed.segment.lane].lower()
    chain = "on the critical chain"
    if not times.critical:
        chain = f"{format_duration(times.stretch_s)} of slack"
    lasts, start = placed.segment.duration.likely_s, placed.start_s
    return f"{format_duration(lasts)}, from {format_duration(start)}, {lane}, {chain}"


def _placed(process: Process, times: Mapping[str, Times]) -> PlacedProcess:
    due = times.get(process.before_segment_id or "")
    due_s = None if due is None else due.arrival_s
    own = times.get(process.id)
    if own is None:
        return PlacedProcess(process, None, None, None, None, due_s)
    return PlacedProcess(
        process=process,
        start_s=own.start_s,
        ready_low_s=own.start_s + process.duration.least_s,
        ready_s=own.start_s + process.duration.likely_s,
        ready_high_s=own.start_s + process.duration.most_s,
        due_s=due_s,
    )
