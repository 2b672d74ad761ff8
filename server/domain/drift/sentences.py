"""Plain sentences from the numbers, each with the evidence it rests on.

A sentence says no more than `findings` can stand for, and none is made where there is nothing to
say: a routine with few runs or a steady one gets one or two.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import chain, islice
from typing import Literal

from server.domain.drift import wording
from server.domain.drift.analysis import TOTAL, Drift
from server.domain.drift.findings import (
    Apart,
    Moved,
    Off,
    groups_apart,
    heavy_share,
    moved,
    off_their_plan,
    strongest_link,
)
from server.domain.drift.groups import Difference
from server.domain.drift.laws import wilson

Kind = Literal[
    "forecast", "calibration", "total", "segment", "groups", "share", "plan", "learning", "last",
    "together",
]  # fmt: skip

MOST = 5
MOST_OF_A_KIND = 2
_JUDGED_LEVEL = 0.8
_LEAST_JUDGED = 20

Numbers = Mapping[str, float]


@dataclass(frozen=True)
class Sentence:
    """One sentence, what it is about, and where its evidence stands on the page.

    `anchor` is `forecast`, `total`, `shares`, `links`, `learning`, `segment-<id>`, `pair-<key>` or
    `run-<id>`; `numbers` are those of the text, unrounded, in seconds or as parts of one.
    """

    text: str
    kind: Kind
    anchor: str
    segment_ids: tuple[str, ...]
    numbers: Numbers


def sentences(drift: Drift, *, today: date | None = None) -> tuple[Sentence, ...]:
    """At most five sentences, the most useful first; none where there is no run.

    With `today` spans reach from today ("two weeks ago"), without from the last run ("earlier").
    """
    ordered = chain(
        _forecast(drift),
        _judged(drift),
        (_moved(drift, each, today) for each in moved([drift.total])),
        (_moved(drift, each, today) for each in moved(drift.segments)[:MOST_OF_A_KIND]),
        (_apart(each) for each in groups_apart(drift)[:MOST_OF_A_KIND]),
        _share(drift),
        (_off(each) for each in off_their_plan(drift)[:MOST_OF_A_KIND]),
        _flattened(drift),
        _last(drift),
        _linked(drift),
    )
    return tuple(islice(ordered, MOST))


def _forecast(drift: Drift) -> Iterator[Sentence]:
    told = drift.forecast
    interval = told.interval(0.8)
    if told.runs == 1 and told.median_s is not None:
        text = (
            f"One run so far, {wording.clock(told.median_s)}; "
            "it says nothing about how far the next may lie from it."
        )
        yield Sentence(text, "forecast", "forecast", (), {"total_s": told.median_s})
    if interval is None or told.inside is None:
        return
    numbers = {"low_s": interval.low_s, "high_s": interval.high_s, "inside": told.inside}
    bounds = wording.clock_between(interval.low_s, interval.high_s)
    if told.caution:
        text = (
            f"The next run may end between {bounds} (80 % interval from only "
            f"{wording.counted(told.used, 'run')})."
        )
    else:
        text = (
            f"The next run should end between {bounds} (80 % interval from {_spoken_for(drift)}); "
            f"the chance that it fits the slot of {wording.clock(drift.rules.slot_s)} is "
            f"{wording.share(told.inside)}."
        )
    yield Sentence(text + _broken_off(drift), "forecast", "forecast", (), numbers)


def _spoken_for(drift: Drift) -> str:
    runs = wording.counted(drift.forecast.used, "run")
    if drift.forecast.basis == "trend":
        return f"the slope of the last {runs}"
    if drift.forecast.basis == "change":
        return f"the {runs} since the level last changed"
    return f"the last {runs}"


def _broken_off(drift: Drift) -> str:
    runs = drift.table.broken_off
    if not runs:
        return ""
    were = "was" if runs == 1 else "were"
    return f" It speaks of finished runs; {wording.number(runs)} {were} broken off."


def _judged(drift: Drift) -> Iterator[Sentence]:
    """A warning, where intervals have held clearly fewer runs than they said."""
    for each in () if drift.calibration is None else drift.calibration.coverage:
        low, high = wilson(each.held, each.said, 0.99)
        if each.level == _JUDGED_LEVEL and each.said >= _LEAST_JUDGED and high < each.level:
            text = (
                f"Take the forecast with care: of {each.said} earlier intervals meant to hold 80 % "
                f"of the runs, {each.held} held theirs ({wording.share(each.held / each.said)})."
            )
            numbers = {"said": each.said, "held": each.held, "low": low, "high": high}
            yield Sentence(text, "calibration", "forecast", (), numbers)


def _moved(drift: Drift, found: Moved, today: date | None) -> Sentence:
    total = found.series.id == TOTAL
    subject = "The whole routine" if total else f"“{found.series.name}”"
    told = found.extent
    when = _since(drift, found) if found.move.shape == "jump" else _ago(drift, found, today)
    text = f"{subject} takes {_by(told.shift_s)} {when}{_evidence(told)}."
    return Sentence(
        text,
        "total" if total else "segment",
        "total" if total else f"segment-{found.series.id}",
        () if total else (found.series.id,),
        _numbers(told),
    )


def _since(drift: Drift, found: Moved) -> str:
    run = found.move.late_run
    started = drift.table.started[run]
    name = drift.table.names[run]
    return f"since {name}" + (f" ({wording.day(started)})" if started else "") + " than before"


def _ago(drift: Drift, found: Moved, today: date | None) -> str:
    """How long before the last run, or before today, the middle of the early runs lay."""
    runs, (start, stop) = found.series.runs, found.move.early
    middle = int(runs[-found.move.trend.n :][(start + stop) // 2])
    last = int(runs[-1])
    early_day, last_day = drift.table.day(middle), today or drift.table.day(last)
    if early_day is None or last_day is None:
        return f"than {wording.counted(last - middle, 'run')} earlier"
    days = (last_day - early_day).days
    if days <= 0:
        return "than earlier that day"
    return f"than {wording.span(days)} {'ago' if today else 'earlier'}"


def _apart(found: Apart) -> Sentence:
    told = found.difference
    first = found.pair.first_name[0].upper() + found.pair.first_name[1:]
    verb = "take" if first.lower().startswith("runs") else "takes"
    text = f"{first} {verb} {_by(told.shift_s)} than {found.pair.second_name}{_evidence(told)}."
    return Sentence(text, "groups", f"pair-{found.pair.key}", (), _numbers(told))


def _share(drift: Drift) -> Iterator[Sentence]:
    found = heavy_share(drift)
    if found is None or drift.together is None:
        return
    text = (
        f"“{_name(drift, found.segment_id)}” alone makes up {wording.share(found.share)} of the "
        f"variance of the total (95 % interval {round(found.low * 100)} to "
        f"{round(found.high * 100)} %, {drift.together.n} runs)."
    )
    numbers = {"share": found.share, "low": found.low, "high": found.high}
    yield Sentence(text, "share", "shares", (found.segment_id,), numbers)


def _off(found: Off) -> Sentence:
    off = found.off
    low_s, high_s = off.low_s or 0.0, off.high_s or 0.0
    if off.off_s < 0:
        low_s, high_s = -high_s, -low_s
    word = "longer" if off.off_s > 0 else "less"
    text = (
        f"“{found.series.name}” takes {wording.seconds(off.off_s)} {word} than planned (median of "
        f"the last {wording.counted(off.n, 'run')}, "
        f"95 % interval {wording.between(low_s, high_s)})."
    )
    numbers = {"off_s": off.off_s, "low_s": off.low_s or 0.0, "high_s": off.high_s or 0.0}
    return Sentence(text, "plan", f"segment-{found.series.id}", (found.series.id,), numbers)


def _flattened(drift: Drift) -> Iterator[Sentence]:
    curve = drift.total.learning
    if curve is None or not curve.believed or curve.flat_from is None:
        return
    if curve.flat_from > drift.table.runs or curve.gain_s < curve.spread_s:
        return
    name = drift.table.names[curve.flat_from - 1]
    text = (
        f"Practice has flattened: since {name} ten more runs save less than "
        f"{wording.seconds(curve.spread_s / 2)}, half of what single runs scatter by."
    )
    numbers = {"flat_from": float(curve.flat_from), "spread_s": curve.spread_s}
    yield Sentence(text, "learning", "learning", (), numbers)


def _last(drift: Drift) -> Iterator[Sentence]:
    if not drift.past:
        return
    last = drift.past[-1]
    interval = last.forecast.interval(0.95)
    if interval is None or last.forecast.caution or last.held(0.95):
        return
    text = (
        f"The last run, {wording.clock(last.total_s)}, ended outside what the runs before it led "
        f"to expect (95 % interval {wording.clock_between(interval.low_s, interval.high_s)})."
    )
    numbers = {"total_s": last.total_s, "low_s": interval.low_s, "high_s": interval.high_s}
    yield Sentence(text, "last", f"run-{last.run_id}", (), numbers)


def _linked(drift: Drift) -> Iterator[Sentence]:
    link = strongest_link(drift)
    if link is None or drift.together is None:
        return
    first, second = _name(drift, link.first_id), _name(drift, link.second_id)
    text = (
        f"“{first}” and “{second}” slow down together (correlation {link.correlation:.2f} from one "
        f"run to the next, {drift.together.n} runs)."
    )
    numbers = {"correlation": link.correlation, "p": link.p}
    yield Sentence(text, "together", "links", (link.first_id, link.second_id), numbers)


def _by(shift_s: float) -> str:
    return f"{wording.seconds(shift_s)} {'longer' if shift_s > 0 else 'less'}"


def _evidence(told: Difference) -> str:
    low_s, high_s = told.low_s or 0.0, told.high_s or 0.0
    if told.shift_s < 0:
        low_s, high_s = -high_s, -low_s
    runs = f"{told.n_first} runs against {told.n_second}"
    return f" ({runs}, 95 % interval {wording.between(low_s, high_s)})"


def _numbers(told: Difference) -> Numbers:
    return {
        "shift_s": told.shift_s,
        "low_s": told.low_s or 0.0,
        "high_s": told.high_s or 0.0,
        "n_first": told.n_first,
        "n_second": told.n_second,
    }


def _name(drift: Drift, segment_id: str) -> str:
    return drift.table.segment_names[drift.table.segment_ids.index(segment_id)]
