"""The next run in words: the one wording that every page and every file has.

>>> in_a_hundred(0.714), in_a_hundred(0.002), in_a_hundred(1.0)
('71 in 100', 'under 1 in 100', 'over 99 in 100')
"""

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from server.domain.base.durations import format_clock
from server.domain.base.number_words import counted, in_words
from server.domain.risk.outcome import Forecast

if TYPE_CHECKING:
    from server.domain.belief.believe import PastTotal, Why

MOSTLY = 0.8
"""A belief that rests on a smaller part of the runs than this rests mostly on the latest."""

LEAST_SLOPE_S = 0.5
"""A slower slope, in seconds a run, is not worth naming."""

LEAST_SLOPED = 3
"""Fewest runs of which it is said that they get slower or faster."""

LEAST_WEIGHED = 5
"""Fewest runs of which it is said how much more the latest count."""

ALL_PLAN = 0.9999
"""A plan that counts for so much was measured in no part of it."""

LEAST_JUDGED = 3
"""Fewest earlier forecasts that are told of."""


def in_a_hundred(chance: float) -> str:
    """A chance as so many in a hundred; never none and never all, which nobody can know."""
    whole = math.floor(100 * chance + 0.5)
    if whole < 1:
        return "under 1 in 100"
    return "over 99 in 100" if whole > 99 else f"{whole} in 100"


def inside_words(forecast: Forecast, slot_s: float) -> str:
    """The chance to be inside the slot: "71 in 100 finish within 10:00"."""
    return f"{in_a_hundred(forecast.chance_inside)} finish within {format_clock(slot_s)}"


def median_words(forecast: Forecast) -> str:
    """When half of all slots are finished: "9:41"."""
    return format_clock(forecast.quantile_s(0.5))


def interval_words(forecast: Forecast, level: float = 0.8) -> str:
    """Between which times so many finish: "9:20 and 10:05"."""
    tail = round((1 - level) / 2, 3)
    low, high = (forecast.quantile_s(each) for each in (tail, round(1 - tail, 3)))
    return f"{format_clock(low)} and {format_clock(high)}"


def why_words(why: "Why") -> str:
    """What a forecast rests on, in one line."""
    if not why.runs:
        return "Rests on your plan alone: no run counts yet."
    parts = [_rests_on(why)]
    if why.runs >= LEAST_SLOPED and abs(why.slope_s) >= LEAST_SLOPE_S:
        pace = "faster" if why.slope_s < 0 else "slower"
        parts.append(f"{abs(why.slope_s):.0f} s {pace} a run of late")
    if why.plan_share >= ALL_PLAN:
        runs = counted(why.runs, "run")
        return f"Rests on your plan at the pace of {runs}: none measured these segments."
    parts.append(f"your plan counts for {_percent(why.plan_share)}")
    return "; ".join(parts) + "."


def past_words(past: "Sequence[PastTotal]") -> str:
    """How earlier forecasts did, in one line; "" with too few of them."""
    if len(past) < LEAST_JUDGED:
        return ""
    held = sum(each.held(0.8) for each in past)
    return f"{held} of {len(past)} earlier runs finished between the times given; 8 in 10 should."


def _rests_on(why: "Why") -> str:
    if why.runs < LEAST_WEIGHED:
        return f"Rests on {counted(why.runs, 'run')}"
    latest = max(round(why.effective_runs), 1)
    if latest >= MOSTLY * why.runs:
        return f"Rests on all {in_words(why.runs)} runs alike"
    which = "the latest one" if latest == 1 else f"the latest {in_words(latest)}"
    return f"Rests on {in_words(why.runs)} runs, mostly {which}"


def _percent(share: float) -> str:
    whole = math.floor(100 * share + 0.5)
    return "under 1 %" if whole < 1 else f"{whole} %"
