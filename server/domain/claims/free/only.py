"""Where a text says that a drink is made of nothing but what is named.

>>> from server.domain.base.tokens import tokens_of
>>> tokens = tokens_of("There is nothing in it but gin and tea.")
>>> only_in(tokens, (0, len(tokens)))
[(2, 6)]
"""

from collections.abc import Sequence

from server.domain.base.tokens import Token
from server.domain.claims.cues import english
from server.domain.claims.mentions import Mention

_ONLY_WORDS = frozenset(["nothing", "solely", "purely", "exclusively"])
_ALONE = frozenset(["only", "just", "solely", "purely", "exclusively"])
_INSIDE: tuple[list[str], ...] = (
    [], ["in", "it"], ["in", "them"], ["in", "there"], ["in", "here"], ["here"], ["inside"],
    ["in", "this"],
)  # fmt: skip
"""What may stand between "nothing" and its "but"."""
THOSE = frozenset({"those", "these", "them", "that"})
"""Behind "nothing but" these mean what was told before."""

_HOW_MANY = frozenset(
    {"two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "2", "3", "4", "5"}
)
_TASTES = frozenset({"taste", "find", "get", "smell", "notice", "expect", "perceive", "notes"})
_BARE = 2
"""Tokens of "nothing but"."""


def only_in(tokens: Sequence[Token], span: tuple[int, int]) -> list[tuple[int, int]]:
    """ "nothing but …", "only … and nothing else", "made solely of …"."""
    words = [token.norm for token in tokens[span[0] : span[1]]]
    if _ONLY_WORDS.isdisjoint(words):
        return []
    for at, word in enumerate(words[:-1]):
        here = span[0] + at
        if word == "nothing":
            but = next((n for n in range(at + 1, min(at + 5, len(words))) if words[n] == "but"), 0)
            inside = words[at + 1 : but] in _INSIDE
            if but and inside and not _goes_on(tokens, span, span[0] + but + 1):
                return [(here, span[0] + but + 1)]
        if word in ("solely", "purely", "exclusively") and words[at + 1] in ("of", "from", "with"):
            return [(here, here + 2)]
        if word == "nothing" and words[at + 1] == "else":
            alone = next((span[0] + n for n, w in enumerate(words[:at]) if w in _ALONE), here)
            return [(alone, here + 2)]
    return []


def _goes_on(tokens: Sequence[Token], span: tuple[int, int], at: int) -> bool:
    """ "Nothing but those flavours", "… those one by one": not what was listed is meant."""
    if at >= span[1] or tokens[at].norm not in THOSE:
        return False
    behind = at + 1 if at + 1 >= span[1] or tokens[at + 1].norm not in _HOW_MANY else at + 2
    return behind < span[1] and not tokens[behind].gap.strip("- ")


def is_of_recipe(
    words: Sequence[str], absence: tuple[int, int], mentions: Sequence[Mention]
) -> bool:
    """Whether "nothing but …" is said of what went in: "you taste nothing but lime" is not."""
    first, end = absence
    near = words[max(0, first - 4) : first]
    if _TASTES & set(near) or not english().story.isdisjoint(words[max(0, first - 20) : first]):
        return False
    if words[end - 1] == "else":
        goes_on = {"goes", "go", "in", "inside", "added"} & set(words[end : end + 4])
        return bool(goes_on) or any(one.ingredient_ids for one in mentions)
    named = sum(1 for one in mentions if one.ingredient_ids and one.first >= end)
    if words[end : end + 1] and words[end] in THOSE:
        # What is listed before is meant; what is not in this sentence may be in that before it.
        return not any(one.first >= end for one in mentions) and _TASTES.isdisjoint(
            words[max(0, first - 20) : first]
        )
    # "Nothing in it but plants and water" names no recipe.
    return named >= (1 if end - first == _BARE else 2)
