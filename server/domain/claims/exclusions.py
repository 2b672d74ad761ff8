"""Numbers with a unit that still claim nothing of a drink."""

from collections.abc import Sequence

from server.domain.base.words import Token
from server.domain.claims.quantities import Quantity

TURNING = frozenset({"turn", "turned", "turning", "rotate", "rotated", "angle", "turns"})
RESTING = frozenset(
    {
        "aged", "ageing", "aging", "matured", "rested", "rest", "rests", "slept", "barrel", "cask",
        "casks", "oak", "infused", "macerated", "fermented", "old",
    }
)  # fmt: skip
PEOPLE = frozenset({"i", "i'm", "i've", "my", "me", "he", "she", "his", "her"})
YEAR_S = 31_557_600


def is_claimed(
    tokens: Sequence[Token], quantity: Quantity, sentence: tuple[int, int], language: str = "en"
) -> bool:
    """Whether a quantity in its sentence (first token, end) is a claim.

    Not: angles, "one hundred percent sure", "ten years ago", "one second, please".
    """
    if language != "en":
        return True
    words = {token.norm for token in tokens[sentence[0] : sentence[1]]}
    after = [token.norm for token in tokens[quantity.end : min(quantity.end + 3, sentence[1])]]
    if quantity.kind == "temperature":
        return not words & TURNING
    if quantity.kind == "strength":
        return quantity.low <= 96 and not (after[:1] == ["of"] and "alcohol" not in after)
    if quantity.kind == "time":
        return _is_duration_claim(quantity, words, after)
    return True


def _is_duration_claim(quantity: Quantity, words: set[str], after: Sequence[str]) -> bool:
    if "ago" in after or "years old" in " ".join(after):
        return False
    if quantity.low >= YEAR_S / 12 and (not words & RESTING or (words & PEOPLE and "old" in words)):
        return False
    # "One second, please", "just a minute": courtesy, not a duration.
    return not (
        quantity.low in (1.0, 60.0) and words & {"please", "give", "wait", "just", "moment"}
    )
