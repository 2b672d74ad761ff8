"""The figures of drift as their definitions stand, in Python without libraries.

The peer of `tests.bench.drift`, and a second opinion for the tests: same windows, same grids, same
answers, written as loops. None stands for a missing mark.
"""

import itertools
import math
from statistics import fmean

from server.domain.base.student import t_quantile
from server.domain.drift import changes, groups, learning_curve, level, moves, trend
from server.domain.drift.analysis import MOST_CHARTED
from server.domain.drift.control import D2, EWMA_WEIGHT, WIDTH_SIGMA
from server.domain.drift.laws import normal_quantile, rank_sum_rank, sign_rank
from server.domain.drift.wandering import CLIP_SIGMA, SHARE_RUNS


def analysis(rows, totals, firsts, *, whole=False):
    """Everything for a table of splits, its totals and the runs that are a day's first.

    With `whole`, slopes and pairs go over all runs and not over the latest ones alone.
    """
    columns = [list(column) for column in zip(*rows, strict=True)]
    return {
        "series": [series(column, whole) for column in (totals, *columns)],
        "together": together(rows),
        "pairs": [pair(column, firsts, whole) for column in (totals, *columns)],
    }


def series(column, whole):
    known = [(run, time) for run, time in enumerate(column) if time is not None]
    runs, times = [run for run, _ in known], [time for _, time in known]
    found = changes_of(times)
    slope_runs = len(times) if whole else trend.TREND_RUNS
    return {
        "level": level_of(times),
        "off_plan": off_plan(times),
        "trend": trend_of(times[-slope_runs:], runs[-slope_runs:]),
        "move": move_of(times[-moves.WINDOW_RUNS :], runs[-moves.WINDOW_RUNS :]),
        "changes": found,
        "charts": charts(times[found[-1] if found else 0 :][-MOST_CHARTED:]),
        "learning": curve(times, [run + 1 for run in runs]),
    }


def median(values):
    ordered = sorted(values)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def robust(values):
    middle = median(values)
    return level.ROBUST_SIGMA * median([abs(value - middle) for value in values])


def deviation(values):
    mean = fmean(values)
    return math.sqrt(sum((value - mean) ** 2 for value in values) / (len(values) - 1))


def level_of(times):
    return fmean(times), median(times), deviation(times), robust(times), min(times), max(times)


def off_plan(times):
    latest = sorted(times[-level.RECENT_RUNS :])
    rank = sign_rank(len(latest), 0.95)
    return median(latest), latest[rank - 1], latest[-rank]


def trend_of(times, runs):
    n, score, slopes = len(times), 0, []
    for i in range(n):
        for j in range(i + 1, n):
            rise = times[j] - times[i]
            score += (rise > 0) - (rise < 0)
            slopes.append(rise / (runs[j] - runs[i]))
    slopes.sort()
    counts = {}
    for time in times:
        counts[time] = counts.get(time, 0) + 1
    tied = sum(t * (t - 1) * (2 * t + 5) for t in counts.values())
    variance = (n * (n - 1) * (2 * n + 5) - tied) / 18
    reach = normal_quantile(0.975) * math.sqrt(variance)
    low, high = round((len(slopes) - reach) / 2) - 1, round((len(slopes) + reach) / 2)
    return median(slopes), slopes[low], slopes[high], score


def ranks_of(values):
    order = sorted(range(len(values)), key=values.__getitem__)
    ranks, place = [0.0] * len(values), 0
    while place < len(order):
        end = place
        while end + 1 < len(order) and values[order[end + 1]] == values[order[place]]:
            end += 1
        for k in range(place, end + 1):
            ranks[order[k]] = (place + end) / 2 + 1
        place = end + 1
    return ranks


def split_of(times):
    n = len(times)
    if n < changes.LEAST_RUNS:
        return None
    running, best = 0.0, (-1.0, 0)
    for before, rank in enumerate(ranks_of(times), 1):
        running += rank - (n + 1) / 2
        if changes.LEAST_SIDE <= before <= n - changes.LEAST_SIDE:
            z = abs(running) / math.sqrt(before * (n - before) * (n + 1) / 12)
            best = max(best, (z, -before))
    return -best[1], best[0]


def changes_of(times):
    waiting, places = [(0, len(times))], []
    while waiting:
        begin, end = waiting.pop()
        split = split_of(times[begin:end])
        if split and changes.split_p(split[1], end - begin) <= changes.ALARM:
            places.append(begin + split[0])
            waiting += [(begin, begin + split[0]), (begin + split[0], end)]
    edges, placed = [0, *sorted(places), len(times)], []
    for begin, end in zip(edges, edges[2:], strict=False):
        split = split_of(times[begin:end])
        if split and changes.split_p(split[1], end - begin) <= changes.ALARM:
            placed.append(begin + split[0])
    return placed


def move_of(times, runs):
    return trend_of(times, runs), split_of(times)


