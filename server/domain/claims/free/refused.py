"""Absences that are said and claim nothing: taken back, hedged, denied themselves, of a voice.

>>> from server.domain.base.tokens import tokens_of
>>> def read(text, first, end):
...     tokens = tokens_of(text)
...     return is_refused(tokens, (0, len(tokens)), first, end)
>>> read("No egg, well, no, there is egg.", 0, 2), read("No egg and no nuts.", 0, 2)
(True, False)
>>> read("It has no sugar in its voice.", 2, 4), read("It isn't without caffeine.", 2, 4)
(True, True)
"""

from collections.abc import Sequence

from server.domain.base.tokens import Token
from server.domain.claims.beside.kin import KIN

_NEARLY = frozenset({"practically", "almost", "nearly", "virtually", "hardly", "barely"})
_OWN = frozenset({"its", "it's", "my", "his", "her", "their", "your"})
_GLASSES = frozenset({"glass", "glasses", "cup", "cups", "drink", "cocktail", "hand", "hands"})
_WHOLE = _GLASSES | {
    "recipe", "list", "mix", "tin", "shaker", "bottle", "jug", "whole", "house", "build", "punch",
    "drop", "single",
}  # fmt: skip
"""In one of these is in the drink: "no nuts, and gluten in the whisky" is in one of its parts."""

_OFFERS = frozenset(
    {"suitable", "safe", "fine", "good", "okay", "ok", "right", "works", "perfect", "welcome"}
)
_BACK = (
    ("no", "sorry"), ("no", "it", "is", "not"), ("no", "it's", "not"), ("no", "it", "isn't"),
    ("no", "there", "is"), ("no", "there's"), ("it's", "not"), ("it", "is", "not"),
)  # fmt: skip
_TAKEN_WITHIN = 6
_TRIED = frozenset({"tried", "had", "would", "go", "once"})
_PERSONS = KIN | {"customer", "guest", "guests", "people", "person"}
_DECAF = frozenset({"decaf", "decaffeinated"})


def is_refused(tokens: Sequence[Token], span: tuple[int, int], first: int, end: int) -> bool:
    """Whether an absence (from token `first` to `end`) is no claim after all. English."""
    said = [token.norm for token in tokens[first:end]]
    before = [token.norm for token in tokens[max(span[0], first - 3) : first]]
    ahead = next((n for n in range(end, end + 3) if set(_gap(tokens, n)) & set(".!?;")), end + 3)
    after = [token.norm for token in tokens[end:ahead]]
    parted = bool(tokens[first].gap.strip("-'"))
    if said[0] == "hardly" or "more" in said[1:] or said[:2] == ["not", "with"]:
        return True
    is_nearly = after[:1] == ["almost"] and not tokens[end].gap
    if is_nearly or (not parted and before[-1:] != [] and before[-1] in _NEARLY):
        return True
    is_name = len(said) == 2 and said[0] == "not" and before[-1:] != []
    if is_name and before[-1].endswith("'s") and before[-1] not in ("it's", "there's", "that's"):
        # "It's corn whisky, corn's not wheat."
        return True
    if said[0] == "without" and not parted and _is_denied(before):
        return True
    if _is_there(tokens, first, end, after) or _is_of_who_avoids(tokens, span, first, end):
        return True
    return (
        _is_taken_back(tokens, end, said[-1])
        or _is_of_no_drink(said, before, after, span[0] == first)
        or _is_no_absence(said, before, after)
        or _is_of_part(said, before, after, parted=parted)
        or ("without" in said and "the" in said and not _TRIED.isdisjoint(before))
    )


def _gap(tokens: Sequence[Token], at: int) -> str:
    return tokens[at].gap if at < len(tokens) else ""


def _is_denied(before: Sequence[str]) -> bool:
    return any(word in ("not", "never") or word.endswith("n't") for word in before[-1:])


