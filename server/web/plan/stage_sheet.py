"""The stage sheet: the plan on one page of paper, to be read at arm's length while practising."""

from dataclasses import dataclass
from typing import Literal

from fastapi import APIRouter, Request, Response

from server.domain.base.durations import format_clock
from server.domain.base.tokens import sentences_of
from server.domain.routine.plan import Layout, PlacedProcess
from server.domain.routine.plan import layout as plain_layout
from server.domain.routine.routine import LANES, Process, Routine, Segment
from server.domain.routine.rules import RuleSheet
from server.store.routines import load_routine
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import routine_context
from server.web.frame.render import page
from server.web.frame.shown import RoutinePage
from server.web.plan.type_size import OF_SEVERAL_PAGES_PT, Row, largest_size_pt

router = APIRouter(prefix="/routines/{routine_id}/plan")

CUE_WORDS = 9
"""Words of a segment's talk that stand on the sheet: enough to find the rest."""

CLOCK, WHAT, HANDS, CUE = 0.08, 0.24, 0.42, 0.26
"""Shares of the width that the columns have on paper, as `stage_sheet.css` gives them."""

Kind = Literal["segment", "call", "start", "need", "end"]


@dataclass(frozen=True)
class SheetLine:
    """A line of the sheet: a segment, a time call, a process that starts or is needed."""

    at_s: float
    kind: Kind
    number: int | None
    name: str
    lane: str = ""
    hands: str = ""
    cue: str = ""
    note: str = ""
    part_id: str = ""
    """The segment or the process that the line is about."""


@dataclass(frozen=True, kw_only=True)
class StageSheetPage(RoutinePage, folder="stage_sheet"):
    """The sheet; `size_pt` is the size of its type, in which it `fits_one` page or takes more."""

    layout: Layout
    lines: list[SheetLine]
    size_pt: float
    fits_one: bool


@router.get("/sheet")
def sheet_page(request: Request, session: ReadSession, routine_id: str) -> Response:
    stored = load_routine(session, routine_id)
    context = routine_context(session, stored, "plan")
    placed = plain_layout(stored.routine)
    lines = lines_of(stored.routine, placed, context["rules"])
    size_pt = size_of(lines)
    shown = StageSheetPage(
        **context,
        layout=placed,
        lines=lines,
        size_pt=size_pt or OF_SEVERAL_PAGES_PT,
        fits_one=size_pt is not None,
    )
    return page(request, shown)


def size_of(lines: list[SheetLine]) -> float | None:
    """The size of type in which the sheet fills one page; None where it takes more than one."""
    return largest_size_pt([_cells(line) for line in lines])


def _cells(line: SheetLine) -> Row:
    if line.kind != "segment":
        return [(1 - CLOCK, f"{line.name} must be ready – {line.note}")]
    return [(WHAT, f"{line.number}. {line.name} {line.lane}"), (HANDS, line.hands), (CUE, line.cue)]


def lines_of(routine: Routine, placed: Layout, rules: RuleSheet) -> list[SheetLine]:
    """All lines in the order in which they are met."""
    lines = [
        SheetLine(
            each.start_s, "segment", number, each.segment.name, _lane(each.segment),
            " · ".join(each.segment.hands.splitlines()),
            cue_of(each.segment.said, routine.language),
            part_id=each.segment.id,
        )
        for number, each in enumerate(placed.segments, 1)
    ]  # fmt: skip
    lines += [SheetLine(call.at_s, "call", None, call.words) for call in rules.time_calls]
    lines += [line for each in placed.processes for line in _process_lines(each)]
    lines.append(SheetLine(rules.target_s, "call", None, "Target"))
    lines.append(SheetLine(rules.slot_s, "end", None, "End of the slot"))
    # What a segment must not begin without stands before it.
    ranks = {"need": 0, "start": 1, "call": 2, "end": 3, "segment": 4}
    return sorted(lines, key=lambda line: (line.at_s, ranks[line.kind]))


def cue_of(said: str, language: str) -> str:
    """The first words of what is said."""
    sentences = sentences_of(said, language)
    if not sentences:
        return ""
    words = said[sentences[0].start : sentences[0].end].split()
    return " ".join(words[:CUE_WORDS]) + (" …" if len(words) > CUE_WORDS else "")


def fallback_words(process: Process) -> str:
    """When plan B is used, and what it is; empty where it is waited for."""
    waits = []
    if process.patience_s:
        waits.append(f"after waiting {format_clock(process.patience_s)}")
    if process.fallback_by_s:
        waits.append(f"earliest {format_clock(process.fallback_by_s)}")
    if not waits and not process.fallback:
        return ""
    when = ", ".join(["If not ready", *waits])
    return f"{when}: {process.fallback or 'plan B'}"


def _process_lines(placed: PlacedProcess) -> list[SheetLine]:
    process, lines = placed.process, []
    if placed.start_s is not None:
        ready = f"ready about {format_clock(placed.ready_s or 0.0)}"
        if placed.ready_high_s and placed.ready_high_s > (placed.ready_s or 0.0):
            ready += f", at the slowest {format_clock(placed.ready_high_s)}"
        lines.append(
            SheetLine(placed.start_s, "start", None, process.name, note=ready, part_id=process.id)
        )
    if placed.due_s is not None:
        fallback = fallback_words(process)
        lines.append(
            SheetLine(placed.due_s, "need", None, process.name, note=fallback, part_id=process.id)
        )
    return lines


def _lane(segment: Segment) -> str:
    words = "Helper" if segment.helper else LANES[segment.lane]
    return f"{words}, alongside" if segment.alongside else words
