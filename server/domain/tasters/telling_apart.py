"""Telling two versions apart: the triangle test and paired preference, by the exact binomial.

In a triangle (ISO 4120) a taster has three glasses of which two are alike, and names the odd one:
guessing is right 1 time in 3. In paired preference (ISO 5495) they have two and name the better.
A share `pd` of people can tell; all others guess.

>>> (critical("triangle", 12, 0.05), needed("triangle", DifferenceAim(0.5, 0.05, 0.2)))
(8, 16)
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

from server.domain.base.documents import Document
from server.domain.base.errors import refuse_if
from server.domain.base.limits import Between, limit_faults
from server.domain.base.rates import at_least, exactly, wilson
from server.domain.tasters.exact import two_sided_half

PairKind = Literal["triangle", "preference"]

GUESSING: Mapping[PairKind, float] = {"triangle": 1 / 3, "preference": 1 / 2}
"""How often one who cannot tell is right."""

MOST_NEEDED = 5000


@dataclass(frozen=True)
class DifferenceAim(Document):
    """A difference worth having: a share `pd` of people can tell it (or prefer it beyond chance).

    It is claimed where there is none in `alpha` of tastings, and missed in `beta` of them.
    """

    pd: Annotated[float, Between(0.05, 0.95, "Choose a share from 5 to 95 in 100.")] = 0.5
    alpha: Annotated[float, Between(0.001, 0.2, "Choose a risk from 0.1 to 20 in 100.")] = 0.05
    beta: Annotated[float, Between(0.001, 0.5, "Choose a risk from 0.1 to 50 in 100.")] = 0.2

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self))


USUAL_AIM = DifferenceAim()


@dataclass(frozen=True)
class DifferenceOutcome:
    """What came of a test: `hits` of `tasters`, how likely that is by guessing alone.

    `least` and `most` bound the share of people who can tell (95 %, from Wilson's interval);
    for a preference they bound the share who prefer the first. `needed_hits` is the fewest that
    tell something, None where even all of them would not.
    """

    kind: PairKind
    hits: int
    tasters: int
    p: float
    needed_hits: int | None
    least: float
    most: float

    def tells(self, alpha: float) -> bool:
        """Whether a difference, or a preference, may be claimed."""
        return self.tasters > 0 and self.p <= alpha


def outcome(kind: PairKind, hits: int, tasters: int, alpha: float) -> DifferenceOutcome:
    """The exact result of a test in which `hits` of `tasters` were right, or chose the first."""
    low, high = wilson(hits, tasters)
    p = 1.0
    if kind == "triangle":
        low, high = (_share(each, 1 / 3) for each in (low, high))
        p = at_least(hits, tasters, 1 / 3)
    elif tasters:
        p = two_sided_half(hits, tasters)
    return DifferenceOutcome(kind, hits, tasters, p, critical(kind, tasters, alpha), low, high)


def critical(kind: PairKind, tasters: int, alpha: float) -> int | None:
    """The fewest who must be right, or agree, to claim a difference; None where none would do."""
    guess, tail = GUESSING[kind], _tail(kind, alpha)
    found = (k for k in range(tasters + 1) if at_least(k, tasters, guess) <= tail)
    return next(found, None)


def needed(kind: PairKind, aim: DifferenceAim) -> int | None:
    """The fewest tasters with whom the difference aimed at is seldom missed.

    None beyond 5,000. Both tails are carried from n to n + 1 tasters:
    P(X(n + 1) >= c) = P(X(n) >= c) + p P(X(n) = c - 1).
    """
    guess, tail = GUESSING[kind], _tail(kind, aim.alpha)
    right = guess + (1 - guess) * aim.pd
    fewest, false, true = 0, 1.0, 1.0
    for tasters in range(1, MOST_NEEDED + 1):
        false += guess * exactly(fewest - 1, tasters - 1, guess)
        true += right * exactly(fewest - 1, tasters - 1, right)
        while false > tail and fewest <= tasters:
            false -= exactly(fewest, tasters, guess)
            true -= exactly(fewest, tasters, right)
            fewest += 1
        if fewest <= tasters and true >= 1 - aim.beta:
            return tasters
    return None


def power(kind: PairKind, tasters: int, aim: DifferenceAim) -> float:
    """How often so many tasters would show the difference aimed at."""
    fewest = critical(kind, tasters, aim.alpha)
    guess = GUESSING[kind]
    return 0.0 if fewest is None else at_least(fewest, tasters, guess + (1 - guess) * aim.pd)


def _tail(kind: PairKind, alpha: float) -> float:
    # Nobody knows beforehand which of two is preferred: either way counts.
    return alpha if kind == "triangle" else alpha / 2


def _share(right: float, guess: float) -> float:
    return max(0.0, (right - guess) / (1 - guess))
