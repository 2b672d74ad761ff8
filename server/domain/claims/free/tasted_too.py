"""Allergens that are flavours as well: "no celery, no mustard" tells of either.

>>> from server.domain.base.tokens import tokens_of
>>> def is_meant(text, *words):
...     tokens = tokens_of(text)
...     return is_of_what_is_in(tokens, (0, len(tokens)), "celery", words)
>>> is_meant("There's no celery here.", "celery"), is_meant("It contains no celery.", "celery")
(False, True)
>>> is_meant("No celery, no milk.", "celery", "dairy"), is_meant("It's celery-free.", "celery")
(True, True)
"""

from collections.abc import Collection, Sequence

from server.domain.base.tokens import Token

TASTED_TOO = frozenset({"celery", "mustard", "sesame", "fish"})
"""Who denies one of these by itself may speak of what is tasted."""

_OF_ALLERGENS = frozenset(
    {
        "free", "contains", "contain", "containing", "allergen", "allergens", "allergy",
        "allergies", "allergic", "intolerant", "traces", "trace", "enthält", "allergene", "frei",
        "contient", "allergènes", "contiene", "alérgenos", "allergeni", "contém", "alergénicos",
    }
)  # fmt: skip
"""Words that tell that a sentence is of what is in a drink."""


def is_of_what_is_in(
    tokens: Sequence[Token], span: tuple[int, int], word: str, denied: Collection[str]
) -> bool:
    """Whether a sentence (first token, end) that denies a substance tells what is in the drink:
    always, but for a flavour that is denied alone. `denied` is all that the sentence denies.
    """
    if word not in TASTED_TOO or len(set(denied)) > 1:
        return True
    return not _OF_ALLERGENS.isdisjoint(token.norm for token in tokens[span[0] : span[1]])
