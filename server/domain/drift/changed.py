"""Sentences about what got longer or shorter, in two tiers: for sure, and worth a look."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import numpy as np

from server.domain.base.number_words import counted
from server.domain.drift import wording
from server.domain.drift.analysis import TOTAL, Drift, SeriesDrift
from server.domain.drift.findings import Jump, Moved, jumps, slopes
from server.domain.drift.sentence import DriftSentence, Numbers, by, evidence, numbers_of

MOST_OF_A_KIND = 2


def changed_sentences(drift: Drift, today: date | None) -> Iterator[DriftSentence]:
    """What moved, the whole routine first: what is sure, then what is worth a look.

    With `today` spans reach from today, without from the last run.
    """
    steady = slopes(drift)
    jumped = jumps(drift)
    sure = [each for each in jumped if each.tier == "sure"]
    told = [(each.extent.shift_s, each.series.id, _sloping(drift, each, today)) for each in steady]
    told += [(each.shift_s, each.series.id, _jumped(drift, each)) for each in sure]
    told.sort(key=lambda each: -abs(each[0]))
    yield from (sentence for _, key, sentence in told if key == TOTAL)
    yield from [sentence for _, key, sentence in told if key != TOTAL][:MOST_OF_A_KIND]
    looked_at = [each for each in jumped if each.tier == "look"][:MOST_OF_A_KIND]
    yield from (_worth_a_look(drift, each) for each in looked_at)


def _sloping(drift: Drift, found: Moved, today: date | None) -> DriftSentence:
    told = found.extent
    when = _ago(drift, found, today)
    text = f"{_subject(found.series)} takes {by(told.shift_s)} {when}{evidence(told)}."
    return _of_series(found.series, text, numbers_of(told), evidence(told))


def _jumped(drift: Drift, found: Jump) -> DriftSentence:
    text = (
        f"{_subject(found.series)} takes {by(found.shift_s)} {_since(drift, found)} than "
        f"{_what(found)}{evidence(found)}."
    )
    return _of_series(found.series, text, numbers_of(found), evidence(found))


def _worth_a_look(drift: Drift, found: Jump) -> DriftSentence:
    subject = _subject(found.series)
    if found.series.id == TOTAL:
        subject = "the whole routine"
    text = (
        f"Worth a look: {subject} seems to take {by(found.shift_s)} {_since(drift, found)} than "
        f"{_what(found)}{evidence(found)}. One steady routine in ten shows as much somewhere."
    )
    made = _of_series(found.series, text, numbers_of(found), evidence(found))
    return replace(made, kind="look")


def _subject(series: SeriesDrift) -> str:
    return "The whole routine" if series.id == TOTAL else f"“{series.name}”"


def _of_series(series: SeriesDrift, text: str, numbers: Numbers, because: str) -> DriftSentence:
    if series.id == TOTAL:
        return DriftSentence(text, "total", "total", (), numbers, because)
    return DriftSentence(text, "segment", f"segment-{series.id}", (series.id,), numbers, because)


def _what(found: Jump) -> str:
    """What a change is measured against: what all segments share is taken off their times.

    Where that is more than the change itself, as after a slot was cut, the times moved the other
    way, and it would be false to say that they take longer than before.
    """
    times_s, is_since = found.series.times_s, found.series.runs >= found.at
    before_s, since_s = times_s[~is_since], times_s[is_since]
    is_so = (
        not (before_s.size and since_s.size)
        or (np.median(since_s) - np.median(before_s)) * found.shift_s > 0
    )
    return "before" if is_so else "the change of the whole routine lets expect"


def _since(drift: Drift, found: Jump) -> str:
    started = drift.table.started[found.at]
    day = f" ({wording.day(started)})" if started else ""
    return f"since {drift.table.quoted(found.at)}{day}"


def _ago(drift: Drift, found: Moved, today: date | None) -> str:
    """How long before the last run, or before today, the middle of the early runs lay."""
    runs, (start, stop) = found.series.runs, found.move.early
    middle = int(runs[-found.move.trend.n :][(start + stop) // 2])
    last = int(runs[-1])
    early_day, last_day = drift.table.day(middle), today or drift.table.day(last)
    if early_day is None or last_day is None:
        return f"than {counted(last - middle, 'run')} earlier"
    days = (last_day - early_day).days
    if days <= 0:
        return "than earlier that day"
    return f"than {wording.span(days)} {'ago' if today else 'earlier'}"
