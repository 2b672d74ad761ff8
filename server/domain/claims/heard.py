"""How often a planned descriptor was really said in runs: k of n, and what that is worth.

>>> row = Heard.of("apricot", [True, True, False, True, True, True, True, False, True, True])
>>> row.said, row.runs, round(row.low, 4), round(row.high, 4)
(8, 10, 0.4902, 0.9433)
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from server.domain.base.errors import InvalidInput

Z_95 = 1.959963984540054
"""The 97.5 percent point of the standard normal distribution."""


def wilson(said: int, runs: int, z: float = Z_95) -> tuple[float, float]:
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
    share = said / runs
    scale = 1 + z * z / runs
    middle = (share + z * z / (2 * runs)) / scale
    half = z / scale * math.sqrt(share * (1 - share) / runs + z * z / (4 * runs * runs))
    low = 0.0 if said == 0 else middle - half
    return low, 1.0 if said == runs else middle + half


@dataclass(frozen=True)
class Heard:
    """A descriptor heard in `said` of `runs` runs; `low` and `high` bound its share with 95 %."""

    label: str
    said: int
    runs: int
    low: float
    high: float

    @classmethod
    def of(cls, label: str, heard: Sequence[bool]) -> "Heard":
        """The count over runs, one value a run: heard or missed."""
        said, runs = sum(heard), len(heard)
        return cls(label, said, runs, *wilson(said, runs))


def most_forgotten(ticks: Mapping[str, Sequence[bool]]) -> tuple[Heard, ...]:
    """Descriptor -> heard or missed per run, as counts, the one most likely forgotten first.

    Those of the lowest upper bound come first, so that one miss in one run does not outweigh five
    in ten; descriptors never ticked either way are left out.
    """
    rows = [Heard.of(label, heard) for label, heard in ticks.items() if heard]
    return tuple(sorted(rows, key=lambda row: (row.high, row.low, row.label)))
