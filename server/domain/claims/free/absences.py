"""Where a text says that something is not in the drink.

>>> from server.domain.base.tokens import tokens_of
>>> def read(text):
...     tokens = tokens_of(text)
...     return [found.word for found in absences_in(tokens, (0, len(tokens)))]
>>> read("It is nut-free, made without any milk, and it contains no egg.")
['nuts', 'dairy', 'egg']
>>> read("It is not vegan: there is milk in it. I find no nuts on the nose.")
[]
"""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from server.domain.base.languages import supported
from server.domain.base.tokens import Token
from server.domain.claims.free.asked import (
    LONGEST_ANSWER,
    answers_what_lacks,
    follows_what_lacks,
    is_hypothetical,
    is_offered,
)
from server.domain.claims.free.left_out import is_told_none, left_out
from server.domain.claims.free.named_only import is_not_called, is_place, not_before_free
from server.domain.claims.free.only import only_in
from server.domain.claims.free.refused import is_refused
from server.domain.claims.free.tasted_too import is_of_what_is_in
from server.domain.claims.free.told_absent import is_told_absent, is_welcome
from server.domain.claims.mentions import Mention

ONLY = "only"

FARTHEST = 7
"""Most tokens between what denies and the substance that is denied."""

_FILLERS = frozenset(
    [
        "any", "find", "get", "got", "single", "trace", "traces", "drop", "drops", "of", "from",
        "a", "an", "other", "grain", "grains", "gram", "speck", "spoon", "spoonful", "ounce",
        "added", "more", "real", "actual", "raw", "fresh", "kind", "whatsoever", "contain",
        "contains", "containing", "use", "used", "using", "add", "added", "put", "have", "has",
        "hold", "holds", "need", "is", "or", "and", "nor", "neither", "either", "in", "made",
        "with", "the", "carry", "carries", "include",
        "includes", "came", "comes", "that", "d", "de", "di", "des", "da", "do", "del", "keinerlei"
    ]
)  # fmt: skip
"""Small words between what denies and the substance."""

_COMPOUNDS = frozenset(
    [
        "chocolate", "cane", "note", "notes", "flavour", "flavours", "flavor", "flavors", "allergy",
        "allergies", "burn", "heat", "bite", "taste", "tastes", "aroma", "aromas", "smell", "syrup",
        "free", "rush", "stop", "people", "person", "lovers", "kick", "punch", "sting", "edge",
        "fumes", "elbow", "elbows"
    ]
)  # fmt: skip
"""Before one of these the substance is part of something else."""

_OFFERS = frozenset(["suitable", "safe", "fine", "good", "okay", "ok", "right", "works", "perfect"])
_AVOIDS = frozenset(
    ["avoid", "avoids", "avoiding", "allergic", "intolerant", "intolerance", "cannot", "can't"]
)
_EATS = frozenset(["take", "eat", "drink", "tolerate", "like"])
_TASTES = frozenset(
    ["find", "taste", "smell", "notice", "nose", "palate", "tongue", "finish", "lips", "mouth"]
)


@dataclass(frozen=True)
class Absence:
    """A stretch of tokens that says of a substance (or of all others: `ONLY`) it is not in."""

    first: int
    end: int
    word: str


@dataclass(frozen=True)
class _Words:
    substances: Mapping[tuple[str, ...], str]
    adjectives: Mapping[tuple[str, ...], str]
    guests: Mapping[tuple[str, ...], str]
    free: frozenset[str]
    of: frozenset[str]
    firsts: frozenset[str]
    negators: frozenset[str]


def absences_in(
    tokens: Sequence[Token], span: tuple[int, int], language: str = "en"
) -> list[Absence]:
    """What a sentence (first token, end) says is not in the drink, in order."""
    code = supported(language).code
    known = _known(code)
    found: list[Absence] = []
    for at in range(*span):
        if tokens[at].norm not in known.firsts or (found and at < found[-1].end):
            continue
        absence = _adjective(tokens, span, at, known) or _substance(tokens, span, at, known)
        if absence is not None:
            found.append(absence)
    denied = {one.word for one in found}
    found = [
        one
        for one in found
        if is_of_what_is_in(tokens, span, one.word, denied)
        and not is_hypothetical(tokens, span, one.first, one.end)
        and not is_refused(tokens, span, one.first, one.end)
    ]
    only = [Absence(*place, ONLY) for place in only_in(tokens, span)]
    return sorted([*found, *only], key=lambda each: each.first)


