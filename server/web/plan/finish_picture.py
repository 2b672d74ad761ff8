"""When the slot is finished, as a picture: bars on the tape's scale, and the table behind it."""

from dataclasses import dataclass
from itertools import accumulate, pairwise

from server.domain.base.durations import format_clock
from server.domain.risk.outcome import Forecast, Histogram
from server.domain.risk.saying import in_a_hundred, inside_words
from server.domain.routine.rules import RuleSheet
from server.web.frame.axis import round_moments
from server.web.frame.filters import percent
from server.web.frame.tape import Post

MOST_TICKS = 8


@dataclass(frozen=True)
class FinishBar:
    """A bar, in percent of the picture; `over` says that it lies past the end of the slot."""

    x: float
    width: float
    height: float
    title: str
    over: bool


@dataclass(frozen=True)
class FinishPicture:
    """The distribution of the finish, slot end and target in it."""

    bars: tuple[FinishBar, ...]
    posts: tuple[Post, ...]
    ticks: tuple[Post, ...]
    rows: tuple[tuple[str, str], ...]
    """Moments and the chance to be finished by then: the data table."""
    title: str
    later: str
    """How much of the distribution lies beyond the last bar, in words; empty where none does."""


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
        bars=_bars(shown, forecast.slots, scale, rules),
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


def _bars(shown: Histogram, slots: int, scale: _Across, rules: RuleSheet) -> tuple[FinishBar, ...]:
    highest = max(shown.counts)
    bars = []
    for number, count in enumerate(shown.counts):
        start_s = shown.start_s + number * shown.width_s
        end_s = start_s + shown.width_s
        words = f"{format_clock(start_s)} to {format_clock(end_s)}"
        title = f"{words}: {percent(count / slots)}"
        height = round(100 * count / highest, 2)
        # A bar across the end of the slot would be all inside it or all past it.
        cuts = [rules.slot_s] if start_s < rules.slot_s < end_s else []
        for first_s, last_s in pairwise([start_s, *cuts, end_s]):
            x = scale.at(first_s)
            width = round(scale.at(last_s) - x, 3)
            bars.append(FinishBar(x, width, height, title, first_s >= rules.slot_s))
    return tuple(bars)


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
