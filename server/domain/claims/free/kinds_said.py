"""One kind of what a drink is said to lack: "no cream" says nothing of milk.

>>> kind_said("without any cream"), kind_said("cream-free"), kind_said("Ohne Sahne")
('cream', 'cream', 'cream')
>>> kind_said("no milk")
''
"""

from server.domain.base.tokens import tokens_of, words_kept
from server.domain.routine.drink import Ingredient

_WORDS: dict[str, tuple[str, ...]] = {
    "cream": ("cream", "sahne", "schlagsahne", "rahm", "obers", "schlagobers", "crème", "creme",
              "nata", "natas", "panna"),
    "butter": ("butter", "beurre", "mantequilla", "burro", "manteiga"),
    "whey": ("whey", "molke"),
    "yolk": ("yolk", "yolks", "eigelb", "yema", "yemas", "tuorlo", "gema", "gemas"),
    "peanuts": ("peanut", "peanuts", "erdnuss", "erdnüsse"),
}  # fmt: skip
"""Kind -> words for it, in the languages of talks; ours."""

_KINDS = {word: kind for kind, words in _WORDS.items() for word in words}

CREAM_FAT_G, BUTTER_FAT_G = 10.0, 60.0
"""Milk fat in 100 g from which it is cream (Codex Stan 288-1976), and from which a spread of it is
butter or near it (ours: butter has 80, Codex Stan 279)."""


def kind_said(phrase: str) -> str:
    """The kind that a phrase denies; "" where it denies the whole: milk, egg, nuts."""
    found = (_KINDS[token.norm] for token in reversed(tokens_of(phrase)) if token.norm in _KINDS)
    return next(found, "")


def is_of_kind(kind: str, part: Ingredient) -> bool:
    """Whether an ingredient is of a kind: its name says so, or it is as fat as cream."""
    if any(_KINDS.get(word) == kind for word in words_kept(part.name)):
        return True
    substance = part.substance
    if kind != "cream" or substance is None or substance.kind != "dairy" or substance.fat is None:
        return False
    return substance.fat.least >= CREAM_FAT_G and substance.fat.most < BUTTER_FAT_G