def _adjective(
    tokens: Sequence[Token], span: tuple[int, int], at: int, known: _Words
) -> Absence | None:
    length, word = _longest(tokens, span, at, known.guests)
    if word and is_welcome(tokens, span, at):
        return Absence(at, at + length, word)
    length, word = _longest(tokens, span, at, known.adjectives)
    if not word or _is_denied(tokens, span, at, known):
        return None
    return Absence(at, at + length, word)


def _substance(
    tokens: Sequence[Token], span: tuple[int, int], at: int, known: _Words
) -> Absence | None:
    length, word = _longest(tokens, span, at, known.substances)
    if not word:
        return None
    end = at + length
    if is_place(tokens, span, at):
        return None
    after = tokens[end] if end < span[1] else None
    if after is not None and after.gap in ("", "-") and after.norm in known.free:
        is_free = after.norm == "free" or after.norm == "frei" or after.gap == "-"
        is_said = is_free and not _is_denied(tokens, span, at, known)
        return Absence(at, end + 1, word) if is_said else None
    if after is not None and not after.gap.strip("-") and after.norm in (*_COMPOUNDS, "yes"):
        return None
    first = _denier(tokens, span, at, known)
    if first is None:
        first = left_out(tokens, span, at)
    is_none = is_told_none(tokens, end, span[1]) or is_offered(tokens, span, end)
    is_none = is_none or is_told_absent(tokens, span, at, end, known.substances)
    if first is None and is_none:
        return Absence(at, end, word)
    if first is None and _answers(tokens, span[0], at, known):
        return Absence(at, end, word)
    if first is None or _is_tasted(tokens, span, first, end):
        return None
    return Absence(first, end, word)


def _answers(tokens: Sequence[Token], first: int, at: int, known: _Words) -> bool:
    """ "What isn't in it? Nuts, milk.": a substance behind nothing but others."""
    before = tokens[first:at]
    alone = len(before) < LONGEST_ANSWER and all(
        (token.norm,) in known.substances or token.norm in ("and", "or", "no") for token in before
    )
    if follows_what_lacks(tokens, first, at):
        return True
    return alone and answers_what_lacks(tokens, first)


def _is_tasted(tokens: Sequence[Token], span: tuple[int, int], first: int, end: int) -> bool:
    """ "I find no nuts on the nose": said of a taste; "you find no nuts in it" is not."""
    behind = [token.norm for token in tokens[end : min(end + 2, span[1])]]
    if behind in (["in", "it"], ["in", "this"], ["in", "here"]) or behind[:1] == ["here"]:
        return False
    ahead = [token.norm for token in tokens[span[0] : min(span[0] + 3, first)]]
    if ahead[:1] == ["in"] and ahead[1:2] and ahead[1] in ("it", "this", "here", "the"):
        # "In this cup you'll find no nuts."
        return "nose" in ahead or "finish" in ahead
    near = (*tokens[max(span[0], first - 3) : first], *tokens[end : min(end + 3, span[1])])
    return not _TASTES.isdisjoint(token.norm for token in near)


def _denier(tokens: Sequence[Token], span: tuple[int, int], at: int, known: _Words) -> int | None:
    """Where the denial of a substance begins: "without any …", "free of nuts, … and …"."""
    for place in range(at - 1, max(span[0], at - FARTHEST) - 1, -1):
        word, gap = tokens[place].norm, tokens[place + 1].gap.strip("-")
        is_list = gap == "," and _ends_substance(tokens, span, place, known)
        if gap and not is_list:
            return None
        if word in ("free", "frei", "libre", "livre") and tokens[place + 1].norm in known.of:
            return None if _is_denied(tokens, span, place, known) else place
        if word in known.negators or word == "zero" or word.endswith("n't"):
            if _is_of_no_drink(tokens, span, place):
                return None
            if _MUST_NOT & {token.norm for token in tokens[max(span[0], place - 1) : place + 1]}:
                # "Those of you who can't have gluten": of people, not of the drink.
                return None
            if word == "not" and tokens[place + 1].norm in ("of", "from"):
                # "Free of nuts, but not of egg."
                return None
            if word == "none" and tokens[place + 1].norm != "of":
                # "egg none caffeine considerable", where no mark stands.
                return None
            return None if tokens[place + 1].norm in ("only", "just") else place
        if word == "the" and place > span[0] and tokens[place - 1].norm == "and":
            # "No dairy, and the alcohol dries it out."
            return None
        eats = word in _EATS and place > span[0] and tokens[place - 1].norm.endswith("n't")
        if eats and _OFFERS & {token.norm for token in tokens[span[0] : place]}:
            # "Suitable for those who don't take milk."
            return place - 1
        if word in _AVOIDS and _OFFERS & {token.norm for token in tokens[span[0] : place]}:
            return place
        if word not in _FILLERS and not _ends_substance(tokens, span, place, known):
            return None
    return None


