"""The tape of the plan page: what holds up the finish, and beneath it how the plan is run."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from server.domain.base.durations import format_clock, format_duration
from server.domain.risk.model import Model
from server.domain.risk.outcome import Forecast
from server.domain.risk.times import Times
from server.domain.routine.plan import Layout, layout
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.whole.segment_times import Takes
from server.web.frame.lettering import Notch, side_by_side
from server.web.frame.tape import PracticeBand, Tape, TapeBlock, TapeScale, plan_tape, span_of


@dataclass(frozen=True)
class PlanTape:
    """The whole drawing; `line` is how the plan is run, None where that is not worked out yet."""

    base: Tape
    line: PracticeBand | None

    @property
    def places(self) -> dict[str, list[float]]:
        """Id of a shape -> where it begins and how wide it is, in percent."""
        found = {f"block-{each.id}": [each.x, each.width] for each in self.base.blocks}
        for strip in self.base.processes:
            found[f"busy-{strip.id}"] = [strip.busy.x, strip.busy.width]
            found[f"unsure-{strip.id}"] = [strip.unsure.x, strip.unsure.width]
            if strip.due is not None:
                found[f"due-{strip.id}"] = [strip.due.x]
        if self.line is not None:
            found |= {f"you-{each.label}": [each.x, each.width] for each in self.line.pieces}
            if self.line.unsure is not None and self.line.typical is not None:
                found["you-unsure"] = [self.line.unsure.x, self.line.unsure.width]
                found["you-typical"] = [self.line.typical]
        return found


def tape_of(
    routine: Routine,
    model: Model,
    rules: RuleSheet,
    forecast: Forecast | None,
    takes: Mapping[str, Takes],
    span_s: float | None = None,
    placed: Layout | None = None,
) -> PlanTape:
    """The tape of a plan; `span_s` holds it to the scale of a tape already drawn.

    `placed` is its layout where that is known.

    `takes` names the segments that take longer; `forecast` is what the line beneath rests on.
    """
    placed = placed or layout(routine)
    base = plan_tape(routine, placed, rules, span_s or _span_s(placed, model, rules))
    times = model.plan.times
    blocks = tuple(_told(each, times[each.id]) for each in base.blocks)
    strips = tuple(replace(each, critical=times[each.id].critical) for each in base.processes)
    line = None
    if forecast is not None and routine.segments:
        line = line_of(model, forecast, takes, TapeScale(base.span_s))
    return PlanTape(replace(base, blocks=blocks, processes=strips), line)


def line_of(
    model: Model, forecast: Forecast, takes: Mapping[str, Takes], scale: TapeScale
) -> PracticeBand:
    """How a plan is run: as expected after the runs, ending where half of all slots do.

    Medians alone add up to less than that: slow days and mishaps go one way.
    """
    expected = model.expected
    half_s, low_s, high_s = (forecast.quantile_s(each) for each in (0.5, 0.1, 0.9))
    ratio = half_s / expected.finish_s if expected.finish_s > 0 else 1.0
    ends_s = {each.id: expected.times[each.id].end_s * ratio for each in model.parts.segments}
    pieces = tuple(
        scale.piece(expected.times[each.id].start_s * ratio, ends_s[each.id], each.id, each.name)
        for each in model.parts.segments
    )
    told = f"mostly {format_clock(low_s)} to {format_clock(high_s)}, typically "
    typical = scale.at(half_s)
    notches = [
        Notch(scale.at(ends_s[each]), f"{takes[each].over_s:.0f} s longer", "")
        for each in (part.id for part in model.parts.segments)
        if each in takes and takes[each].has_grown
    ]
    typically = format_clock(half_s)
    # The words at the right edge of the strip; where it is narrow only the time itself.
    letters = dict.fromkeys(("small", "medium"), len(typically))
    letters["wide"] = len(told) + len(typically)
    return PracticeBand(
        pieces,
        scale.piece(low_s, high_s, "", f"most runs finish between {format_clock(low_s)} and "
                    f"{format_clock(high_s)}"),
        typical,
        side_by_side(notches, 100.0, letters),
        told,
        typically,
    )  # fmt: skip


def _span_s(placed: Layout, model: Model, rules: RuleSheet) -> float:
    """As much as the plan needs, and as it will run: known before the forecast is."""
    ready_s = [each.ready_high_s or 0.0 for each in placed.processes]
    return span_of(rules, placed.total_s, model.expected.finish_s, *ready_s)


def _told(block: TapeBlock, times: Times) -> TapeBlock:
    """A block with whether it holds up the finish, and what a screen reader says of it."""
    chain = "holds up the finish"
    if not times.critical:
        chain = f"may take {format_duration(times.stretch_s)} longer"
    return replace(block, critical=times.critical, said=f"{block.said}, {chain}")
