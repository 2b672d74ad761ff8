"""Scales of taste with a degree: "Acidity: high", "sweetness, modest", "the bitterness is low".

The name of a scale claims nothing by itself; with a degree right behind it, it does. English.
"""

from collections.abc import Sequence
from dataclasses import replace

from server.domain.base.tokens import Token
from server.domain.claims.mentions import Mention
from server.domain.claims.negation import Polarity

_SCALES = frozenset(
    {
        "acidity", "acid", "sweetness", "sugar", "bitterness", "sourness", "saltiness", "salinity",
        "tartness", "sharpness", "brightness", "astringency", "dryness", "richness", "smokiness",
        "spiciness", "booziness", "tannin", "tannins", "carbonation", "fizz", "creaminess",
        "savouriness", "umami",
    }
)  # fmt: skip

_TASTES = frozenset({"sweet", "bitter", "acidic", "sour", "salty", "dry", "boozy"})
"""The same before a colon: "Sweet: low to medium"."""

_DEGREES: dict[tuple[str, ...], Polarity] = {
    **{(word,): "has" for word in ("high", "pronounced", "marked", "plenty")},
    **{
        (word,): "some"
        for word in (
            "low", "medium", "moderate", "modest", "mild", "slight", "minimal", "restrained",
            "faint", "subdued", "negligible", "discreet",
        )
    },
    **{(word,): "lacks" for word in ("none", "nil", "zero", "absent")},
    ("low", "to", "medium"): "some", ("medium", "to", "low"): "some", ("just", "enough"): "some",
    ("medium", "to", "high"): "has", ("medium", "high"): "has", ("medium", "low"): "some",
    ("none", "to", "speak", "of"): "lacks", ("not", "much"): "some", ("next", "to", "none"): "some",
    ("hardly", "any"): "some", ("barely", "any"): "some", ("very", "little"): "some",
    ("on", "the", "low", "side"): "some", ("on", "the", "high", "side"): "has",
}  # fmt: skip
"""What is said of a scale -> how it is claimed."""

_COPULAS = frozenset({"is", "are", "stays", "remains", "sits"})
_GRADES = frozenset({"very", "quite", "fairly", "rather", "pretty", "kept", "really"})
_LONGEST = 4


def with_answers(
    tokens: Sequence[Token], mentions: Sequence[Mention], *, unmarked: bool = False
) -> list[Mention]:
    """The mentions, in order; those of a scale with its degree reach to the end of it."""
    found: list[Mention] = []
    for mention in mentions:
        if found and mention.first < found[-1].told_to:
            # "Acidity: medium" tells of no medium body.
            continue
        told = _answered(tokens, mention, unmarked)
        if told.answer is not None or not _is_sugar(tokens, mention):
            found.append(told)
    return found


def _is_sugar(tokens: Sequence[Token], mention: Mention) -> bool:
    """ "The sugar is low" tells of a taste; without a degree sugar is what is stirred in."""
    entry = mention.descriptor
    return entry is not None and entry.is_weighed and tokens[mention.first].norm == "sugar"


def _answered(tokens: Sequence[Token], mention: Mention, unmarked: bool) -> Mention:
    said, end = tokens[mention.first].norm, mention.end
    is_told = end < len(tokens) and tokens[end].gap.strip() == ":"
    is_scale = said in _SCALES or (is_told and said in _TASTES)
    is_scale = is_scale and end - mention.first == 1
    is_named = mention.ingredient_ids and not said.endswith("ness")
    if not is_scale or is_named or mention.descriptor is None:
        # "Bitterness" is none of the bitters, though of one stem; "the sugar" may be the sugar.
        return mention
    at = _degree_place(tokens, mention.end, unmarked)
    size = next((size for size in range(_LONGEST, 0, -1) if _degree(tokens, at, size)), 0)
    if not size or not _ends(tokens, at + size, unmarked):
        return mention
    return replace(mention, answer=_degree(tokens, at, size), told_to=at + size)


def _degree_place(tokens: Sequence[Token], at: int, unmarked: bool) -> int:
    """Where a degree may stand behind a scale; past the end where it may not."""
    none = len(tokens)
    if at >= none:
        return none
    gap = tokens[at].gap.strip("-'")
    if gap == "," and tokens[at].norm in ("a", "an") and at + 2 < none and tokens[at + 2].gap:
        # "Acidity, a four: medium."
        at, gap = at + 2, tokens[at + 2].gap
    if gap in (":", ",", "–", "—"):
        return at
    if gap or tokens[at].norm not in _COPULAS:
        return at if unmarked and not gap else none
    at += 1
    while at < none and not tokens[at].gap and tokens[at].norm in _GRADES:
        at += 1
    return at


def _degree(tokens: Sequence[Token], at: int, size: int) -> Polarity | None:
    said = tokens[at : at + size]
    if len(said) < size or any(token.gap.strip("-") for token in said[1:]):
        return None
    return _DEGREES.get(tuple(token.norm for token in said))


def _ends(tokens: Sequence[Token], at: int, unmarked: bool) -> bool:
    """Whether nothing more is said of it: "low acidity, high up in the hills" is no degree."""
    if at >= len(tokens) or unmarked:
        return True
    return bool(tokens[at].gap.strip("-'")) or tokens[at].norm in ("and", "but", "so", "here")
