"""The analysis of runs as a page shows it: rows of text, so that templates only lay them out."""

from dataclasses import dataclass
from math import isfinite

from server.domain.drift.analysis import TOTAL, Drift, SeriesDrift
from server.domain.drift.calibration import Calibration, interval_of
from server.domain.drift.findings import Jump, jumps
from server.domain.drift.looks import WINDOW_RUNS
from server.domain.drift.wandering import VarianceShare
from server.domain.drift.wording import between, clock_between, seconds
from server.domain.risk.saying import in_a_hundred
from server.web.drift.cells import (
    NONE,
    Cell,
    beyond_chance,
    bounds,
    seconds_text,
    signed_hundredths,
    split_text,
)
from server.web.drift.drift_reading import DriftReading
from server.web.frame.filters import clock, decimal, signed

LATEST_FORECASTS = 20
NAMED_SIGNALS = 3


@dataclass(frozen=True)
class JumpCell:
    """A jump in the table: `sure`, or worth a look, which `said` says before it."""

    said: str
    text: str
    small: str
    sure: bool


@dataclass(frozen=True)
class Tellable:
    """What size of change so many runs can tell: of most segments, the finest and the coarsest."""

    runs: int
    usual: str
    least: str
    most: str


@dataclass(frozen=True)
class SeriesRow:
    """A segment, or the total, as a row of the table of drift."""

    anchor: str
    name: str
    retired: bool
    cells: tuple[Cell, ...]
    """Plan, runs, median, off plan, robust spread, SD, trend, learning, share."""
    jump: JumpCell | None
    signals: tuple[str, ...]
    more_signals: int
    """Runs out of the ordinary: the latest by name, and how many there are beside them."""


@dataclass(frozen=True)
class ForecastRow:
    """A forecast of the past and what then happened."""

    run_id: str
    name: str
    interval: str
    inside: str
    ended: str
    held: str


@dataclass(frozen=True)
class CalibrationRow:
    """How the intervals of one level did."""

    level: str
    said: int
    held: int
    seen: str
    bounds: str


def series_rows(reading: DriftReading) -> list[SeriesRow]:
    """The total, then every segment in the order of the plan, former ones last."""
    drift = reading.drift
    shares = (
        {} if drift.together is None else {each.segment_id: each for each in drift.together.shares}
    )
    off = beyond_chance([each.off_plan for each in drift.segments])
    slopes = beyond_chance([each.trend for each in drift.segments])
    (total_off,) = beyond_chance([drift.total.off_plan])
    (total_slope,) = beyond_chance([drift.total.trend])
    jumped = {each.series.id: _jump(reading, each) for each in jumps(drift)}
    rows = [
        _series_row(
            reading, drift.total, "The whole routine", None, total_off, total_slope,
            jumped.get(TOTAL),
        )
    ]  # fmt: skip
    for at, each in enumerate(drift.segments):
        name = each.name if each.planned_s is None else f"{at + 1}. {each.name}"
        part = shares.get(each.id)
        jump = jumped.get(each.id)
        rows.append(_series_row(reading, each, name, part, off[at], slopes[at], jump))
    return rows


def forecast_rows(reading: DriftReading) -> list[ForecastRow]:
    """The forecasts before the latest runs, latest first."""
    ahead = reading.drift.ahead
    past = () if ahead is None else ahead.past[-LATEST_FORECASTS:]
    places = {run_id: run for run, run_id in enumerate(reading.drift.table.run_ids)}
    return [
        ForecastRow(
            run_id=each.run_id,
            name=reading.run_name(places[each.run_id]),
            interval=clock_between(*interval_of(each, 0.8)),
            inside=in_a_hundred(each.ahead.chance_by(reading.rules.slot_s)),
            ended=clock(each.took_s),
            held="yes" if each.held(0.8) else "no",
        )
        for each in reversed(past)
    ]


