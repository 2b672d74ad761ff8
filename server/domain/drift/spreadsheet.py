"""The analysis as tables for a spreadsheet and as a document for a notebook.

Seconds have three decimals, parts of one and chances of error five; what is not known is empty.
"""

import dataclasses
import math
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime

import numpy as np

from server.domain.drift.analysis import Drift, SeriesDrift
from server.domain.drift.calibration import LEVELS, interval_of
from server.domain.drift.findings import Jump, jumps
from server.domain.drift.sentence import DriftSentence
from server.domain.risk.next_run import NextRun
from server.domain.risk.outcome import QUANTILES, Forecast
from server.domain.routine.rules import RuleSheet
from server.domain.runs.splits import text_cell

FORMAT = "ninefifty-drift"
VERSION = 2

_TIERS = {"sure": "sure", "look": "worth a look"}

Cell = object
Row = tuple[Cell, ...]

SEGMENT_HEADER = (
    "segment", "segment_id", "planned_s", "runs", "mean_s", "median_s", "sd_s", "robust_sd_s",
    "best_s", "worst_s", "last_s", "off_plan_s", "off_plan_low_s", "off_plan_high_s",
    "slope_s_per_run", "slope_low_s", "slope_high_s", "slope_p", "move", "move_p", "jump",
    "jump_run_id", "jump_s", "jump_low_s", "jump_high_s", "center_s", "lower_limit_s",
    "upper_limit_s", "signals", "learning",
    "learning_floor_s", "learning_gain_s", "learning_rate", "flat_from_run", "variance_share",
    "variance_share_low", "variance_share_high",
)  # fmt: skip
FORECAST_HEADER = (
    "before_run_id", "runs", "median_s", "low_80_s", "high_80_s", "low_95_s",
    "high_95_s", "chance_inside", "chance_on_target", "expected_penalty", "total_s", "held_80",
    "held_95",
)  # fmt: skip
PAIR_HEADER = (
    "pair", "first", "second", "segment", "segment_id", "runs_first", "runs_second",
    "median_first_s", "median_second_s", "difference_s", "low_s", "high_s", "p", "method",
    "usual_difference_s",
)  # fmt: skip


def segment_rows(drift: Drift) -> Iterator[Row]:
    """The header, then the total and every segment with all that is known of them."""
    yield SEGMENT_HEADER
    shares = {} if drift.together is None else {s.segment_id: s for s in drift.together.shares}
    jumped = {each.series.id: each for each in jumps(drift)}
    for series in (drift.total, *drift.segments):
        share = shares.get(series.id)
        yield (
            *_level_cells(series),
            *_trend_cells(series),
            *_jump_cells(drift.table.run_ids, jumped.get(series.id)),
            *_chart_cells(series),
            *_learning_cells(series),
            *(_part(getattr(share, name, None)) for name in ("share", "low", "high")),
        )


def forecast_rows(drift: Drift) -> Iterator[Row]:
    """The header, then the forecast before each run with what happened, and that of the next."""
    yield FORECAST_HEADER
    if drift.ahead is None:
        return
    rules = drift.rules
    for runs, past in enumerate(drift.ahead.past):
        bounds = [bound for level in LEVELS for bound in interval_of(past, level)]
        chances = (past.ahead.chance_by(rules.slot_s), past.ahead.chance_by(rules.target_s))
        yield (
            past.run_id,
            runs,
            _seconds(past.ahead.median_s),
            *map(_seconds, bounds),
            *map(_part, chances),
            _part(past.ahead.penalty(rules)),
            _seconds(past.took_s),
            *(_yes(past.held(level)) for level in LEVELS),
        )
    told = drift.ahead.forecast
    ends = [told.quantile_s(each) for each in (0.5, 0.1, 0.9, 0.025, 0.975)]
    chances_ahead = (told.chance_inside, told.chance_target, told.penalty)
    runs = len(drift.ahead.past)
    yield ("", runs, *map(_seconds, ends), *map(_part, chances_ahead), "", "", "")


def pair_rows(drift: Drift) -> Iterator[Row]:
    """The header, then for each pair of groups the total and every segment."""
    yield PAIR_HEADER
    table = drift.table
    names = dict(zip(table.segment_ids, table.segment_names, strict=True))
    for result in drift.pairs:
        pair = (result.pair.key, result.pair.first_name, result.pair.second_name)
        lines = [("the whole routine", "total", result.total, result.usual_total_s)]
        lines += [
            (names[each.segment_id], each.segment_id, each.difference, each.usual_s)
            for each in result.segments
        ]
        for name, key, told, usual_s in lines:
            if told is not None:
                yield (
                    *map(text_cell, pair), text_cell(name), key, told.n_first, told.n_second,
                    _seconds(told.first_s), _seconds(told.second_s), _seconds(told.shift_s),
                    _seconds(told.low_s), _seconds(told.high_s), _part(told.p), told.method,
                    _seconds(usual_s),
                )  # fmt: skip


