"""When the slot is finished: fifty little slots, each laid where it ends, and the table behind it.

They are the fifty that stand beside every chance, here on a scale of time.
"""

from collections import Counter
from dataclasses import dataclass
from itertools import accumulate
from math import ceil

from server.domain.base.durations import TICK_S, format_clock
from server.domain.risk.outcome import Forecast
from server.domain.risk.saying import in_a_hundred, inside_words
from server.domain.routine.rules import RuleSheet
from server.web.frame.axis import round_moments
from server.web.frame.tape import Post

MOST_TICKS = 8

SLOTS = 50
"""How many slots are laid out, each as likely as the others."""

COLUMNS = 24
"""Into about how many columns they are gathered from left to right."""

LEAST_HIGH = 5
"""A picture has room for so many above each other, however few there are (for the eye)."""


@dataclass(frozen=True)
class FinishColumn:
    """Slots that end close together, in percent of the picture: `lots` of them, each `high`.

    `over` says that they end past the end of the slot.
    """

    x: float
    width: float
    lots: int
    high: float
    title: str
    over: bool


@dataclass(frozen=True)
class FinishPicture:
    """Where fifty slots end, slot end and target in it."""

    columns: tuple[FinishColumn, ...]
    posts: tuple[Post, ...]
    ticks: tuple[Post, ...]
    rows: tuple[tuple[str, str], ...]
    """Moments and the chance to be finished by then: the data table."""
    title: str
    later: str
    """How much of the distribution lies beyond the picture, in words; empty where none does."""


def finish_picture(
    forecast: Forecast, rules: RuleSheet, beside: Forecast | None = None
) -> FinishPicture:
    """The picture of a forecast under a rule sheet, on one scale with the one it stands beside."""
    shown = forecast.histogram
    all_shown = [shown] if beside is None else [shown, beside.histogram]
    width_s = max(each.width_s for each in all_shown)
    # Slot end and target belong into the picture, wherever the finishes lie.
    first_s = min(rules.target_s - width_s, *(each.start_s for each in all_shown))
    last_s = max(rules.slot_s + width_s, *(each.end_s for each in all_shown))
    scale = _Across(first_s, last_s)
    return FinishPicture(
        columns=_columns(forecast, scale, rules),
        posts=(
            Post(scale.at(rules.target_s), f"target {format_clock(rules.target_s)}", "target"),
            Post(scale.at(rules.slot_s), f"slot {format_clock(rules.slot_s)}", "slot"),
        ),
        ticks=_ticks(scale),
        rows=_rows(forecast, rules),
        title=f"When the slot is finished: {inside_words(forecast, rules.slot_s)}",
        later=_later(forecast),
    )


class _Across:
    def __init__(self, first_s: float, last_s: float) -> None:
        self.first_s, self.last_s = first_s, max(last_s, first_s + 1)

    def at(self, seconds: float) -> float:
        share = (seconds - self.first_s) / (self.last_s - self.first_s)
        return round(100 * min(max(share, 0.0), 1.0), 3)


def _columns(forecast: Forecast, scale: _Across, rules: RuleSheet) -> tuple[FinishColumn, ...]:
    """Columns count from the end of the slot, so that none is half inside it and half past it."""
    wide_s = (scale.last_s - scale.first_s) / COLUMNS
    ends = [forecast.finishes_s[len(forecast.finishes_s) * (2 * n + 1) // (2 * SLOTS)]
            for n in range(SLOTS)]  # fmt: skip
    shown = (min(max(each, scale.first_s), scale.last_s) for each in ends)
    # Inside is up to the very end, as it is for every chance.
    places = Counter(ceil((each - TICK_S - rules.slot_s) / wide_s) for each in shown)
    high = round(100 / max(LEAST_HIGH, *places.values()), 3)
    return tuple(
        _column(rules.slot_s + (place - 1) * wide_s, wide_s, places[place], high, scale, place > 0)
        for place in sorted(places)
    )


def _column(
    start_s: float, wide_s: float, lots: int, high: float, scale: _Across, over: bool
) -> FinishColumn:
    x = scale.at(start_s)
    words = f"{format_clock(max(start_s, 0.0))} to {format_clock(start_s + wide_s)}"
    width = round(scale.at(start_s + wide_s) - x, 3)
    return FinishColumn(x, width, lots, high, f"{words}: {lots} of {SLOTS}", over)


def _later(forecast: Forecast) -> str:
    histogram = forecast.histogram
    if not histogram.later:
        return ""
    share = in_a_hundred(histogram.later / forecast.slots)
    return f"{share} finish later than {format_clock(histogram.end_s)}."


def _ticks(scale: _Across) -> tuple[Post, ...]:
    moments = round_moments(scale.first_s, scale.last_s, MOST_TICKS)
    return tuple(Post(scale.at(each), format_clock(each), "tick") for each in moments)


def _rows(forecast: Forecast, rules: RuleSheet) -> tuple[tuple[str, str], ...]:
    """Chances to be finished by round moments, slot end and target among them."""
    histogram = forecast.histogram
    ends = [histogram.start_s + histogram.width_s * (n + 1) for n in range(len(histogram.counts))]
    finished = accumulate(histogram.counts, initial=histogram.earlier)
    by = dict(zip(ends, list(finished)[1:], strict=True))
    every = max(len(ends) // 10, 1)
    rows = {end: by[end] / forecast.slots for end in ends[::every]}
    rows |= {rules.target_s: forecast.chance_target, rules.slot_s: forecast.chance_inside}
    return tuple((format_clock(end), in_a_hundred(rows[end])) for end in sorted(rows))
