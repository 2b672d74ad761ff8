"""What the plan page shows, prepared: the headline, a row for each part, what needs the person."""

from collections.abc import Mapping
from dataclasses import dataclass

from server.domain.base.durations import format_clock, left_of
from server.domain.base.errors import InvalidInput
from server.domain.risk.outcome import Forecast
from server.domain.risk.processes import ProcessTimes
from server.domain.risk.saying import in_a_hundred
from server.domain.risk.times import Times
from server.domain.routine.plan import Layout, PlacedProcess, layout
from server.domain.routine.routine import LANES, Lane, Process, Routine, Segment
from server.domain.whole.process_time import WorkedOut, worked_out
from server.domain.whole.segment_times import LEAST_OVER_S, LEAST_RUNS, Takes
from server.web.frame.forms import Form
from server.web.frame.shown import RoutinePage
from server.web.plan.chances import NextRunTold, told_of
from server.web.plan.outlook import Outlook
from server.web.plan.product import product_names, product_waits
from server.web.plan.tape import PlanTape
from server.web.plan.too_late import SURELY_READY, too_late

CERTAINTY = 0.95
"""How sure the headline says what to cut for."""


@dataclass(frozen=True)
class HeadChance:
    """The chance in a first line: as words, as a share, and what to cut to be sure."""

    told: NextRunTold
    rest: str
    """The sentence of the chance without its figure."""
    share: float
    cut_s: float
    spare_s: float
    but: str
    """What comes too late all the same, in a sentence; "" for nothing."""


@dataclass(frozen=True)
class PlanHeadline:
    """The answer of the page; `chance` is None until the forecast is worked out."""

    planned_s: float
    spare_s: float
    segments: int
    chance: HeadChance | None
    untold: str
    runs: int


@dataclass(frozen=True)
class SegmentLine:
    """A segment as a line of the list; `note` is one thing about it, `needs` whether to act."""

    id: str
    number: int
    name: str
    tint: str
    start_s: float
    lasts_s: float
    note: str
    needs: bool


@dataclass(frozen=True)
class ProcessRow:
    """A parallel process as a line of the list, with its chance where that is known."""

    id: str
    name: str
    start_s: float | None
    lasts_s: float
    note: str
    needs: bool
    ready: str


@dataclass(frozen=True)
class SegmentPanel:
    """The segment that is looked at: its place, its times, and what can be done about them."""

    segment: Segment
    row: SegmentLine
    index: int
    count: int
    drink: str
    lane: str
    after: tuple[str, ...]
    takes: Takes
    times: Times
    words: int

    @property
    def plan_s(self) -> int:
        """What it would be planned for: as the runs take it, or as its words do."""
        words_s = self.takes.words_s or 0.0
        return round(words_s if self.takes.words_over_s else self.takes.takes_s)

    @property
    def step_s(self) -> float:
        """By how much the plan would change; 0 where nothing asks for it."""
        takes = self.takes
        is_quicker = takes.runs >= LEAST_RUNS and takes.over_s <= -LEAST_OVER_S
        is_asked = takes.has_grown or takes.words_over_s or is_quicker
        return self.plan_s - takes.planned_s if is_asked else 0.0


@dataclass(frozen=True)
class ProcessPanel:
    """The parallel process that is looked at."""

    process: Process
    row: ProcessRow
    placed: PlacedProcess
    after: str
    before: str
    times: ProcessTimes | None
    worked_out: WorkedOut | str | None
    product: str
    """The ingredient that it makes; "" for none."""
    product_waits: str
    """How long that waits and how warm it goes in, as planned; "" where it cannot be told."""


@dataclass(frozen=True, kw_only=True)
class PlanPage(RoutinePage, folder="plan"):
    """The plan; `edit` names the part whose form is open, `form` is that form."""

    head: PlanHeadline
    tape: PlanTape
    rows: tuple[SegmentLine, ...]
    processes: tuple[ProcessRow, ...]
    looked_at: SegmentPanel | ProcessPanel | None
    first: SegmentPanel | ProcessPanel | None
    edit: str
    form: Form
    quick: Form
    link_names: list[str]
    reading_numbers: list[str]
    lanes: Mapping[Lane, str]
    drink_names: Mapping[str, str]
    segment_names: Mapping[str, str]
    product_names: Mapping[str, str]


def head_chance(outlook: Outlook) -> HeadChance:
    """The chance as the first line of a page has it, worked out over all slots."""
    full = outlook.full
    told = told_of(outlook.next_run, outlook.rules, outlook.routine.id)
    over_s = full.quantile_s(CERTAINTY) - outlook.rules.slot_s
    return HeadChance(
        told=told,
        rest=told.sentence.removeprefix(told.inside),
        share=full.chance_inside,
        cut_s=max(over_s, 0.0),
        spare_s=max(-over_s, 0.0),
        but=too_late(layout(outlook.routine), full),
    )


