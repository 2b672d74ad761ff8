"""The words around a spoken number that tell what it is of: its own clause, not all of a sentence.

In speech that was recognised without marks a "sentence" runs on for minutes; there the clause is
where a new one would begin. English words; elsewhere marks alone part clauses.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from server.domain.base.tokens import Token, tokens_kept
from server.domain.claims.finds import Find
from server.domain.claims.spoken.pieces import pieces

JOINTS = frozenset({"and", "while", "but", "so", "which", "when", "after", "then", "because"})
"""Words that another clause begins with."""

_PARTS = frozenset(",;:()–—")

LONGEST_PLAIN = 40
"""A sentence of more tokens that has hardly a mark is no sentence: nobody speaks that long."""

MARKED_EVERY = 18
"""Hardly a mark: fewer than one for so many tokens."""

CLAUSES_BEFORE = 2
"""So many clauses before a number's own still tell what it is of, where no marks stand."""


@dataclass(frozen=True)
class Clause:
    """The words of a number's clause before and behind it, and those of the clause before where
    its own is nothing but the number ("… shake with ice, twelve seconds").
    """

    before: tuple[str, ...]
    behind: tuple[str, ...]

    @property
    def words(self) -> frozenset[str]:
        """All its words."""
        return frozenset((*self.before, *self.behind))


def narrowed(find: Find, sentence: str) -> tuple[Find, str]:
    """A find with the part of its sentence that it is told in: all of it where marks part it,
    else its clause and those right before.
    """
    starts = _clauses_of(sentence)
    if not starts:
        return find, sentence
    tokens = tokens_kept(sentence)
    at, stop = _place(find, tokens)
    number = bisect_right(starts, at) - 1
    first = starts[max(number - CLAUSES_BEFORE, 0)]
    end = max(stop, starts[number + 1] if number + 1 < len(starts) else len(tokens))
    begin, until = tokens[first].start, tokens[end - 1].end
    start = find.sentence_start
    held = replace(find, sentence_start=start + begin, sentence_end=start + until)
    return held, sentence[begin:until]


def clause_of(find: Find, sentence: str) -> Clause:
    """The clause that a number stands in."""
    tokens = tokens_kept(sentence)
    at, end = _place(find, tokens)
    first = _begin(tokens, at)
    stop = next((n for n in range(end, len(tokens)) if _opens(tokens[n])), len(tokens))
    if first == at and stop == end and first > 0:
        first = _begin(tokens, first - 1)
    return Clause(_norms(tokens[first:at]), _norms(tokens[end:stop]))


def clauses_before(find: Find, sentence: str, most: int) -> list[tuple[str, ...]]:
    """The words of the clauses before a number's own, the nearest first."""
    tokens = tokens_kept(sentence)
    first = _begin(tokens, _place(find, tokens)[0])
    found: list[tuple[str, ...]] = []
    while first > 0 and len(found) < most:
        begin = _begin(tokens, first - 1)
        found.append(_norms(tokens[begin:first]))
        first = begin
    return found


@lru_cache(maxsize=64)
def _clauses_of(sentence: str) -> tuple[int, ...]:
    """Where the clauses of a sentence that runs on begin (tokens); none where marks part it."""
    tokens = tokens_kept(sentence)
    marks = sum(bool(token.gap.strip("-'")) for token in tokens[1:])
    if len(tokens) <= LONGEST_PLAIN or marks * MARKED_EVERY >= len(tokens):
        return ()
    return tuple(first for first, _ in pieces(tokens, 0, len(tokens), unmarked=True))


def _place(find: Find, tokens: Sequence[Token]) -> tuple[int, int]:
    """The first token of a find and the one after its last, in its sentence."""
    start, stop = find.start - find.sentence_start, find.end - find.sentence_start
    first = bisect_right(tokens, start, key=lambda token: token.end)
    return first, max(bisect_left(tokens, stop, key=lambda token: token.start), first + 1)


def _begin(tokens: Sequence[Token], at: int) -> int:
    """The first token of the clause that a token stands in."""
    while at > 0 and not _opens(tokens[at]):
        at -= 1
    return at


def _opens(token: Token) -> bool:
    """Whether another clause begins with this word."""
    return not _PARTS.isdisjoint(token.gap) or "…" in token.gap or token.norm in JOINTS


def _norms(tokens: Sequence[Token]) -> tuple[str, ...]:
    return tuple(token.norm for token in tokens)
