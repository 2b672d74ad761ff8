"""How often changed segments are told, and stable ones by mistake; how right the told sizes are."""

from collections.abc import Iterator

import numpy as np

from server.domain.drift.looks import looks
from tests.bench.figures import Figure
from tests.bench.presenters import presenters

RUNS = 12
HISTORIES, QUICK_HISTORIES = 300, 30
SHIFTS_S = (6.0, 12.0)


def false_alarms(kind: str, runs: int, count: int, seed: int) -> tuple[float, float]:
    """The share of histories that show anything, and anything for sure."""
    told = [looks(splits).found for splits in presenters(kind, runs, count, seed).splits_s]
    sure = [any(each.tier == "sure" for each in found) for found in told]
    return float(np.mean([bool(found) for found in told])), float(np.mean(sure))


def told_shifts(shift_s: float, runs: int, count: int, seed: int) -> tuple[float, float, float]:
    """The share of histories whose changed segment is named, and for sure; and of those named,
    the share whose interval holds the shift."""
    random = np.random.default_rng([seed, runs])
    named = sure = held = 0
    for splits in presenters("stable", runs, count, seed).splits_s:
        column = int(random.integers(splits.shape[1]))
        splits[runs // 2 :, column] += shift_s
        look = looks(splits).of(column)
        if look is not None:
            named, sure = named + 1, sure + (look.tier == "sure")
            held += look.low_s <= shift_s <= look.high_s
    return named / count, sure / count, held / max(named, 1)


def figures(quick: bool, seed: int) -> Iterator[Figure]:
    """The figures of the bench of forecasts that speak of changes."""
    count = QUICK_HISTORIES if quick else HISTORIES
    for kind in ("stable", "heavy"):
        for runs in (12, 20):
            anything, sure = false_alarms(kind, runs, count, seed)
            name = f"{kind}, {runs} runs: histories that show"
            yield Figure(f"{name} anything", anything, "", aim="at most 0.1")
            yield Figure(f"{name} anything for sure", sure, "", aim="under 0.02")
    for shift_s, aim in zip(SHIFTS_S, ("at least 0.6", "at least 0.95"), strict=True):
        named, sure, held = told_shifts(shift_s, RUNS, count, seed)
        name = f"{shift_s:.0f} s longer in the middle of {RUNS} runs"
        yield Figure(f"{name}: named", named, "", aim=aim)
        yield Figure(f"{name}: for sure", sure, "")
        yield Figure(f"{name}: interval holds it where named", held, "", aim="about 0.95")