def headline_of(
    outlook: Outlook, placed: Layout, untold: str, *, with_chance: bool
) -> PlanHeadline:
    """The headline, with the chance where that is worked out; `untold` says why there is none."""
    chance = head_chance(outlook) if with_chance and outlook.routine.segments else None
    return PlanHeadline(
        placed.total_s,
        left_of(outlook.rules.slot_s, placed.total_s),
        len(placed.segments),
        chance,
        untold or outlook.untold,
        outlook.model.told.why.runs,
    )


def rows_of(
    placed: Layout, takes: Mapping[str, Takes], drinks: Mapping[str, str]
) -> tuple[SegmentLine, ...]:
    """A line for each segment."""
    return tuple(
        _row(number, each.segment, each.start_s, takes[each.segment.id], drinks[each.segment.id])
        for number, each in enumerate(placed.segments, 1)
    )


def _row(number: int, segment: Segment, start_s: float, takes: Takes, tint: str) -> SegmentLine:
    note, needs = _lane_note(segment), False
    if takes.has_grown:
        note, needs = f"{takes.over_s:.0f} s longer", True
    elif takes.words_over_s:
        note, needs = f"{takes.words_over_s:.0f} s of words over", True
    return SegmentLine(
        segment.id, number, segment.name, tint, start_s, takes.planned_s, note, needs
    )


def _lane_note(segment: Segment) -> str:
    notes = ["a helper" if segment.helper else ""]
    notes.append("alongside" if segment.alongside else "")
    if not segment.helper and segment.lane != "both":
        notes.insert(0, LANES[segment.lane].lower())
    return ", ".join(filter(None, notes))


def process_rows(placed: Layout, forecast: Forecast | None) -> tuple[ProcessRow, ...]:
    """A line for each parallel process."""
    chances = {each.id: each.chance_ready for each in forecast.processes} if forecast else {}
    return tuple(_process_row(each, chances.get(each.process.id)) for each in placed.processes)


def _process_row(placed: PlacedProcess, chance: float | None) -> ProcessRow:
    process = placed.process
    ready = "" if chance is None else in_a_hundred(chance)
    note, needs = "needed by nothing", True
    if process.after_segment_id is None:
        note = "starts after no segment"
    elif placed.due_s is not None:
        needs = chance is not None and chance < SURELY_READY
        note = f"needed {format_clock(placed.due_s)}"
        if placed.margin_s is not None and placed.margin_s < 0:
            note, needs = f"{format_clock(-placed.margin_s)} too late by the plan", True
    return ProcessRow(
        process.id, process.name, placed.start_s, process.duration.likely_s, note, needs, ready
    )


def segment_panel(
    routine: Routine, outlook: Outlook, row: SegmentLine, takes: Takes, words: int
) -> SegmentPanel:
    """The panel of the segment of a row."""
    segment = routine.segments[row.number - 1]
    names = {each.id: each.name for each in routine.segments}
    drinks = {each.id: each.name for each in routine.drinks}
    return SegmentPanel(
        segment=segment,
        row=row,
        index=row.number - 1,
        count=len(routine.segments),
        drink=drinks.get(segment.drink_id or "", ""),
        lane="a helper’s hands" if segment.helper else LANES[segment.lane].lower(),
        after=tuple(names[each] for each in segment.after_segment_ids),
        takes=takes,
        times=outlook.model.plan.times[segment.id],
        words=words,
    )


def process_panel(
    routine: Routine, row: ProcessRow, placed: PlacedProcess, times: ProcessTimes | None
) -> ProcessPanel:
    """The panel of a parallel process."""
    names = {each.id: each.name for each in routine.segments}
    process = placed.process
    return ProcessPanel(
        process=process,
        row=row,
        placed=placed,
        after=names.get(process.after_segment_id or "", ""),
        before=names.get(process.before_segment_id or "", ""),
        times=times,
        worked_out=_worked_out(routine, process),
        product=product_names(routine).get(process.product_id or "", ""),
        product_waits=product_waits(routine, process),
    )


def first_of(
    rows: tuple[SegmentLine, ...], takes: Mapping[str, Takes], processes: tuple[ProcessRow, ...]
) -> SegmentLine | ProcessRow | None:
    """What needs the person first: what takes longer, then what may be late, then long words."""
    grown = [each for each in rows if takes[each.id].has_grown]
    if grown:
        return max(grown, key=lambda each: takes[each.id].over_s)
    late = [each for each in processes if each.needs]
    return next(iter(late), None) or next((each for each in rows if each.needs), None)


def _worked_out(routine: Routine, process: Process) -> WorkedOut | str | None:
    """The time by the readings, or in words why there is none."""
    try:
        return worked_out(routine, process)
    except InvalidInput as error:
        return error.message
