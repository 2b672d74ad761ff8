"""What a routine keeps of its own for the claims check: words it adds, corrections of finds.

Plain values without the check itself, so that a routine can hold them.
"""

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from server.domain.base.errors import Fault, refuse_if
from server.domain.base.ids import Id
from server.domain.base.text import LINE, LONG_TEXT, line_faults, name_faults
from server.domain.base.words import tokens_of

Verdict = Literal["no claim", "ingredient", "word"]
Line = Annotated[str, Field(min_length=1, max_length=LINE)]

MOST_SYNONYMS = 20


@dataclass(frozen=True)
class OwnWord:
    """A word that a routine adds: what it is a kind of (None: stands alone), and its synonyms."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    word: Line
    kind_of: Line | None = None
    synonyms: Annotated[tuple[Line, ...], Field(max_length=MOST_SYNONYMS)] = ()
    opposite_of: Line | None = None

    def __post_init__(self) -> None:
        faults = _word_faults(self.word, "word")
        for text in self.synonyms:
            faults += _word_faults(text, "synonyms")
        if len(self.synonyms) > MOST_SYNONYMS:
            faults.append(Fault("synonyms", f"At most {MOST_SYNONYMS} synonyms fit here."))
        faults += line_faults(self.kind_of or "", "kind_of")
        faults += line_faults(self.opposite_of or "", "opposite_of")
        refuse_if(faults)


@dataclass(frozen=True)
class Correction:
    """The user's word on a phrase: it is no claim, names an ingredient, or means this word.

    `sentence` and `phrase` are stems parted by spaces; `occurrence` counts the same phrase within
    the sentence from 0. `segment_id` is where it was said; it holds elsewhere if it moved there.
    """

    __pydantic_config__ = ConfigDict(extra="forbid")

    id: Id
    segment_id: Id
    sentence: Annotated[str, Field(max_length=LONG_TEXT)]
    phrase: Annotated[str, Field(min_length=1, max_length=LONG_TEXT)]
    verdict: Verdict
    occurrence: Annotated[int, Field(ge=0, le=1000)] = 0
    ingredient_id: Id | None = None
    word: Annotated[str, Field(max_length=LINE)] | None = None

    def __post_init__(self) -> None:
        faults = line_faults(self.word or "", "word")
        if self.verdict == "ingredient" and not self.ingredient_id:
            faults.append(Fault("ingredient", "Choose the ingredient that is meant."))
        if self.verdict == "word" and not (self.word and tokens_of(self.word)):
            faults.append(Fault("word", "Write the descriptor that is meant."))
        refuse_if(faults)


def _word_faults(text: str, field: str) -> list[Fault]:
    faults = name_faults(text, field)
    if not faults and not tokens_of(text):
        faults.append(Fault(field, f"“{text}” has no letters to look for."))
    return faults