def document(drift: Drift, said: Sequence[DriftSentence] = ()) -> dict[str, object]:
    """The whole analysis as a JSON object; a number that is not known is null."""
    table = drift.table
    return {
        "format": FORMAT,
        "version": VERSION,
        "sentences": [_plain(sentence) for sentence in said],
        "runs": [
            {
                "id": table.run_ids[run],
                "name": table.names[run],
                "started": _plain(table.started[run]),
                "total_s": _plain(table.total_s[run]),
                "comparable_s": _plain(table.comparable_s[run]),
                "converted": bool(table.converted[run]),
                "first_of_day": bool(table.first_of_day[run]),
                "with_incident": bool(table.with_incident[run]),
                "venue": table.labels[run].venue,
                "tags": sorted(table.labels[run].tags),
                "splits_s": _plain(table.splits_s[run]),
            }
            for run in range(table.runs)
        ],
        "segment_ids": list(table.segment_ids),
        "jumps": [_jump(table.run_ids, each) for each in jumps(drift)],
        "total": _plain(drift.total),
        "segments": _plain(drift.segments),
        "together": _plain(drift.together),
        "pairs": _plain(drift.pairs),
        **_next_run(drift.ahead, drift.rules),
        "calibration": _plain(drift.calibration),
    }


def _level_cells(series: SeriesDrift) -> Row:
    level, off = series.level, series.off_plan
    times = ("mean_s", "median_s", "sd_s", "robust_sd_s", "best_s", "worst_s", "last_s")
    return (
        text_cell(series.name),
        series.id,
        _seconds(series.planned_s),
        0 if level is None else level.n,
        *(_seconds(getattr(level, name, None)) for name in times),
        *(_seconds(getattr(off, name, None)) for name in ("off_s", "low_s", "high_s")),
    )


def _trend_cells(series: SeriesDrift) -> Row:
    slope, move = series.trend, series.move
    return (
        *(_part(getattr(slope, name, None)) for name in ("slope_s", "low_s", "high_s", "p")),
        "" if move is None else move.shape,
        _part(getattr(move, "p", None)),
    )


def _jump_cells(run_ids: Sequence[str], jump: Jump | None) -> Row:
    if jump is None:
        return ("", "", "", "", "")
    return (
        _TIERS[jump.tier],
        run_ids[jump.at],
        *map(_seconds, (jump.shift_s, jump.low_s, jump.high_s)),
    )


def _jump(run_ids: Sequence[str], jump: Jump) -> dict[str, object]:
    return {
        "id": jump.series.id,
        "run_id": run_ids[jump.at],
        "tier": _TIERS[jump.tier],
        "shift_s": _plain(jump.shift_s),
        "low_s": _plain(jump.low_s),
        "high_s": _plain(jump.high_s),
    }


def _chart_cells(series: SeriesDrift) -> Row:
    if series.charts is None:
        return ("", "", "", "")
    chart = series.charts.individuals
    limits = (chart.center_s, chart.lower_s, chart.upper_s)
    return (*map(_seconds, limits), len(series.charts.signals))


def _learning_cells(series: SeriesDrift) -> Row:
    curve = series.learning
    if curve is None or not curve.believed:
        return ("", "", "", "", "")
    return (
        curve.form,
        _seconds(curve.floor_s),
        _seconds(curve.gain_s),
        _part(curve.rate),
        "" if curve.flat_from is None else curve.flat_from,
    )


def _next_run(ahead: NextRun | None, rules: RuleSheet) -> dict[str, object]:
    """The next run and how earlier forecasts did."""
    if ahead is None:
        return {"next_run": None, "past_forecasts": []}
    return {
        "next_run": {"forecast": _told(ahead.forecast), "why": _plain(ahead.why)},
        "past_forecasts": [
            {
                "run_id": each.run_id,
                "total_s": _plain(each.took_s),
                "median_s": _plain(each.ahead.median_s),
                "inside": _plain(each.ahead.chance_by(rules.slot_s)),
                "penalty": _plain(each.ahead.penalty(rules)),
                "held_80": each.held(0.8),
            }
            for each in ahead.past
        ],
    }


def _told(forecast: Forecast) -> dict[str, object]:
    quantiles = zip(QUANTILES, forecast.quantiles_s, strict=True)
    return {
        "slots": forecast.slots,
        "inside": _plain(forecast.chance_inside),
        "on_target": _plain(forecast.chance_target),
        "cut_off": _plain(forecast.chance_cut_off),
        "penalty": _plain(forecast.penalty),
        "quantiles_s": {str(chance): _plain(time_s) for chance, time_s in quantiles},
    }


def _seconds(time_s: float | None) -> str:
    return "" if time_s is None or not math.isfinite(time_s) else f"{time_s:.3f}"


def _part(value: float | None) -> str:
    return "" if value is None else f"{value:.5f}"


def _yes(held: bool | None) -> str:
    return "" if held is None else "yes" if held else "no"


def _plain(value: object) -> object:
    """`value` as JSON knows it."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        pairs = ((item.name, getattr(value, item.name)) for item in dataclasses.fields(value))
        return {name: _plain(each) for name, each in pairs}
    if isinstance(value, Mapping):
        return {str(name): _plain(each) for name, each in value.items()}
    if isinstance(value, (tuple, list)):
        return [_plain(each) for each in value]
    if isinstance(value, np.ndarray):
        return _plain(value.tolist())
    if isinstance(value, (date, datetime)):
        return value.isoformat()
    if isinstance(value, (float, np.floating)):
        return float(value) if math.isfinite(value) else None
    return value
