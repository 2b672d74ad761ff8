"""Runs beneath each other on the tape, the plan on top, all on one scale."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.compare import ComparedRun
from server.domain.events import INCIDENTS
from server.domain.plan import PlacedSegment
from server.domain.rules import RuleSheet
from server.web.filters import clock_ms, moment_ms, run_name, split_ms
from server.web.tape import Piece, Post, Scale, posts, span_of, ticks

MOST_SLOTS = 2
"""A strip longer than this many slots (or plans) is cut: it would squeeze the others."""

_WHAT = {str(kind): words for kind, words in INCIDENTS.items()}


@dataclass(frozen=True)
class RunStrip:
    """One run (or the plan) on the tape."""

    name: str
    total: str
    pieces: tuple[Piece, ...]
    over: Piece | None
    """The part past the end of the slot."""
    kind: str = "ran"
    incidents: tuple[Post, ...] = ()
    """What went wrong, where the clock stood."""


@dataclass(frozen=True)
class RunTape:
    """The plan and some runs beneath each other."""

    strips: tuple[RunStrip, ...]
    posts: tuple[Post, ...]
    ticks: tuple[Post, ...]


def run_tape(
    planned: Sequence[PlacedSegment], rules: RuleSheet, runs: Sequence[ComparedRun]
) -> RunTape:
    """The tape of a plan with `runs` beneath it, latest first."""
    plan_s = max((each.end_s for each in planned), default=0.0)
    # Only runs that count set the scale, and none beyond sense: the strip of another is cut.
    most_s = MOST_SLOTS * max(plan_s, rules.slot_s)
    totals_s = [(run.line.total_ms or 0) / 1000 for run in runs if run.line.counts]
    scale = Scale(span_of(rules, plan_s, *(min(each, most_s) for each in totals_s)))
    numbers = {each.segment.id: (n, each.segment.name) for n, each in enumerate(planned, 1)}
    strips = [_strip(run, scale, numbers, rules) for run in reversed(runs)]
    # Time calls would crowd a picture of many strips: only target and slot end stand here.
    marks = tuple(post for post in posts(rules, scale) if post.kind != "call")
    plan_strip = RunStrip(
        "Plan", clock_ms(plan_s * 1000), _planned(planned, scale), None, "planned"
    )
    return RunTape((plan_strip, *strips), marks, ticks(scale))


def _planned(planned: Sequence[PlacedSegment], scale: Scale) -> tuple[Piece, ...]:
    return tuple(
        scale.piece(each.start_s, each.end_s, str(n), f"{n}. {each.segment.name}", _kind(n))
        for n, each in enumerate(planned, 1)
    )


def _strip(
    run: ComparedRun, scale: Scale, numbers: dict[str, tuple[int, str]], rules: RuleSheet
) -> RunStrip:
    summary = run.line.summary
    pieces = []
    for segment_id, split in summary.splits_ms.items():
        number, name = numbers.get(segment_id, (0, "a former segment"))
        end_s = summary.ends_ms[segment_id] / 1000
        label = str(number) if number else ""
        title = f"{f'{label}. ' if label else ''}{name}: {split_ms(split)}"
        pieces.append(scale.piece(end_s - split / 1000, end_s, label, title, _kind(number)))
    total_s = (run.line.total_ms or 0) / 1000
    is_over = total_s > rules.slot_s
    over = scale.piece(rules.slot_s, total_s, "", "past the slot") if is_over else None
    # Runs kept before incidents had their times have none to be drawn at.
    told = zip(summary.incidents, summary.incidents_ms, strict=False)
    incidents = tuple(
        Post(scale.at(ms / 1000), f"{_WHAT.get(what, what)}, {moment_ms(ms)}", "incident")
        for what, ms in told
    )
    return RunStrip(
        run_name(run.line), clock_ms(run.line.total_ms), tuple(pieces), over, incidents=incidents
    )


def _kind(number: int) -> str:
    return "odd" if number % 2 else "even"
