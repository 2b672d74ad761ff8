"""The words around a spoken number that tell what it is of: its own clause, not all of a sentence.

In speech that was recognised without marks a "sentence" runs on for minutes; there the clause is
where a new one would begin. English words; elsewhere marks alone part clauses.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from server.domain.base.tokens import Token, tokens_kept, with_nouns, words_kept
from server.domain.claims.finds import Find
from server.domain.claims.spoken.pieces import pieces

JOINTS = frozenset({"and", "while", "but", "so", "which", "when", "after", "then", "because"})
"""Words that another clause begins with."""

PARTS = frozenset(",;:()–—")
"""Marks that part clauses."""

LONGEST_PLAIN = 40
"""A sentence of more tokens that has hardly a mark is no sentence: nobody speaks that long."""

MARKED_EVERY = 18
"""Hardly a mark: fewer than one for so many tokens."""

LONGEST_CLAUSE = 12
"""Tokens that are one clause though no mark stands."""

BEHIND = 8
"""So many words behind a number, at the most, tell what it is of, where no marks stand."""

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
        return with_nouns((*self.before, *self.behind))


class Stretch(NamedTuple):
    """A find with the text that it is told in, and the words of that."""

    find: Find
    text: str
    words: frozenset[str]


def narrowed(find: Find, sentence: str) -> Stretch:
    """A find with the part of its sentence that it is told in: all of it where marks part it,
    else its clause and those right before.
    """
    starts = _clauses_of(sentence)
    if not starts:
        return Stretch(find, sentence, words_kept(sentence))
    tokens = tokens_kept(sentence)
    at, stop = _place(find, tokens)
    number = bisect_right(starts, at) - 1
    first = starts[max(number - CLAUSES_BEFORE, 0)]
    end = starts[number + 1] if number + 1 < len(starts) else len(tokens)
    end = max(stop, min(end, stop + BEHIND))
    begin, until = tokens[first].start, tokens[end - 1].end
    start = find.sentence_start
    held = replace(find, sentence_start=start + begin, sentence_end=start + until)
    return Stretch(held, sentence[begin:until], frozenset(_norms(tokens[first:end])))


def clause_of(find: Find, sentence: str) -> Clause:
    """The clause that a number stands in."""
    tokens, starts = tokens_kept(sentence), _starts_of(sentence)
    at, end = _place(find, tokens)
    number = bisect_right(starts, at) - 1
    behind = bisect_left(starts, end)
    stop = starts[behind] if behind < len(starts) else len(tokens)
    first = starts[number]
    if first == at and stop == end and number > 0:
        first = starts[number - 1]
    return Clause(_norms(tokens[first:at]), _norms(tokens[end:stop]))


def clauses_before(find: Find, sentence: str, most: int) -> list[tuple[str, ...]]:
    """The words of the clauses before a number's own, the nearest first."""
    tokens, starts = tokens_kept(sentence), _starts_of(sentence)
    number = bisect_right(starts, _place(find, tokens)[0]) - 1
    spans = pairwise(starts[max(number - most, 0) : number + 1])
    return [_norms(tokens[first:end]) for first, end in spans][::-1]


@lru_cache(maxsize=64)
def _clauses_of(sentence: str) -> tuple[int, ...]:
    """Where the clauses of a sentence that runs on begin (tokens); none where marks part it."""
    tokens = tokens_kept(sentence)
    marks = sum(bool(token.gap.strip("-'")) for token in tokens[1:])
    if len(tokens) <= LONGEST_PLAIN or marks * MARKED_EVERY >= len(tokens):
        return ()
    return tuple(first for first, _ in pieces(tokens, 0, len(tokens), unmarked=True))


@lru_cache(maxsize=256)
def _starts_of(sentence: str) -> tuple[int, ...]:
    """Where clauses begin (tokens): at marks and joints; where no mark stands, at new verbs too."""
    tokens = tokens_kept(sentence)
    starts = {0, *(at for at, token in enumerate(tokens) if _opens(token))}
    is_long = len(tokens) > LONGEST_CLAUSE
    if is_long and not any(token.gap.strip("-'") for token in tokens[1:]):
        starts.update(first for first, _ in pieces(tokens, 0, len(tokens), unmarked=True))
    return tuple(sorted(starts))


def _place(find: Find, tokens: Sequence[Token]) -> tuple[int, int]:
    """The first token of a find and the one after its last, in its sentence."""
    start, stop = find.start - find.sentence_start, find.end - find.sentence_start
    first = bisect_right(tokens, start, key=lambda token: token.end)
    return first, max(bisect_left(tokens, stop, key=lambda token: token.start), first + 1)


def _opens(token: Token) -> bool:
    """Whether another clause begins with this word."""
    return not PARTS.isdisjoint(token.gap) or "…" in token.gap or token.norm in JOINTS


def _norms(tokens: Sequence[Token]) -> tuple[str, ...]:
    return tuple(token.norm for token in tokens)
