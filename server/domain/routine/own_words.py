"""What a routine keeps of its own for the claims check: words it adds, corrections of finds.

Plain values without the check itself, so that a routine can hold them.
"""

from dataclasses import dataclass
from typing import Annotated, Literal

from server.domain.base.documents import Document
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.ids import Id
from server.domain.base.limits import AtMost, Between, Length, limit_faults
from server.domain.base.text import LONG_TEXT, Line, Name, Text, name_faults
from server.domain.base.tokens import tokens_of

Verdict = Literal["no claim", "ingredient", "word", "drink"]

MOST_SYNONYMS = 20


@dataclass(frozen=True)
class OwnWord(Document):
    """A word that a routine adds: what it is a kind of (None: stands alone), and its synonyms."""

    word: Name
    kind_of: Name | None = None
    synonyms: Annotated[
        tuple[Name, ...], AtMost(MOST_SYNONYMS, "At most {} synonyms fit here.")
    ] = ()
    opposite_of: Name | None = None

    def __post_init__(self) -> None:
        faults = limit_faults(self) or _letter_faults(self.word, "word")
        for text in self.synonyms:
            faults += name_faults(text, "synonyms") or _letter_faults(text, "synonyms")
        refuse_if(faults)


@dataclass(frozen=True)
class Correction(Document):
    """The user's word on a phrase: no claim, an ingredient, this word, or said of this drink.

    `sentence` and `phrase` are stems parted by spaces; `occurrence` counts the same phrase within
    the sentence from 0. `segment_id` is where it was said; it holds elsewhere if it moved there.
    """

    id: Id
    segment_id: Id
    sentence: Text
    phrase: Annotated[str, Length(LONG_TEXT, required=True)]
    verdict: Verdict
    occurrence: Annotated[int, Between(0, 1000, "A phrase is counted up to 1,000 times.")] = 0
    ingredient_id: Id | None = None
    word: Line | None = None
    drink_id: Id | None = None

    def __post_init__(self) -> None:
        faults = limit_faults(self)
        if self.verdict == "drink" and not self.drink_id:
            faults.append(Fault("drink", "Choose the drink that it is said of."))
        if self.verdict == "ingredient" and not self.ingredient_id:
            faults.append(Fault("ingredient", "Choose the ingredient that is meant."))
        if self.verdict == "word" and not (self.word and tokens_of(self.word)):
            faults.append(Fault("word", "Write the descriptor that is meant."))
        refuse_if(faults)


def _letter_faults(text: str, field: str) -> list[Fault]:
    if tokens_of(text):
        return []
    return [Fault(field, f"“{text}” has no letters to look for.")]
