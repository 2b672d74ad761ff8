"""How a sentence thins out, step by step, until nothing of it is shown.

The same sentence thins the same way every time. At no step does a letter come back: what a later
step shows was shown by every step before it. A word keeps its first letter while its place is
shown, the first word of a sentence stays longest, and what stands between words stays as long as
their places do.

>>> [(w.head + w.tail, w.tail_goes, w.head_goes) for w in thinned("So, dear judges.")]
[('So', 5, 5), ('dear', 2, 4), ('judges', 3, 4)]
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated

from server.domain.base.limits import Between

Step = Annotated[int, Between(0, 5, "The words thin out in five steps.")]

ALL, FOURTHS, HALVES, LETTERS, FIRST_WORDS, NOTHING = range(6)

STEPS = (
    "read",
    "one in four",
    "every second",
    "first letters",
    "first words",
    "nothing",
)
"""Step -> its name: what is shown, or which words have thinned."""

_JOINERS = {"\u200d", "\ufe0f", "\u20e3"}
# Scripts that put no spaces between words: what stands together there is parted into short pieces.
_UNSPACED = re.compile(r"[\u0e00-\u0eff\u1000-\u109f\u1780-\u17ff\u3040-\u30ff\u3400-\u9fff]")
_PIECE = 3
"""So many letters of such a script are taken for a word."""

_SPACED = re.compile(r"\S+|\s+")


@dataclass(frozen=True)
class ThinnedWord:
    """A word where it stands: what is before it, its first letter, its rest, what is after it.

    `tail_goes` and `head_goes` are the steps from which rest and first letter are not shown; what
    is around the word goes with its head.
    """

    lead: str
    head: str
    tail: str
    trail: str
    tail_goes: int
    head_goes: int

    @property
    def norm(self) -> str:
        """The word as it is compared: without case, as composed letters."""
        return unicodedata.normalize("NFC", self.head + self.tail).casefold()


@lru_cache(maxsize=4096)
def thinned(text: str) -> tuple[ThinnedWord, ...]:
    """The words of a sentence, in order, each with the steps at which it goes.

    Joined again, leads, heads, tails and trails are the text.
    """
    cores = _cores(text)
    return tuple(_word(*core, place) for place, core in enumerate(cores))


def words_of(text: str) -> tuple[str, ...]:
    """The words of a text as they are compared.

    >>> words_of("“The LAMP”, – she said")
    ('the', 'lamp', 'she', 'said')
    """
    return tuple(word.norm for word in thinned(text))


def first_words(text: str, count: int) -> str:
    """The first words of a sentence, with an ellipsis where there are more."""
    words = thinned(text)
    cut = "".join(f"{w.lead}{w.head}{w.tail}{w.trail}" for w in words[:count]).strip()
    return cut if len(words) <= count else f"{cut.rstrip(' ,;:–—-')} …"


def _word(lead: str, core: str, trail: str, place: int) -> ThinnedWord:
    clusters = _clusters(core)
    head, tail = clusters[0], "".join(clusters[1:])
    if place == 0:
        return ThinnedWord(lead, head, tail, trail, NOTHING, NOTHING)
    goes = LETTERS
    if place % 2 == 1:
        goes = FOURTHS if place % 4 == 3 else HALVES
    return ThinnedWord(lead, head, tail, trail, goes, FIRST_WORDS)


def _cores(text: str) -> list[tuple[str, str, str]]:
    """Each word with what stands before it (of the first alone) and after it."""
    found: list[tuple[str, str, str]] = []
    lead = ""
    for run in _SPACED.findall(text):
        before, core, after = _parted(run)
        if not core:
            if found:
                first, word, trail = found[-1]
                found[-1] = (first, word, trail + run)
            else:
                lead += run
            continue
        pieces = _pieces(core)
        found += [(lead + before if n == 0 else "", each, "") for n, each in enumerate(pieces)]
        first, word, _ = found[-1]
        found[-1] = (first, word, after)
        lead = ""
    return found


def _parted(run: str) -> tuple[str, str, str]:
    """A run without spaces as the marks before the word, the word, and the marks after it."""
    kept = [at for at, letter in enumerate(run) if letter.isalnum()]
    if not kept:
        return run, "", ""
    start, end = kept[0], kept[-1] + 1
    while end < len(run) and _clings(run[end]):
        end += 1
    return run[:start], run[start:end], run[end:]


def _pieces(core: str) -> list[str]:
    if not _UNSPACED.search(core):
        return [core]
    clusters = _clusters(core)
    return ["".join(clusters[at : at + _PIECE]) for at in range(0, len(clusters), _PIECE)]


def _clusters(text: str) -> list[str]:
    """Letters with the marks that belong to them."""
    found: list[str] = []
    for letter in text:
        joined = found and (_clings(letter) or found[-1][-1] == "\u200d")
        if joined:
            found[-1] += letter
        else:
            found.append(letter)
    return found


def _clings(letter: str) -> bool:
    return letter in _JOINERS or unicodedata.category(letter).startswith("M")
