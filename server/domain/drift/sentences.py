"""Plain sentences from the numbers, each with the evidence it rests on.

A sentence says no more than `findings` can stand for, and none is made where there is nothing to
say: a routine with few runs or a steady one gets one or two.
"""

from collections.abc import Iterator
from datetime import date
from itertools import chain, islice

from server.domain.base.durations import format_clock
from server.domain.base.number_words import counted, in_words
from server.domain.base.rates import wilson
from server.domain.base.text import with_capital
from server.domain.drift import wording
from server.domain.drift.analysis import Drift
from server.domain.drift.calibration import interval_of
from server.domain.drift.changed import MOST_OF_A_KIND, changed_sentences
from server.domain.drift.findings import (
    Apart,
    Off,
    groups_apart,
    heavy_share,
    off_their_plan,
    strongest_link,
)
from server.domain.drift.sentence import DriftSentence, by, evidence, numbers_of
from server.domain.risk.saying import inside_words, interval_words, median_words

MOST = 5
_JUDGED_LEVEL = 0.8
_LEAST_JUDGED = 20
_LEAST_BEFORE = 5
"""Runs before one that may be said to have ended outside of what they led to expect."""


def sentences(drift: Drift, *, today: date | None = None) -> tuple[DriftSentence, ...]:
    """At most five sentences, the most useful first; none where there is no run.

    With `today` spans reach from today ("two weeks ago"), without from the last run ("earlier").
    """
    ordered = chain(
        _forecast(drift),
        _judged(drift),
        changed_sentences(drift, today),
        (_apart(each) for each in groups_apart(drift)[:MOST_OF_A_KIND]),
        _share(drift),
        (_off(each) for each in off_their_plan(drift)[:MOST_OF_A_KIND]),
        _flattened(drift),
        _last(drift),
        _linked(drift),
    )
    return tuple(islice(ordered, MOST))


def _forecast(drift: Drift) -> Iterator[DriftSentence]:
    if drift.ahead is None or not drift.table.wholes:
        return
    told = drift.ahead.forecast
    text = (
        f"{inside_words(told, drift.rules.slot_s)} as things stand; "
        f"typical finish {median_words(told)}, most runs between {interval_words(told)}."
    )
    numbers = {
        "low_s": told.quantile_s(0.1),
        "high_s": told.quantile_s(0.9),
        "inside": told.chance_inside,
    }
    text = with_capital(text)
    yield DriftSentence(text + _broken_off(drift), "forecast", "forecast", (), numbers)


def _broken_off(drift: Drift) -> str:
    runs = drift.table.broken_off
    if not runs:
        return ""
    were = "was" if runs == 1 else "were"
    return f" It speaks of finished runs; {in_words(runs)} {were} broken off."


def _judged(drift: Drift) -> Iterator[DriftSentence]:
    """A warning, where intervals have held clearly fewer runs than they said."""
    for each in () if drift.calibration is None else drift.calibration.coverage:
        low, high = wilson(each.held, each.said, 0.99)
        if each.level == _JUDGED_LEVEL and each.said >= _LEAST_JUDGED and high < each.level:
            text = (
                f"Take the forecast with care: of {each.said} earlier intervals meant to hold 80 % "
                f"of the runs, {each.held} held theirs ({wording.share(each.held / each.said)})."
            )
            numbers = {"said": each.said, "held": each.held, "low": low, "high": high}
            yield DriftSentence(text, "calibration", "forecast", (), numbers)


def _apart(found: Apart) -> DriftSentence:
    told = found.difference
    first = with_capital(found.pair.first_name)
    verb = "take" if first.lower().startswith("runs") else "takes"
    text = f"{first} {verb} {by(told.shift_s)} than {found.pair.second_name}{evidence(told)}."
    return DriftSentence(
        text, "groups", f"pair-{found.pair.key}", (), numbers_of(told), evidence(told)
    )


def _share(drift: Drift) -> Iterator[DriftSentence]:
    found = heavy_share(drift)
    if found is None or drift.together is None:
        return
    text = (
        f"“{_name(drift, found.segment_id)}” alone makes up {wording.share(found.share)} of the "
        f"variance of the total (95 % interval {round(found.low * 100)} to "
        f"{round(found.high * 100)} %, {drift.together.n} runs)."
    )
    numbers = {"share": found.share, "low": found.low, "high": found.high}
    yield DriftSentence(text, "share", "shares", (found.segment_id,), numbers)


def _off(found: Off) -> DriftSentence:
    off = found.off
    low_s, high_s = off.low_s or 0.0, off.high_s or 0.0
    if off.off_s < 0:
        low_s, high_s = -high_s, -low_s
    word = "longer" if off.off_s > 0 else "less"
    because = (
        f" (median of the last {counted(off.n, 'run')}, "
        f"95 % interval {wording.between(low_s, high_s)})"
    )
    plain = f"“{found.series.name}” takes {wording.seconds(off.off_s)} {word} than planned"
    text = f"{plain}{because}."
    numbers = {"off_s": off.off_s, "low_s": off.low_s or 0.0, "high_s": off.high_s or 0.0}
    return DriftSentence(
        text, "plan", f"segment-{found.series.id}", (found.series.id,), numbers, because
    )


def _flattened(drift: Drift) -> Iterator[DriftSentence]:
    curve = drift.total.learning
    if curve is None or not curve.believed or curve.flat_from is None:
        return
    if curve.flat_from > drift.table.runs or curve.gain_s < curve.spread_s:
        return
    name = drift.table.quoted(curve.flat_from - 1)
    text = (
        f"Practice has flattened: since {name} ten more runs save less than "
        f"{wording.seconds(curve.spread_s / 2)}, half of what single runs scatter by."
    )
    numbers = {"flat_from": float(curve.flat_from), "spread_s": curve.spread_s}
    yield DriftSentence(text, "learning", "learning", (), numbers)


def _last(drift: Drift) -> Iterator[DriftSentence]:
    past = () if drift.ahead is None else drift.ahead.past
    if len(past) <= _LEAST_BEFORE or past[-1].held(0.95):
        return
    last = past[-1]
    low_s, high_s = interval_of(last, 0.95)
    text = (
        f"The last run, {format_clock(last.took_s)}, ended outside what the runs before it led "
        f"to expect (95 % interval {wording.clock_between(low_s, high_s)})."
    )
    numbers = {"total_s": last.took_s, "low_s": low_s, "high_s": high_s}
    yield DriftSentence(text, "last", f"run-{last.run_id}", (), numbers)


def _linked(drift: Drift) -> Iterator[DriftSentence]:
    link = strongest_link(drift)
    if link is None or drift.together is None:
        return
    first, second = _name(drift, link.first_id), _name(drift, link.second_id)
    text = (
        f"“{first}” and “{second}” slow down together (correlation {link.correlation:.2f} from one "
        f"run to the next, {drift.together.n} runs)."
    )
    numbers = {"correlation": link.correlation, "p": link.p}
    yield DriftSentence(text, "together", "links", (link.first_id, link.second_id), numbers)


def _name(drift: Drift, segment_id: str) -> str:
    return drift.table.segment_names[drift.table.segment_ids.index(segment_id)]
