"""The 30,000 passwords that are chosen most often, and whether one is built on such a one.

The list is the library zxcvbn's: passwords that were stolen and published, counted. Only 229 of
them are as long as a password must be here, so what people make of the others to reach that length
is held against it too: digits behind, a sign before, a figure for a letter, the same twice.
"""

from collections.abc import Iterator
from functools import cache

SHORTEST_STEM = 4
"""Fewest signs that are looked up as the stem of a password: shorter ones are in many words."""
MOST_AROUND = 8
"""Most digits and signs around a stem, as in a date; more of them are hard to guess."""
FIGURES_FOR_LETTERS = str.maketrans("0134578@$!", "oieastbasi")


@cache
def commonest() -> frozenset[str]:
    """The list, case-folded; 0.3 s the first time, so only where people have passwords."""
    from zxcvbn.frequency_lists import FREQUENCY_LISTS  # type: ignore[import-untyped]

    return frozenset(map(str.casefold, FREQUENCY_LISTS["passwords"]))


def is_among_commonest(text: str) -> bool:
    """Whether a password, case-folded, is one of the list, or one of it dressed up or repeated.

    >>> [is_among_commonest(each) for each in ("sonyericsson", "5trawberry!!", "fish1984fish1984")]
    [True, True, True]
    >>> [is_among_commonest(each) for each in ("kettle fern stairs", "fish 8471950263")]
    [False, False]
    """
    listed = commonest()
    stems = (stem for each in _once(text) for stem in (each, *_stems(each)))
    return any(stem in listed or stem.translate(FIGURES_FOR_LETTERS) in listed for stem in stems)


def _once(text: str) -> Iterator[str]:
    """A text, and what it repeats."""
    yield text
    for length in range(SHORTEST_STEM, len(text) // 2 + 1):
        if text == (text[:length] * len(text))[: len(text)]:
            yield text[:length]


def _stems(text: str) -> Iterator[str]:
    """What is left without digits and signs before and behind, few or many of them."""
    letters = [at for at, sign in enumerate(text) if sign.isalpha()]
    for before in range(min(letters[0], MOST_AROUND) + 1 if letters else 0):
        for behind in range(min(len(text) - letters[-1] - 1, MOST_AROUND - before) + 1):
            if len(text) - before - behind >= SHORTEST_STEM:
                yield text[before : len(text) - behind]