def _is_of_no_drink(tokens: Sequence[Token], span: tuple[int, int], place: int) -> bool:
    """ "not a nut", "why not sugar", "she never added sugar": of no drink, or only named."""
    before = tokens[place - 1].norm if place and not tokens[place].gap.strip("-'") else ""
    behind = [token.norm for token in tokens[place + 1 : place + 3]]
    names = tokens[place].norm == "not" and behind[:1] in (["a"], ["an"], ["the"])
    if names and not {"drop", "trace", "single", "grain", "gram", "speck"} & set(behind):
        return True
    return before in ("why", "she", "he", "they", "nobody")


_MUST_NOT = frozenset({"can't", "cannot", "mustn't", "shouldn't", "couldn't", "must", "should"})


def _ends_substance(tokens: Sequence[Token], span: tuple[int, int], at: int, known: _Words) -> bool:
    return (tokens[at].norm,) in known.substances or (
        at > span[0] and (tokens[at - 1].norm, tokens[at].norm) in known.substances
    )


def _is_denied(tokens: Sequence[Token], span: tuple[int, int], at: int, known: _Words) -> bool:
    """ "not vegan", "isn't alcohol-free", "neither nut-free nor …", "I'd never call it vegan"."""
    if is_not_called(tokens, span, at, known.negators):
        return True
    for place in range(at - 1, max(span[0], at - 4) - 1, -1):
        word = tokens[place].norm
        if tokens[place + 1].gap.strip("-") or word in ("it's", "and", "but", "is", "also"):
            return False
        if word in known.negators or word.endswith("n't"):
            is_only = tokens[place + 1].norm in ("only", "just")
            return word not in ("free", "without") and not is_only
    return False


def _longest(
    tokens: Sequence[Token],
    span: tuple[int, int],
    at: int,
    phrases: Mapping[tuple[str, ...], str],
) -> tuple[int, str]:
    for length in (4, 3, 2, 1):
        piece = tokens[at : min(at + length, span[1])]
        if len(piece) == length and not any(token.gap.strip("-") for token in piece[1:]):
            word = phrases.get(tuple(token.norm for token in piece))
            if word is not None:
                return length, word
    return 0, ""


def without_free(tokens: Sequence[Token], mentions: Sequence[Mention]) -> list[Mention]:
    """The mentions but those that "free" stands behind."""
    return not_before_free(tokens, mentions, _known("en").substances)


def is_denied_at(absences: Sequence[Absence], at: int) -> bool:
    """Whether a token is part of an absence: "without a drop of alcohol" holds no amount."""
    return any(one.first <= at < one.end for one in absences if one.word != ONLY)


@cache
def _known(code: str) -> _Words:
    source = files(__package__).joinpath("words.toml").read_text(encoding="utf-8")
    table = tomllib.loads(source).get(code, {})
    substances, adjectives, guests = (
        {
            tuple(phrase.split()): name
            for name, phrases in table.get(part, {}).items()
            for phrase in phrases
        }
        for part in ("substances", "adjectives", "guests")
    )
    return _Words(
        substances,
        adjectives,
        guests,
        frozenset(table.get("free", ())),
        frozenset(table.get("of", ())),
        frozenset(phrase[0] for phrase in (*substances, *adjectives, *guests)),
        frozenset(supported(code).negators) - {"free"},
    )
