"""What the pictures of drift are drawn from: plain lists, as the browser gets them.

Times are seconds to the millisecond. The browser draws; it computes no figure.
"""

import math
from collections.abc import Mapping, Sequence

from server.domain.drift.analysis import SeriesDrift
from server.domain.drift.calibration import interval_of
from server.domain.drift.courses import behind_plan, usual_reach, waterfall
from server.domain.drift.run_labels import HEARD, MISSED, WRONG, claims_of
from server.domain.risk.saying import in_a_hundred
from server.domain.routine.plan import place_segments
from server.domain.runs.summary import RunLine
from server.web.drift.drift_reading import DriftReading

DRAWN_RUNS = 60
"""Latest runs in a picture: more lines cannot be told apart."""

PictureData = dict[str, object]


def picture_data(reading: DriftReading) -> PictureData:
    """The data of every picture of a routine."""
    # A part has its splits in the table, but no course over the whole routine.
    drawn = [(run, line) for run, line in enumerate(reading.counted) if line.counts][-DRAWN_RUNS:]
    segments = reading.stored.routine.segments
    placed = place_segments(segments)
    courses = [behind_plan(segments, line) for _, line in drawn]
    low_s, high_s = usual_reach(courses)
    places = {run_id: run for run, run_id in enumerate(reading.drift.table.run_ids)}
    charts = [_chart(reading, each) for each in (reading.drift.total, *_planned(reading))]
    return {
        "span_s": _span_s(charts[1:]),
        "reach_s": [_s(low_s), _s(high_s)],
        "beyond": [
            reading.run_name(run)
            for (run, _), course in zip(drawn, courses, strict=True)
            if any(each is not None and not low_s <= each <= high_s for each in course)
        ],
        "slot_s": reading.rules.slot_s,
        "target_s": reading.rules.target_s,
        "segments": [
            {"id": each.segment.id, "name": each.segment.name, "end_s": _s(each.end_s)}
            for each in placed
        ],
        "runs": [
            {
                "id": line.id,
                "number": run + 1,
                "name": reading.run_name(run),
                "total_s": _s((line.total_ms or 0) / 1000),
                "behind_s": [_s(each) for each in course],
            }
            for (run, line), course in zip(drawn, courses, strict=True)
        ],
        "charts": charts,
        "waterfall": _waterfall(reading, *drawn[-1]) if drawn else None,
        "forecasts": _forecasts(reading, places),
        "claims": [
            {
                "number": run + 1,
                "day": reading.day_name(run),
                "name": reading.run_name(run),
                **claim_counts(line),
            }
            for run, line in drawn
            if claims_of(line)
        ],
    }


def _forecasts(reading: DriftReading, places: Mapping[str, int]) -> list[PictureData]:
    """What was said before each run, and where it ended."""
    ahead = reading.drift.ahead
    found: list[PictureData] = []
    for past in () if ahead is None else ahead.past[-DRAWN_RUNS:]:
        low_s, high_s = interval_of(past, 0.8)
        found.append(
            {
                "number": places[past.run_id] + 1,
                "day": reading.day_name(places[past.run_id]),
                "name": reading.run_name(places[past.run_id]),
                "low_s": _s(low_s),
                "high_s": _s(high_s),
                "total_s": _s(past.took_s),
                "inside": in_a_hundred(past.ahead.chance_by(reading.rules.slot_s)),
            }
        )
    return found


def claim_counts(line: RunLine) -> Mapping[str, int]:
    """How many claims of a run were heard, missed and said wrong."""
    noted = list(claims_of(line).values())
    return {each: noted.count(each) for each in (HEARD, WRONG, MISSED)}


def _planned(reading: DriftReading) -> Sequence[SeriesDrift]:
    return [each for each in reading.drift.segments if each.planned_s is not None]


def _chart(reading: DriftReading, series: SeriesDrift) -> PictureData:
    """A control chart: its runs, their times, limits, and which are out of the ordinary."""
    if series.charts is None:
        runs, limits, signals = [int(run) for run in series.runs[-DRAWN_RUNS:]], None, []
    else:
        runs = list(series.charts.runs[-DRAWN_RUNS:])
        chart = series.charts.individuals
        limits = {
            "center_s": _s(chart.center_s),
            "lower_s": _s(max(0.0, chart.lower_s)),
            "upper_s": _s(chart.upper_s),
        }
        signals = [runs.index(run) for run in series.charts.signals if run in runs]
    times = dict(zip(series.runs.astype(int).tolist(), series.times_s.tolist(), strict=True))
    return {
        "id": series.id,
        "name": series.name,
        "planned_s": _s(series.planned_s),
        "numbers": [run + 1 for run in runs],
        "days": [reading.day_name(run) for run in runs],
        "runs": [reading.run_name(run) for run in runs],
        "run_ids": [reading.drift.table.run_ids[run] for run in runs],
        "times_s": [_s(times[run]) for run in runs],
        "limits": limits,
        "signals": signals,
    }


def _span_s(charts: Sequence[PictureData]) -> float:
    """The seconds that the charts of all segments span, so that a second is as high in each."""
    spans = [_shown_s(chart) for chart in charts]
    return max((max(each) - min(each) for each in spans if each), default=0.0)


def _shown_s(chart: PictureData) -> list[float]:
    times_s, limits, planned_s = (chart[name] for name in ("times_s", "limits", "planned_s"))
    shown = list(times_s) if isinstance(times_s, list) else []
    if isinstance(limits, dict):
        shown += [limits["lower_s"], limits["upper_s"]]
    return [*shown, planned_s] if shown and isinstance(planned_s, float) else shown


def _waterfall(reading: DriftReading, run: int, line: RunLine) -> PictureData:
    found = waterfall(reading.stored.routine.segments, line, reading.old_names)
    return {
        "name": reading.run_name(run),
        "planned_s": _s(found.planned_s),
        "total_s": _s(found.total_s),
        "steps": [{"name": step.name, "longer_s": _s(step.longer_s)} for step in found.steps],
    }


def _s(time_s: float | None) -> float | None:
    return None if time_s is None or not math.isfinite(time_s) else round(time_s, 3)