def charts(times):
    ranges = [abs(later - earlier) for earlier, later in itertools.pairwise(times)]
    center, step = fmean(times), fmean(ranges)
    sigma = step / D2
    signals = [n for n, time in enumerate(times) if abs(time - center) > WIDTH_SIGMA * sigma]
    smoothed, value, weight = [], center, EWMA_WEIGHT
    for n, time in enumerate(times, 1):
        value = weight * time + (1 - weight) * value
        half = math.sqrt(weight / (2 - weight) * (1 - (1 - weight) ** (2 * n)))
        smoothed.append((value, WIDTH_SIGMA * sigma * half))
    return center, step, signals, smoothed


def curve(times, numbers):
    last = max(numbers)
    rates = {
        "exponential": [(1 / last) * (2 * last) ** (k / 15) for k in range(16)],
        "power": [0.05 * 60 ** (k / 15) for k in range(16)],
    }
    shapes = {
        form: [[falling(form, rate, number) for number in numbers] for rate in each]
        for form, each in rates.items()
    }
    weights = [1.0] * len(times)
    for _ in range(3):
        found = []
        for form in rates:
            for rate, shape in zip(rates[form], shapes[form], strict=True):
                fit = least_squares(times, weights, shape)
                if fit[1] > 0:
                    found.append((fit[2], form, rate, fit, shape))
        if not found:
            return None
        _, form, rate, fit, shape = min(found, key=lambda each: each[0])
        weights = huber(times, fit, shape)
    step = rates[form][1] / rates[form][0]
    for _ in range(6):
        tried = []
        for k in range(9):
            near = rate * step ** (k / 4 - 1)
            shape = [falling(form, near, number) for number in numbers]
            tried.append((least_squares(times, weights, shape), near))
        fit, rate = min(tried, key=lambda each: each[0][2])
        step **= 0.4
    return form, fit[0], fit[1], rate


def falling(form, rate, number):
    return math.exp(-rate * (number - 1)) if form == "exponential" else number**-rate


def least_squares(times, weights, shape):
    total = sum(weights)
    mean_shape = sum(w * s for w, s in zip(weights, shape, strict=True)) / total
    mean_time = sum(w * t for w, t in zip(weights, times, strict=True)) / total
    cross = square = 0.0
    for w, s, t in zip(weights, shape, times, strict=True):
        cross += w * (s - mean_shape) * (t - mean_time)
        square += w * (s - mean_shape) ** 2
    gain = cross / square if square > 1e-12 else 0.0
    floor = mean_time - gain * mean_shape
    left = 0.0
    for w, s, t in zip(weights, shape, times, strict=True):
        left += w * (t - floor - gain * s) ** 2
    return floor, gain, left


def huber(times, fit, shape):
    residuals = [t - fit[0] - fit[1] * s for t, s in zip(times, shape, strict=True)]
    clip = learning_curve.CLIP_SIGMA * level.ROBUST_SIGMA * median([abs(r) for r in residuals])
    return [min(1.0, clip / abs(r)) if r else 1.0 for r in residuals]


def together(rows):
    complete = [row for row in rows if None not in row][-SHARE_RUNS:]
    columns = [list(column) for column in zip(*complete, strict=True)]
    return shares(columns), correlations(columns)


def shares(columns):
    clipped = []
    for column in columns:
        middle, reach = median(column), CLIP_SIGMA * robust(column)
        clipped.append([min(max(time, middle - reach), middle + reach) for time in column])
    n = len(clipped[0])
    offsets = [[time - fmean(column) for time in column] for column in map(list, clipped)]
    total = [sum(column[run] for column in offsets) for run in range(n)]
    squares = sum(each * each for each in total)
    factor, found = t_quantile(1 - 0.005 / len(columns), n - 2), []
    for column in offsets:
        share = sum(a * b for a, b in zip(total, column, strict=True)) / squares
        error = 0.0
        for a, b in zip(total, column, strict=True):
            error += (a * (b - a * share) / (1 - 1 / n - a * a / squares)) ** 2
        reach = factor * math.sqrt(error) / squares
        found.append((share, share - reach, share + reach))
    return found


def correlations(columns):
    standard = []
    for column in columns:
        ranks = ranks_of([b - a for a, b in itertools.pairwise(column)])
        mean, spread = fmean(ranks), deviation(ranks)
        standard.append([(rank - mean) / spread for rank in ranks])
    n, raw, above, below = len(standard[0]), {}, 0.0, 0.0
    for i, first in enumerate(standard):
        for j in range(i + 1, len(standard)):
            products = [a * b for a, b in zip(first, standard[j], strict=True)]
            mean = fmean(products)
            raw[i, j] = mean * n / (n - 1)
            above += n / (n - 1) ** 3 * sum((each - mean) ** 2 for each in products)
            below += raw[i, j] ** 2
    shrinkage = min(1.0, above / below)
    return {key: value * (1 - shrinkage) for key, value in raw.items()}


def pair(column, firsts, whole):
    known = [(time, first) for time, first in zip(column, firsts, strict=True) if time is not None]
    latest = 0 if whole else groups.LATEST_RUNS
    a = [time for time, first in known if first][-latest:]
    b = [time for time, first in known if not first][-latest:]
    differences = sorted(x - y for x in a for y in b)
    rank = rank_sum_rank(len(a), len(b), 0.95)
    wins = sum(ranks_of(a + b)[: len(a)])
    return median(differences), differences[rank - 1], differences[-rank], wins
