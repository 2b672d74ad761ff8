"""The learnt weights, and what they make of surroundings: logistic regression, by hand.

Source of the formulas: McCullagh & Nelder, Generalized Linear Models, 2nd ed. 1989, chapters 4
(binary) and 5 (several outcomes).
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import fsum

from server.domain.claims.negation import Polarity

POLARITIES: tuple[Polarity, ...] = ("has", "lacks", "some")
"""The order of the weights for how a claim is told."""


@dataclass(frozen=True)
class Weights:
    """By the names of `surroundings`: what speaks for a claim, and for each way to tell one."""

    claim: Mapping[str, float]
    told: Mapping[str, Sequence[float]]

    def speaks_for_a_claim(self, names: Iterable[str]) -> float:
        """The logarithm of the odds that it is a claim: 0 is even, 2.2 nine to one."""
        # Most names are not known. A word of a dense text asks for eighty: no loop in Python.
        # They come out of sets too: a sum that hung on their order would differ between starts.
        return fsum(filter(None, map(self.claim.get, names)))

    def way_told(self, names: Iterable[str], by_rules: Polarity, sure: float) -> Polarity:
        """How a claim is told: as by rules, unless another way is likelier by `sure` log odds."""
        known = filter(None, map(self.told.get, names))
        sums = [fsum(column) for column in zip(*known, strict=True)] or [0.0] * len(POLARITIES)
        best = max(sums)
        is_kept = best - sums[POLARITIES.index(by_rules)] <= sure
        return by_rules if is_kept else POLARITIES[sums.index(best)]


@cache
def shipped_weights() -> Weights:
    """The weights of `weights.json`, which `python -m tests.learn_words` writes."""
    source = files(__package__).joinpath("weights.json").read_text(encoding="utf-8")
    read = json.loads(source)
    return Weights(read["claim"], read["told"])
