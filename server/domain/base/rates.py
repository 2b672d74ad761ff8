"""How sure a rate is that was counted, so many of so many, and how likely chance does as well."""

import math
from statistics import NormalDist

from server.domain.base.errors import InvalidInput


def wilson(said: int, runs: int, level: float = 0.95) -> tuple[float, float]:
    """The Wilson score interval for `said` in `runs`, without continuity correction.

    Formula: Wilson, Journal of the American Statistical Association 22 (1927) 209; method 3 of
    Newcombe, Statistics in Medicine 17 (1998) 857. Nothing is known of no runs: (0, 1). Raises
    InvalidInput for counts that cannot be.

    >>> [round(end, 4) for end in wilson(23, 60)]
    [0.2709, 0.5098]
    """
    if not 0 <= said <= runs:
        raise InvalidInput.of("said", f"It cannot be said in {said} of {runs} runs.")
    if runs == 0:
        return 0.0, 1.0
    z = NormalDist().inv_cdf(0.5 + level / 2)
    share = said / runs
    scale = 1 + z * z / runs
    middle = (share + z * z / (2 * runs)) / scale
    half = z / scale * math.sqrt(share * (1 - share) / runs + z * z / (4 * runs * runs))
    low = 0.0 if said == 0 else middle - half
    return low, 1.0 if said == runs else middle + half


def exactly(hits: int, tries: int, chance: float) -> float:
    """The binomial probability of `hits` in `tries`."""
    if not 0 <= hits <= tries:
        return 0.0
    if chance in (0.0, 1.0):
        return float(hits == tries * chance)
    ways = math.lgamma(tries + 1) - math.lgamma(hits + 1) - math.lgamma(tries - hits + 1)
    return math.exp(ways + hits * math.log(chance) + (tries - hits) * math.log1p(-chance))


def at_least(hits: int, tries: int, chance: float) -> float:
    """The binomial probability of `hits` or more in `tries`."""
    return min(1.0, math.fsum(exactly(k, tries, chance) for k in range(hits, tries + 1)))