def tellable(drift: Drift) -> Tellable | None:
    """What size of change can be told of the segments of today's plan; None with too few runs."""
    told = drift.looks.tellable_s[: drift.table.planned_columns]
    known = sorted(each for each in told if isfinite(each))
    if not known:
        return None
    runs = min(drift.table.runs, WINDOW_RUNS)
    middle = known[len(known) // 2]
    return Tellable(runs, seconds(middle), seconds(known[0]), seconds(known[-1]))


def calibration_rows(found: Calibration | None) -> list[CalibrationRow]:
    """How earlier intervals did, a row for each level."""
    return [
        CalibrationRow(
            level=f"{each.level:.0%}".replace("%", " %"),
            said=each.said,
            held=each.held,
            seen=f"{each.held / each.said:.0%}".replace("%", " %"),
            bounds=f"{each.low * 100:.0f} to {each.high * 100:.0f} %",
        )
        for each in (found.coverage if found else ())
    ]


def links(drift: Drift) -> list[tuple[str, str, str]]:
    """Segments that rise and fall together: two names and how strongly."""
    names = dict(zip(drift.table.segment_ids, drift.table.segment_names, strict=True))
    found = () if drift.together is None else drift.together.links
    return [
        (names[each.first_id], names[each.second_id], decimal(each.correlation, 2))
        for each in found
    ]


def together_groups(drift: Drift) -> list[str]:
    """Segments that slow down together, each group in words."""
    names = dict(zip(drift.table.segment_ids, drift.table.segment_names, strict=True))
    groups = () if drift.together is None else drift.together.groups
    return [", ".join(f"“{names[key]}”" for key in group) for group in groups]


def _series_row(
    reading: DriftReading,
    series: SeriesDrift,
    name: str,
    part: VarianceShare | None,
    is_off: bool,
    is_trend: bool,
    jump: JumpCell | None,
) -> SeriesRow:
    level = series.level
    signals = () if series.charts is None else series.charts.signals
    return SeriesRow(
        anchor=TOTAL if series.id == TOTAL else f"segment-{series.id}",
        name=name,
        retired=series.planned_s is None,
        cells=(
            _plan(series),
            Cell(str(level.n if level else 0)),
            Cell(split_text(level.median_s if level else None)),
            _off(series, is_off),
            Cell(seconds_text(level.robust_sd_s if level else None)),
            Cell(seconds_text(level.sd_s if level else None)),
            _trend(series, is_trend),
            _learning(reading, series),
            _share(part),
        ),
        jump=jump,
        signals=tuple(reading.run_name(run) for run in signals[-NAMED_SIGNALS:]),
        more_signals=max(0, len(signals) - NAMED_SIGNALS),
    )


def _plan(series: SeriesDrift) -> Cell:
    # The whole routine is held to its target: a plan may well end before it.
    if series.id == TOTAL:
        return Cell(clock(series.planned_s), "target")
    return Cell(split_text(series.planned_s))


def _off(series: SeriesDrift, sure: bool) -> Cell:
    off = series.off_plan
    if off is None:
        return NONE
    return Cell(signed(off.off_s), bounds(off.low_s, off.high_s), sure)


def _trend(series: SeriesDrift, sure: bool) -> Cell:
    slope = series.trend
    if slope is None:
        return NONE
    p = "p < 0.001" if slope.p < 0.001 else f"p {decimal(slope.p, 3)}"
    small = " · ".join(filter(None, (bounds(slope.low_s, slope.high_s, 2), p)))
    return Cell(signed_hundredths(slope.slope_s), small, sure)


def _learning(reading: DriftReading, series: SeriesDrift) -> Cell:
    curve = series.learning
    if curve is None or not curve.believed:
        return NONE
    if curve.flat_from is None or curve.flat_from > reading.drift.table.runs:
        # Where it will end up lies too far ahead to be read off the curve.
        return Cell("still falling")
    small = f"levels off at {split_text(curve.floor_s)}"
    return Cell(f"steady since {reading.drift.table.quoted(curve.flat_from - 1)}", small)


def _share(part: VarianceShare | None) -> Cell:
    if part is None:
        return NONE
    low, high = (decimal(100 * each) for each in (part.low, part.high))
    return Cell(f"{decimal(100 * part.share)} %", f"{low} to {high} %", part.low > 0)


def _jump(reading: DriftReading, jump: Jump) -> JumpCell:
    return JumpCell(
        said="" if jump.tier == "sure" else "worth a look: ",
        text=f"{signed(jump.shift_s)} since {reading.run_name(jump.at)}",
        small=between(jump.low_s, jump.high_s),
        sure=jump.tier == "sure",
    )
