"""The tape on Today: the plan, the last run beneath it, and each process, on one scale."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.base.durations import format_apart, format_clock
from server.domain.claims.spoken.small_words import ARTICLES
from server.domain.risk.outcome import ProcessRisk
from server.domain.risk.saying import in_a_hundred
from server.domain.routine.plan import Layout
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.runs.summary import RunLine
from server.web.frame.lettering import before_a_line, first_that_fit, room_of
from server.web.frame.tape import (
    PlacedStretch,
    Post,
    ProcessStrip,
    TapeScale,
    drink_classes,
    plan_tape,
    span_of,
    ticks,
)

NOTCHED_S = 3.0
"""A segment of the last run so much longer than planned is notched; only the longest is."""

PX = 10.4
"""Pixels of a percent of the strip on a screen of 1,280 px, for which names are fitted."""
NARROW_PX = 8.0
"""The same at 62 rem, the narrowest screen that shows them: a further word must fit there too."""
NARROWEST_PX = 5.0
"""The same of the narrowest strip that shows words beneath it, at 40 rem."""


@dataclass(frozen=True)
class LetteredBlock(PlacedStretch):
    """A segment on a row; `words` are the first ones of its name that fit."""

    label: str = ""
    words: str = ""


@dataclass(frozen=True)
class LongerNotch:
    """What was longer than planned in the last run, in words, and where.

    The words reach from `words_x` to the left where they `end` there, else to the right, `words_dx`
    pixels on.
    """

    x: float
    words: str
    words_x: float
    words_dx: int
    ends: bool


@dataclass(frozen=True)
class ProcessStripRow:
    """A process: its strip, and when it is needed and how surely it is ready, in words."""

    strip: ProcessStrip
    words: str


@dataclass(frozen=True)
class DrinkName:
    """Over which stretch a drink is named; `room` names the widths from which the name fits."""

    x: float
    width: float
    name: str
    kind: str
    room: str


@dataclass(frozen=True)
class TodayTape:
    """The whole drawing; `last` is empty without a run."""

    title: str
    ticks: tuple[Post, ...]
    end: float
    end_label: str
    target: float
    drinks: tuple[DrinkName, ...]
    plan: tuple[LetteredBlock, ...]
    plan_total: str
    last: tuple[LetteredBlock, ...]
    last_total: str
    notch: LongerNotch | None
    processes: tuple[ProcessStripRow, ...]


def today_tape(
    routine: Routine,
    rules: RuleSheet,
    placed: Layout,
    last: RunLine | None,
    chances: Sequence[ProcessRisk] = (),
) -> TodayTape:
    """The tape of a plan and the last run that counts, where there is one."""
    last_s = (last.total_ms or 0) / 1000 if last else 0.0
    ready_s = [each.ready_high_s or 0.0 for each in placed.processes]
    scale = TapeScale(span_of(rules, placed.total_s, last_s, *ready_s))
    kinds = drink_classes(routine)
    base = plan_tape(routine, placed, rules, scale.span_s)
    drink_names = {each.id: each.name for each in routine.drinks}
    ready = {each.name: in_a_hundred(each.chance_ready) for each in chances}
    return TodayTape(
        title=base.title,
        ticks=ticks(scale),
        end=scale.at(rules.slot_s),
        end_label=format_clock(rules.slot_s),
        target=scale.at(rules.target_s),
        drinks=tuple(_drinks(routine, placed, scale, kinds)),
        plan=tuple(
            _block(
                scale,
                each.start_s,
                each.end_s,
                kinds[each.segment.id],
                n,
                each.segment.name,
                drink_names.get(each.segment.drink_id or "", ""),
            )
            for n, each in enumerate(placed.segments, 1)
        ),
        plan_total=format_clock(placed.total_s),
        last=_last(routine, last, scale, kinds) if last else (),
        last_total=format_clock(last_s) if last else "",
        notch=_notch(routine, last, scale, rules.slot_s) if last else None,
        processes=tuple(
            ProcessStripRow(each, _needed(each, ready.get(each.name, "")))
            for each in base.processes
        ),
    )


def _block(
    scale: TapeScale,
    start_s: float,
    end_s: float,
    kind: str,
    number: int,
    name: str,
    drink: str = "",
) -> LetteredBlock:
    x, width = scale.stretch(start_s, end_s)
    label = str(number) if width * PX > 24 else ""
    words = _first_words(name, drink, width)
    return LetteredBlock(x, width, kind, f"{number}. {name}", label, words)


def _first_words(name: str, drink: str, width: float) -> str:
    """As many words of a segment's name as fit, without its drink's, which stands above it.

    An article alone tells nothing: then it is left out.
    """
    after = re.compile(rf"{re.escape(drink)}(?!\w)[\s,;:.–—-]*", re.IGNORECASE) if drink else None
    opening = after.match(name) if after else None
    words = ((name[opening.end() :] if opening else "") or name).split()
    rooms_px = width * PX, width * NARROW_PX
    shown = first_that_fit(words, *rooms_px)
    is_article = len(words) > 1 and shown.lower() in ARTICLES
    return first_that_fit(words[1:], *rooms_px) if is_article else shown


def _last(
    routine: Routine, last: RunLine, scale: TapeScale, kinds: dict[str, str]
) -> tuple[LetteredBlock, ...]:
    names = {each.id: (n, each.name) for n, each in enumerate(routine.segments, 1)}
    blocks = []
    for segment_id, split_ms in last.summary.splits_ms.items():
        end_s = last.summary.ends_ms[segment_id] / 1000
        number, name = names.get(segment_id, (0, "a former segment"))
        kind = kinds.get(segment_id, "no-drink")
        block = _block(scale, end_s - split_ms / 1000, end_s, kind, number, name)
        blocks.append(LetteredBlock(block.x, block.width, kind, block.title))
    return tuple(blocks)


def _notch(routine: Routine, last: RunLine, scale: TapeScale, slot_s: float) -> LongerNotch | None:
    over = [
        (split_ms / 1000 - each.duration.likely_s, each)
        for each in routine.segments
        if (split_ms := last.summary.splits_ms.get(each.id)) is not None
    ]
    most_s, segment = max(over, key=lambda each: each[0], default=(0.0, None))
    if segment is None or most_s < NOTCHED_S:
        return None
    x = scale.at(last.summary.ends_ms[segment.id] / 1000)
    words = f"{segment.name}, {format_apart(most_s, tenths=True)}"
    return LongerNotch(x, words, *before_a_line(x, len(words), scale.at(slot_s), NARROWEST_PX))


def _drinks(
    routine: Routine, placed: Layout, scale: TapeScale, kinds: dict[str, str]
) -> list[DrinkName]:
    found = []
    for drink in routine.drinks:
        about = [each for each in placed.segments if each.segment.drink_id == drink.id]
        # A process may be started long before: the name stands over the longest stretch.
        stretches: list[list[float]] = []
        for each in about:
            if stretches and abs(stretches[-1][1] - each.start_s) < 30:
                stretches[-1][1] = each.end_s
            else:
                stretches.append([each.start_s, each.end_s])
        if stretches:
            start_s, end_s = max(stretches, key=lambda each: each[1] - each[0])
            kind = kinds[about[0].segment.id]
            x, width = scale.stretch(start_s, end_s)
            found.append(DrinkName(x, width, drink.name, kind, room_of(width, len(drink.name))))
    return found


def _needed(strip: ProcessStrip, ready: str) -> str:
    if strip.due is None:
        return ""
    return f"{strip.due.label}{f', in time {ready}' if ready else ''}"
