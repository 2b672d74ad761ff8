"""When the slot is finished, as a picture: bars on the tape's scale, and the table behind it."""

from dataclasses import dataclass
from itertools import accumulate, pairwise

from server.domain.durations import format_clock
from server.domain.risk.outcome import Forecast, Histogram
from server.domain.rules import RuleSheet
from server.web.filters import percent
from server.web.tape import Post

LEAST_SHARE = 0.0005
"""Ends of the distribution with less than this are not drawn: they would squeeze the rest."""

MOST_TICKS = 8
TICK_STEPS_S = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1800, 3600)


@dataclass(frozen=True)
class Bar:
    """A bar, in percent of the picture; `over` says that it lies past the end of the slot."""

    x: float
    width: float
    height: float
    title: str
    over: bool


@dataclass(frozen=True)
class FinishPicture:
    """The distribution of the finish, slot end and target in it."""

    bars: tuple[Bar, ...]
    posts: tuple[Post, ...]
    ticks: tuple[Post, ...]
    rows: tuple[tuple[str, str], ...]
    """Moments and the chance to be finished by then: the data table."""
    title: str


def finish_picture(
    forecast: Forecast, rules: RuleSheet, beside: Forecast | None = None
) -> FinishPicture:
    """The picture of a forecast under a rule sheet, on one scale with the one it stands beside."""
    shown = _shown(forecast.histogram)
    all_shown = [shown] if beside is None else [shown, _shown(beside.histogram)]
    width_s = max(each.width_s for each in all_shown)
    # Slot end and target belong into the picture, wherever the finishes lie.
    first_s = min(rules.target_s - width_s, *(each.start_s for each in all_shown))
    last_s = max(rules.slot_s + width_s, *(_end_s(each) for each in all_shown))
    scale = _Across(first_s, last_s)
    inside = percent(forecast.chance_inside)
    return FinishPicture(
        bars=_bars(shown, forecast.slots, scale, rules),
        posts=(
            Post(scale.at(rules.target_s), f"target {format_clock(rules.target_s)}", "target"),
            Post(scale.at(rules.slot_s), f"slot {format_clock(rules.slot_s)}", "slot"),
        ),
        ticks=_ticks(scale),
        rows=_rows(forecast, rules),
        title=f"When the slot is finished: {inside} of {forecast.slots:,} simulated slots end "
        f"inside it",
    )


class _Across:
    def __init__(self, first_s: float, last_s: float) -> None:
        self.first_s, self.last_s = first_s, max(last_s, first_s + 1)

    def at(self, seconds: float) -> float:
        share = (seconds - self.first_s) / (self.last_s - self.first_s)
        return round(100 * min(max(share, 0.0), 1.0), 3)


def _end_s(histogram: Histogram) -> float:
    return histogram.start_s + histogram.width_s * len(histogram.counts)


def _shown(histogram: Histogram) -> Histogram:
    """The histogram without ends in which next to nothing lies."""
    total = sum(histogram.counts)
    before = list(accumulate(histogram.counts))
    kept = [
        place
        for place, count in enumerate(histogram.counts)
        if before[place] > LEAST_SHARE * total
        and total - before[place] + count > LEAST_SHARE * total
    ]
    first, last = kept[0], kept[-1]
    start_s = histogram.start_s + first * histogram.width_s
    return Histogram(start_s, histogram.width_s, histogram.counts[first : last + 1])


def _bars(shown: Histogram, slots: int, scale: _Across, rules: RuleSheet) -> tuple[Bar, ...]:
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
            bars.append(Bar(x, width, height, title, first_s >= rules.slot_s))
    return tuple(bars)


def _ticks(scale: _Across) -> tuple[Post, ...]:
    span_s = scale.last_s - scale.first_s
    step = next((each for each in TICK_STEPS_S if span_s / each <= MOST_TICKS), 7200)
    first = int(-(-scale.first_s // step))
    moments = [step * n for n in range(first, int(scale.last_s // step) + 1)]
    return tuple(Post(scale.at(each), format_clock(each), "tick") for each in moments)


def _rows(forecast: Forecast, rules: RuleSheet) -> tuple[tuple[str, str], ...]:
    """Chances to be finished by round moments, slot end and target among them."""
    histogram = forecast.histogram
    ends = [histogram.start_s + histogram.width_s * (n + 1) for n in range(len(histogram.counts))]
    by = dict(zip(ends, accumulate(histogram.counts), strict=True))
    every = max(len(ends) // 10, 1)
    rows = {end: by[end] / forecast.slots for end in ends[::every]}
    rows |= {rules.target_s: forecast.chance_target, rules.slot_s: forecast.chance_inside}
    return tuple((format_clock(end), percent(rows[end])) for end in sorted(rows))
