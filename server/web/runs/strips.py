"""Runs as strips beneath each other, all on one scale: what a person sees of them first.

A block has the colour of its drink. What runs past the end of the slot falls off it. Places and
widths are in percent of the strip.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from markupsafe import Markup, escape

from server.domain.base.durations import format_clock
from server.domain.base.memo import Memo
from server.domain.drift.goals import Goal
from server.domain.routine.plan import PlacedSegment, place_segments
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.runs.events import INCIDENTS
from server.domain.runs.summary import RunLine, RunSummary
from server.web.frame.filters import (
    apart,
    clock_ms,
    moment_ms,
    run_name,
    short_day,
    split_ms,
    time_of_day,
)
from server.web.frame.tape import PlacedStretch, Post, TapeScale, drink_classes, span_of, ticks
from server.web.runs.run_words import about, finish_words

MOST_SLOTS = 2
"""A strip longer than this many slots (or plans) is cut: it would squeeze the others."""

LONG_S = 4.0
"""A segment that took so much longer than planned is pointed at, the longest of each run."""

UNMARKED = "unmarked"

STRIPS_KEPT = 512
"""About 20 KB each where runs have 40 segments."""

_WHAT = {str(kind): words for kind, words in INCIDENTS.items()}


@dataclass(frozen=True)
class StripBlock(PlacedStretch):
    """A segment on a strip, or a part of it; `fell` where it lies past the end of the slot."""

    fell: bool = False


@dataclass(frozen=True)
class RunStrip:
    """One run, or the plan, as a strip with what stands beside it."""

    run_id: str
    name: str
    day: str
    about: str
    total: str
    words: str
    """How it ended, or that it does not count."""
    blocks: tuple[StripBlock, ...]
    counts: bool = True
    torn: float | None = None
    """Where a run that was broken off ends."""
    long: Post | None = None
    """The middle of the segment that took the most longer than planned."""
    flags: tuple[Post, ...] = ()
    """What went wrong, where the clock stood."""

    def drawing(self, top: float, height: float, fall: float, titled: bool = True) -> Markup:
        """Its blocks as rectangles, `fall` lower where they lie past the slot; lengths in pixels.

        Prepared as text: a loop of a template costs ten times as much, and a strip has forty.
        """
        hatched = ' fill="url(#run-hatch)" data-hatched'
        all_hatched = not self.counts and self.torn is None
        drawn = [
            f'<rect class="run-block {each.kind}" x="{each.x}%" width="{each.width}%" '
            f'y="{top + fall if each.fell else top}" height="{height}"'
            f"{hatched if all_hatched or each.kind == UNMARKED else ''}>"
            f"{f'<title>{escape(each.title)}</title>' if titled else ''}</rect>"
            for each in self.blocks
        ]
        return Markup("\n".join(drawn))  # noqa: S704  (every text inside is escaped or a number)


@dataclass(frozen=True)
class Bed:
    """The scale that strips share: minutes, the end of the slot, and where one wants to finish."""

    ticks: tuple[Post, ...]
    end: Post
    wanted: tuple[Post, ...]
    wanted_words: str


Basis = tuple[tuple[tuple[str, int, str, float], ...], tuple[tuple[str, str], ...], object]

_drawn = Memo[str, tuple[RunLine, Basis], RunStrip](STRIPS_KEPT)


@lru_cache(maxsize=64)
def _same(basis: Basis) -> Basis:
    """Equal plans as one object, so that they need not be compared for every run."""
    return basis


class StripMaker:
    """Draws runs of a routine to one scale."""

    def __init__(
        self,
        routine: Routine,
        rules: RuleSheet,
        lines: Sequence[RunLine],
        goal: Goal | None = None,
    ) -> None:
        placed = place_segments(routine.segments)
        self._placed: dict[str, tuple[int, PlacedSegment]] = {
            each.segment.id: (n, each) for n, each in enumerate(placed, 1)
        }
        self._kinds: Mapping[str, str] = drink_classes(routine)
        self._rules = rules
        plan_s = max((each.end_s for each in placed), default=0.0)
        # Only runs that count set the scale, and none beyond sense: the strip of another is cut.
        most_s = MOST_SLOTS * max(plan_s, rules.slot_s)
        totals_s = [(line.total_ms or 0) / 1000 for line in lines if line.counts]
        self._scale = TapeScale(span_of(rules, plan_s, *(min(each, most_s) for each in totals_s)))
        self._wanted = (goal.low_s, goal.high_s) if goal else (rules.target_s,)
        # All that a strip is made from beside its run; a day names its year once that is past.
        self._basis = _same(
            (
                tuple(
                    (key, n, each.segment.name, each.segment.duration.likely_s)
                    for key, (n, each) in self._placed.items()
                ),
                tuple(self._kinds.items()),
                (
                    self._scale.span_s,
                    rules.slot_s,
                    rules.target_s,
                    datetime.now().astimezone().year,
                ),
            )
        )

    def bed(self) -> Bed:
        """What all strips lie on."""
        words = " to ".join(format_clock(each) for each in self._wanted)
        slot_s = self._rules.slot_s
        end = self._scale.at(slot_s)
        # The tag of the end stands at its right, where the next minutes would.
        minutes = (each for each in ticks(self._scale) if not -4 < each.x - end < 15)
        return Bed(
            tuple(Post(each.x, each.label.removesuffix(":00"), "tick") for each in minutes),
            Post(end, format_clock(slot_s), "end"),
            tuple(Post(self._scale.at(each), "", "wanted") for each in self._wanted),
            f"{'goal' if len(self._wanted) > 1 else 'target'}, {words}",
        )

    def strip(self, line: RunLine) -> RunStrip:
        """A run."""
        return _drawn.of(line.id, (line, self._basis), lambda: self._strip(line))

    def _strip(self, line: RunLine) -> RunStrip:
        blocks = [each for key in line.summary.splits_ms for each in self._blocks(line, key)]
        blocks += self._unmarked(line)
        # Runs kept before incidents had their times have none to be drawn at.
        told = zip(line.summary.incidents, line.summary.incidents_ms, strict=False)
        total_s = (line.total_ms or 0) / 1000
        return RunStrip(
            run_id=line.id,
            name=run_name(line),
            day=short_day(line.started_ms or line.created_ms),
            # Several of one day are told apart by the time where nothing else is said of them.
            about=about(line) or time_of_day(line.started_ms),
            total=clock_ms(line.total_ms),
            # That it was broken off has room beside a strip, why it counts as that has none.
            words=line.why_not.partition(":")[0] or finish_words(line, self._rules),
            blocks=tuple(blocks),
            counts=line.counts,
            torn=self._scale.at(total_s) if line.broken_off and total_s else None,
            long=self._longest(line),
            flags=tuple(
                Post(self._scale.at(ms / 1000), f"{_WHAT.get(what, what)}, {moment_ms(ms)}", "flag")
                for what, ms in told
            ),
        )

    def plan(self) -> RunStrip:
        """The plan as a strip of its own."""
        blocks = [
            block
            for number, each in self._placed.values()
            for block in self._stretch(
                each.start_s, each.end_s, each.segment.id, f"{number}. {each.segment.name}"
            )
        ]
        end_s = max((each.end_s for _, each in self._placed.values()), default=0.0)
        return RunStrip("", "Plan", "Plan", "", format_clock(end_s), "", tuple(blocks))

    def typical(self, name: str, splits_s: Mapping[str, float], total_s: float) -> RunStrip:
        """A strip of so many seconds a segment, in the order of the plan."""
        blocks: list[StripBlock] = []
        at_s = 0.0
        for key in self._placed:
            if key in splits_s:
                title = f"{self._title(key)}: {split_ms(splits_s[key] * 1000)}"
                blocks += self._stretch(at_s, at_s + splits_s[key], key, title)
                at_s += splits_s[key]
        return RunStrip("", name, "", name, format_clock(total_s), "", tuple(blocks))

    def _blocks(self, line: RunLine, key: str) -> list[StripBlock]:
        split, end = line.summary.splits_ms[key], line.summary.ends_ms[key]
        title = f"{self._title(key)}: {split_ms(split)}"
        return self._stretch((end - split) / 1000, end / 1000, key, title)

    def _stretch(self, start_s: float, end_s: float, key: str, title: str) -> list[StripBlock]:
        """A segment as one block, or as two where the slot ends within it."""
        slot_s = self._rules.slot_s
        kind = self._kinds.get(key, "no-drink" if key else UNMARKED)
        parts = [
            (start_s, min(end_s, slot_s), False),
            (max(start_s, slot_s), end_s, True),
        ]
        found = []
        for first_s, last_s, fell in parts:
            x, width = self._scale.stretch(first_s, last_s)
            if width > 0:
                found.append(StripBlock(x, width, kind, title, fell))
        return found

    def _unmarked(self, line: RunLine) -> list[StripBlock]:
        """Stretches of a run of which nobody marked what they were."""
        summary, found, at_s = line.summary, list[StripBlock](), 0.0
        gap = "not marked, or not counted" if line.occasion.left_out else "not marked"
        for key, split in summary.splits_ms.items():
            end = summary.ends_ms[key]
            start_s = (end - split) / 1000
            if start_s - at_s > 0.5:
                found += self._stretch(at_s, start_s, "", gap)
            at_s = end / 1000
        total_s = (line.total_ms or 0) / 1000
        if total_s - at_s > 0.5 and not line.broken_off:
            found += self._stretch(at_s, total_s, "", gap)
        return found

    def _title(self, key: str) -> str:
        if key not in self._placed:
            return "a former segment"
        number, placed = self._placed[key]
        return f"{number}. {placed.segment.name}"

    def _longest(self, line: RunLine) -> Post | None:
        over = longest_over(line.summary, [each for _, each in self._placed.values()])
        if over is None or over[1] < LONG_S:
            return None
        key, over_s = over
        summary = line.summary
        middle_s = (summary.ends_ms[key] - summary.splits_ms[key] / 2) / 1000
        return Post(
            self._scale.at(middle_s), f"{self._title(key)}: {apart(over_s, tenths=True)}", "long"
        )


def longest_over(summary: RunSummary, placed: Sequence[PlacedSegment]) -> tuple[str, float] | None:
    """The segment of a run that took the most longer than planned, and by how many seconds."""
    over = [
        (splits[each.segment.id] / 1000 - each.segment.duration.likely_s, each.segment.id)
        for each in placed
        if each.segment.id in (splits := summary.splits_ms)
    ]
    if not over:
        return None
    over_s, key = max(over, key=lambda each: each[0])
    return key, over_s
