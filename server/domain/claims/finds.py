"""What was found in a script: values that know where they stand."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Literal

from server.domain.base.languages import Bound
from server.domain.claims.negation import Polarity

FindKind = Literal[
    "descriptor", "amount", "temperature", "strength", "time", "serves", "ratio", "count", "free",
    "only", "ingredient", "perhaps",
]  # fmt: skip
Moment = Literal["aroma", "sip", "finish", "later", ""]

KINDS: dict[FindKind, str] = {
    "descriptor": "Descriptor",
    "amount": "Amount",
    "temperature": "Temperature",
    "strength": "Strength",
    "time": "Time",
    "serves": "Serves",
    "ratio": "Ratio",
    "count": "Count",
    "free": "Free of",
    "only": "Nothing but",
    "ingredient": "Ingredient named",
    "perhaps": "Perhaps a descriptor",
}
"""Kind of a find -> the words that name it on a page."""

MOMENTS: dict[Moment, str] = {
    "aroma": "on the nose",
    "sip": "in the mouth",
    "finish": "in the finish",
    "later": "as it stands",
    "": "",
}
"""When the judges are to notice it -> the words for it."""


@dataclass(frozen=True)
class Passage:
    """What is said in a segment, and the drink it is about (None: not told)."""

    segment_id: str
    text: str
    drink_id: str | None = None


@dataclass(frozen=True)
class Find:
    """A claim, or an ingredient named, in the text of a segment.

    `start` and `end` are offsets into the passage's own text; `sentence_start`, `sentence_end`
    those of its sentence, the `sentence_index`-th of the segment. `words` and `sentence_words`
    are the stems, which hold through changes of form; `occurrence` counts the same words within
    the sentence from 0. A descriptor has `word` (its name in the taxonomy, or the user's phrase)
    and `polarity`; a number has `low`, `high`, `unit` and `bound`, times in s, temperatures in
    C or F, strengths in %. `also` holds other values the words may mean. What is hardly a
    descriptor, but may be one, is of the kind "perhaps", with the same fields.
    """

    segment_id: str
    kind: FindKind
    start: int
    end: int
    phrase: str
    sentence_index: int
    sentence_start: int
    sentence_end: int
    words: str
    sentence_words: str
    occurrence: int = 0
    drink_id: str | None = None
    word: str | None = None
    polarity: Polarity = "has"
    moment: Moment = ""
    low: float | None = None
    high: float | None = None
    unit: str = ""
    also: tuple[float, ...] = ()
    bound: Bound = "exactly"
    ingredient_ids: tuple[str, ...] = ()
    against: tuple[str, ...] = ()
    """The other ingredients of a ratio: "gin to lime"."""
    is_slip: bool = False
    is_corrected: bool = False
    is_doubtful: bool = False
    """Whether a descriptor may well be none: the words around it do not tell for sure."""
    of_other: str = ""
    """What an amount is said of, where no recipe at hand lists it: "tomato water"."""


def numbered(finds: Sequence[Find]) -> list[int]:
    """For each find, how many before it in its sentence have the same words and kind."""
    seen: dict[tuple[str, int, str, str], int] = {}
    counts = []
    for find in finds:
        key = (find.segment_id, find.sentence_index, find.kind, find.words)
        counts.append(seen.get(key, 0))
        seen[key] = counts[-1] + 1
    return counts


MOST_CHARACTERS = 100_000
"""So much text is read; ten minutes are ten thousand characters."""


def readable(passages: Sequence[Passage]) -> tuple[Passage, ...]:
    """The passages that are read: all, or as many from the first on as are not too much text."""
    lengths = accumulate(len(passage.text) for passage in passages)
    number = sum(length <= MOST_CHARACTERS for length in lengths)
    return tuple(passages[:number])
