"""Exact tests of counts: how likely pure chance is to do as well.

>>> round(at_least(8, 12, 1 / 3), 4), round(two_sided_half(9, 10), 4)
(0.0188, 0.0215)
>>> holm([0.01, 0.04, 0.03])
[0.03, 0.06, 0.06]
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.base.rates import at_least

LEVEL = 0.05
"""What happens by chance less often than this is taken for real."""

_TIE = 1 + 1e-9
"""Tables as likely as the one seen are told from likelier ones in spite of rounding."""


@dataclass(frozen=True)
class Stratum:
    """One taster's card: so many words of one sort and of the other, and so many ticks in all."""

    words: int
    others: int
    ticks: int


def two_sided_half(hits: int, tries: int) -> float:
    """The probability that a fair coin falls as unevenly as `hits` in `tries`, either way."""
    return min(1.0, 2 * at_least(max(hits, tries - hits), tries, 0.5))


def as_many_by_chance(hits: int, strata: Sequence[Stratum]) -> float:
    """How likely `hits` or more ticks fall on the words if each taster ticked blindly.

    Each taster's number of ticks is taken as given and spread over their card by chance (Birch,
    J. R. Stat. Soc. B 27 (1965) 220); with one stratum it is Fisher's exact test, one-sided. So one
    who ticks all, or nothing, weighs nothing: wherever they stand, they cannot tell words apart.
    """
    chances = [1.0]
    for stratum in strata:
        chances = _joined(chances, _spread(stratum))
    return min(1.0, math.fsum(chances[max(0, hits) :]))


def fisher(hits: int, tries: int, other_hits: int, other_tries: int) -> float:
    """Fisher's exact test, two-sided: the probability of tables no likelier than this one."""
    chances = _spread(Stratum(tries, other_tries, hits + other_hits))
    seen = chances[hits]
    return min(1.0, math.fsum(each for each in chances if each <= seen * _TIE))


def mcnemar(gained: int, lost: int) -> float:
    """McNemar's exact test (Psychometrika 12 (1947) 153), two-sided, of what the same people said
    twice: `gained` said yes only the second time, `lost` only the first."""
    return two_sided_half(gained, gained + lost)


def cochran(said: Sequence[Sequence[bool]]) -> float:
    """How often chance alone sets the columns of a table as far apart; a row for each person.

    Cochran's Q (Biometrika 37 (1950) 256), as a chi-square with one degree of freedom fewer than
    there are columns. 1 where no row says yes to some and no to others.
    """
    columns = [sum(column) for column in zip(*said, strict=True)]
    rows = [sum(row) for row in said]
    k, whole = len(columns), sum(rows)
    left = k * whole - sum(row * row for row in rows)
    if k < 2 or not left:
        return 1.0
    q = (k - 1) * (k * sum(column * column for column in columns) - whole * whole) / left
    return _chi_square_above(q, k - 1)


def _chi_square_above(x: float, df: int) -> float:
    """The probability that a chi-square is above `x`; the finite sums for whole `df`.

    Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4.4 and 26.4.5.
    """
    half = max(x, 0.0) / 2
    start = 0.0 if df % 2 == 0 else 0.5
    sums = math.fsum(
        half ** (start + n) / math.gamma(start + n + 1)
        for n in range((df - 1) // 2 + (df % 2 == 0))
    )
    tail = 0.0 if df % 2 == 0 else math.erfc(math.sqrt(half))
    return min(1.0, tail + math.exp(-half) * sums)


def holm(p_values: Sequence[float]) -> list[float]:
    """Each p-value corrected for the number of them (Holm, Scand. J. Statist. 6 (1979) 65)."""
    corrected = [0.0] * len(p_values)
    highest = 0.0
    order = sorted(range(len(p_values)), key=lambda place: p_values[place])
    for rank, place in enumerate(order):
        highest = max(highest, min(1.0, (len(p_values) - rank) * p_values[place]))
        corrected[place] = highest
    return corrected


def _spread(stratum: Stratum) -> list[float]:
    """The probability of 0, 1, 2 … ticks on the words, all spreads being alike."""
    words, others, ticks = stratum.words, stratum.others, stratum.ticks
    ways = math.comb(words + others, ticks)
    return [
        math.comb(words, on) * math.comb(others, ticks - on) / ways if on <= ticks else 0.0
        for on in range(words + 1)
    ]


def _joined(one: Sequence[float], other: Sequence[float]) -> list[float]:
    """The probabilities of a sum of two independent counts."""
    sums = [0.0] * (len(one) + len(other) - 1)
    for left, chance in enumerate(one):
        for right, further in enumerate(other):
            sums[left + right] += chance * further
    return sums
