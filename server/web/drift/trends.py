"""What the runs say in three sentences, each with its own small picture.

Finishes, the segment that moved or is furthest off its plan, and claims heard. A picture is a row
of dots or columns, a run each, in percent across and pixels down.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from server.domain.base.durations import format_apart, format_clock
from server.domain.base.number_words import count, in_words
from server.domain.drift.analysis import Drift, SeriesDrift
from server.domain.drift.run_labels import HEARD, MISSED, WRONG, claims_of
from server.domain.drift.sentence import DriftSentence
from server.domain.runs.summary import RunLine
from server.web.drift.drift_reading import DriftReading
from server.web.frame.filters import short_day
from server.web.runs.claims_heard import claim_words

DRAWN = 24
"""Latest runs in a small picture."""

TOP, BOTTOM = 8.0, 62.0
EDGE = 4.0
FEW = 3
LEAST_APART_S = 2.0
LEAST_REACH_S = 4.0


@dataclass(frozen=True)
class RunDot:
    """A run on a small picture: a dot at `y`, or a column of `height` down from it."""

    x: float
    y: float
    height: float
    kind: str
    title: str


@dataclass(frozen=True)
class SmallPicture:
    """Runs from left to right; `line` is what they are held against."""

    told: str
    marks: tuple[RunDot, ...]
    line: float
    line_words: str
    first: str
    last: str


@dataclass(frozen=True)
class TrendTold:
    """A sentence, what it rests on, where its evidence stands, and its picture."""

    kind: str
    text: str
    because: str
    evidence: str
    picture: SmallPicture | None


def headline(drift: Drift, counted: Sequence[RunLine]) -> str:
    """The finish of late against the finish at first, measured and not foretold."""
    if not counted:
        return "No run counts yet"
    # None is in the analysis where all of its segments have left the plan.
    times_s = drift.total.times_s.tolist() or [(counted[-1].total_ms or 0) / 1000]
    if len(times_s) < 2 * FEW:
        return f"Last finish {format_clock(times_s[-1])}"
    late_s, first_s = median(times_s[-FEW:]), median(times_s[:FEW])
    words = format_apart(late_s - first_s, "later", "sooner", "")
    if abs(late_s - first_s) < LEAST_APART_S or not words:
        return f"Finish of late {format_clock(late_s)}, as at first"
    return f"Finish of late {format_clock(late_s)}, {words} than at first"


def three(reading: DriftReading, found: Sequence[DriftSentence]) -> tuple[TrendTold, ...]:
    """The three sentences; `found` is all that stands out in the runs."""
    counted = reading.counted
    told = [_finishes(reading, counted, found), _segment(reading, found), _claims(counted)]
    return tuple(each for each in told if each is not None)


def _finishes(
    reading: DriftReading, counted: Sequence[RunLine], found: Sequence[DriftSentence]
) -> TrendTold:
    moved = next((each for each in found if each.anchor == "total"), None)
    slot_s = reading.rules.slot_s
    times_s = [(line.total_ms or 0) / 1000 for line in counted]
    inside = sum(each <= slot_s for each in times_s)
    latest = times_s[-2 * FEW :]
    plain = (
        f"The latest {in_words(len(latest))} finished between {format_clock(min(latest))} and "
        f"{format_clock(max(latest))}."
        if len(latest) > 1
        else f"One run: {format_clock(latest[0])}."
    )
    text, because = (moved.plain, moved.because) if moved else (plain, "")
    drawn = counted[-DRAWN:]
    picture = _dots(
        [(line.total_ms or 0) / 1000 for line in drawn],
        [_named(line, format_clock((line.total_ms or 0) / 1000)) for line in drawn],
        slot_s,
        f"slot {format_clock(slot_s)}",
        drawn,
        f"Finish of each run: {inside} of {len(times_s)} inside the slot",
    )
    return TrendTold("finish", text, because, "figures#total", picture)


def _segment(reading: DriftReading, found: Sequence[DriftSentence]) -> TrendTold | None:
    drift = reading.drift
    named = next(
        (each for each in found if each.segment_ids and each.kind in ("segment", "look", "plan")),
        None,
    )
    planned = [each for each in drift.segments if each.planned_s is not None and each.times_s.size]
    if named is not None:
        series = next(each for each in drift.segments if each.id == named.segment_ids[0])
        text, because = named.plain, named.because
    elif planned:
        series = max(planned, key=lambda each: abs(each.times_s[-1] - (each.planned_s or 0.0)))
        apart = format_apart(series.times_s[-1] - (series.planned_s or 0.0), tenths=True)
        text = f"Furthest from its plan last time: “{series.name}”, {apart}."
        because = ""
    else:
        return None
    return TrendTold(
        "segment", text, because, f"figures#segment-{series.id}", _columns(reading, series)
    )


def _claims(counted: Sequence[RunLine]) -> TrendTold | None:
    noted = [line for line in counted if claims_of(line)]
    if not noted:
        return None
    last = list(claims_of(noted[-1]).values())
    forgotten: dict[str, int] = {}
    for line in noted:
        for key, verdict in claims_of(line).items():
            if verdict != HEARD:
                forgotten[key] = forgotten.get(key, 0) + 1
    text = f"{last.count(HEARD)} of {count(len(last), 'claim')} heard last time they were ticked"
    if forgotten:
        worst = max(forgotten, key=lambda key: forgotten[key])
        text += f"; most often missed: {claim_words(worst)}, in {forgotten[worst]} of {len(noted)}"
    drawn = noted[-DRAWN:]
    most = max(len(claims_of(line)) for line in drawn)
    marks = []
    for n, line in enumerate(drawn):
        verdicts = list(claims_of(line).values())
        y, scale = BOTTOM, (BOTTOM - TOP) / most
        told = ", ".join(f"{verdicts.count(kind)} {kind}" for kind in (HEARD, WRONG, MISSED))
        for kind in (HEARD, WRONG, MISSED):
            height = verdicts.count(kind) * scale
            if height:
                y -= height
                x = _x(n, len(drawn))
                marks.append(RunDot(x, round(y, 1), round(height, 1), kind, _named(line, told)))
    picture = SmallPicture(
        "Claims heard in each run", tuple(marks), BOTTOM, "heard, wrong, missed", *_ends(drawn)
    )
    return TrendTold("claims", text + ".", "", "claims#claims-title", picture)


def _dots(
    values_s: Sequence[float],
    titles: Sequence[str],
    line_s: float,
    words: str,
    drawn: Sequence[RunLine],
    told: str,
) -> SmallPicture:
    low, high = min(*values_s, line_s), max(*values_s, line_s)
    reach = max(LEAST_REACH_S, high - low)

    def y(value_s: float) -> float:
        return round(BOTTOM - (value_s - low) / reach * (BOTTOM - TOP), 1)

    marks = [
        RunDot(_x(n, len(values_s)), y(each), 0.0, "over" if each > line_s else "inside", title)
        for n, (each, title) in enumerate(zip(values_s, titles, strict=True))
    ]
    return SmallPicture(told, tuple(marks), y(line_s), words, *_ends(drawn))


def _columns(reading: DriftReading, series: SeriesDrift) -> SmallPicture:
    planned_s = series.planned_s or 0.0
    runs = series.runs.astype(int).tolist()[-DRAWN:]
    over = [each - planned_s for each in series.times_s.tolist()[-DRAWN:]]
    counted = reading.counted
    drawn = [counted[run] for run in runs]
    reach = max(LEAST_REACH_S, *(abs(each) for each in over))
    scale = (BOTTOM - TOP) / (reach + max(0.0, *(-each for each in over)))
    line = TOP + max(0.0, *(-each for each in over)) * scale
    marks = []
    for n, (each, of) in enumerate(zip(over, drawn, strict=True)):
        height = max(0.5, abs(each) * scale)
        y = line if each >= 0 else line - height
        title = _named(of, format_apart(each, tenths=True))
        kind = "over" if each >= 0 else "under"
        marks.append(RunDot(_x(n, len(over)), round(y, 1), round(height, 1), kind, title))
    told = f"“{series.name}” against its plan, run by run; downwards is longer"
    words = f"plan {format_clock(planned_s)}"
    return SmallPicture(told, tuple(marks), round(line, 1), words, *_ends(drawn))


def _x(n: int, runs: int) -> float:
    return round(EDGE + (100 - 2 * EDGE) * (n + 0.5) / max(runs, 1), 2)


def _ends(drawn: Sequence[RunLine]) -> tuple[str, str]:
    first, last = (short_day(each.started_ms or each.created_ms) for each in (drawn[0], drawn[-1]))
    return (first, last) if len(drawn) > 1 else ("", last)


def _named(line: RunLine, words: str) -> str:
    day = short_day(line.started_ms or line.created_ms)
    return f"{day}{f', {line.label}' if line.label else ''}: {words}"
