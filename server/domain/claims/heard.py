"""How often a planned descriptor was really said in runs: k of n, and what that is worth.

>>> row = HeardDescriptor.of("apricot", [True, True, False, *[True] * 4, False, True, True])
>>> row.said, row.runs, round(row.low, 4), round(row.high, 4)
(8, 10, 0.4902, 0.9433)
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from server.domain.base.rates import wilson


@dataclass(frozen=True)
class HeardDescriptor:
    """A descriptor heard in `said` of `runs` runs; `low` and `high` bound its share with 95 %."""

    label: str
    said: int
    runs: int
    low: float
    high: float

    @classmethod
    def of(cls, label: str, heard: Sequence[bool]) -> "HeardDescriptor":
        """The count over runs, one value a run: heard or missed."""
        said, runs = sum(heard), len(heard)
        return cls(label, said, runs, *wilson(said, runs))


def most_forgotten(ticks: Mapping[str, Sequence[bool]]) -> tuple[HeardDescriptor, ...]:
    """Descriptor -> heard or missed per run, as counts, the one most likely forgotten first.

    Those of the lowest upper bound come first, so that one miss in one run does not outweigh five
    in ten; descriptors never ticked either way are left out.
    """
    rows = [HeardDescriptor.of(label, heard) for label, heard in ticks.items() if heard]
    return tuple(sorted(rows, key=lambda row: (row.high, row.low, row.label)))