def _is_there(tokens: Sequence[Token], first: int, end: int, after: Sequence[str]) -> bool:
    """ "No dairy, no egg, and gluten from the malt": the last of a list is in after all."""
    said = [token.norm for token in tokens[first:end]]
    is_own = len(said) < 3 or said[-2] in ("no", "or", "nor", "any", "of", "without")
    listed = not is_own and ("and" in said or any(token.gap == "," for token in tokens[first:end]))
    if not listed or not after or tokens[end].gap.strip("-,"):
        return False
    is_in = after[:2] in (["in", "the"], ["in", "my"]) and after[2:] != []
    return after[0] == "from" or (is_in and said[-2] == "and" and after[2] not in _WHOLE)


def _is_of_who_avoids(tokens: Sequence[Token], span: tuple[int, int], first: int, end: int) -> bool:
    """ "Those who don't have milk": of people, unless the drink is offered to them."""
    before = {token.norm for token in tokens[span[0] : first]}
    is_who = first > span[0] and tokens[first - 1].norm == "who"
    return is_who and tokens[first].norm.endswith("n't") and not before & _OFFERS


def _is_no_absence(said: Sequence[str], before: Sequence[str], after: Sequence[str]) -> bool:
    """ "Never milk into punch", "anything but free of sesame", "there's no sugar left", "no gluten
    in a pear", "the sweetness isn't from sugar", "without the cream it was thin".
    """
    if before[-2:] in (["anything", "but"], ["from", "the"]) and said[0] in ("free", "alcohol"):
        return True
    is_source = said[1:2] == ["from"] and (said[0] == "not" or said[0].endswith("n't"))
    if is_source or after[:1] == ["left"]:
        return True
    if said[-1] == "sugar" and said[0] in ("not", "don't") and after[:1] in (["it"], ["them"]):
        return len(said) == 2
    if after[:1] == ["that"] and after[1:2] != [] and after[1].endswith("n't"):
        return True
    if after[:1] == ["in"] and after[1:2] in (["a"], ["an"]):
        return after[2:] != [] and after[2] not in _WHOLE
    return (said[0] == "never" and after[:1] in (["into"], ["onto"])) or (
        said[0] == "without" and "was" in after[:2]
    )


def _is_taken_back(tokens: Sequence[Token], end: int, word: str) -> bool:
    """ "Dairy-free, no, it is not", "it's decaf – it's not decaf"."""
    for at in range(end, min(end + _TAKEN_WITHIN, len(tokens))):
        if at > end and tokens[at].gap in (".", "!", "?"):
            return False
        for phrase in _BACK:
            stop = at + len(phrase)
            if tuple(token.norm for token in tokens[at:stop]) != phrase:
                continue
            if phrase[0] == "no" or [token.norm for token in tokens[stop : stop + 1]] == [word]:
                follows = {token.norm for token in tokens[stop : stop + 4]}
                return phrase[:2] not in (("no", "there"), ("no", "there's")) or word in follows
    return False


def _is_of_no_drink(
    said: Sequence[str], before: Sequence[str], after: Sequence[str], opens: bool
) -> bool:
    """ "no sugar in its voice", "my vegan cousin", "a drink with no alcohol"."""
    if after[:1] == ["in"] and after[1:2] and after[1] in _OWN:
        return after[2:3] != [] and after[2] not in _GLASSES
    if after[:3] == ["to", "the", "eyes"] or (said[0] in ("never", "not") and after[:1] == ["to"]):
        return True
    if before[-3:] == ["a", "drink", "with"] or (opens and after[:2] == ["a", "drink"]):
        return True
    if "please" in before[-2:]:
        return True
    is_person = after[:1] != [] and after[0] in _PERSONS
    return is_person or (said == ["vegan"] and before[-1:] != [] and before[-1] in _OWN - {"it's"})


def _is_of_part(
    said: Sequence[str], before: Sequence[str], after: Sequence[str], *, parted: bool
) -> bool:
    """ "no sugar in that", "the cold brew is a decaf": told of an ingredient."""
    if said[-1] == "sugar" and after[:2] == ["in", "that"]:
        return True
    is_named = parted or (said[0] == "decaf" and before[-1:] in (["a"], ["why"]))
    return said[0] in _DECAF and (is_named or after[:1] in (["coffee"], ["espresso"], ["beans"]))
