"""What a drink is said not to hold, and holds: sugar that is not added, milk not in one part.

>>> is_of_other_sweetness("I don't add any sugar", ", just maple.")
True
>>> is_of_other_sweetness("There's no sugar", " in it."), part_named(" in the cream itself.")
(False, 'cream')
"""

import re
from collections.abc import Sequence

from server.domain.base.languages import supported
from server.domain.base.tokens import norms_kept, words_kept
from server.domain.claims.backing import Judgement
from server.domain.claims.doubt.told_of import WHOLE, told_by_others
from server.domain.claims.finds import Find
from server.domain.claims.free.judged import told
from server.domain.claims.sayings import TimesOfSayings
from server.domain.routine.drink import Drink

_ADDS = re.compile(
    r"\b(?:add|added|adding|put|use|used|using|need|needs|left out|leave out|leaves out|skip"
    r"|skipped)\b",
    re.IGNORECASE,
)
_ELSE = re.compile(
    r"^[^.;]*?[,:–—]? ?\b(?:just|only|instead|the sweetness|what's sweet|what is sweet|the sweet"
    r"|it's all|it's the|that's the|sweetened)\b(.*)",
    re.IGNORECASE | re.DOTALL,
)
_SWEET = frozenset(
    {
        "maple", "honey", "syrup", "agave", "liqueur", "vermouth", "cordial", "fruit", "juice",
        "milk", "cream", "cascara", "date", "dates", "grape", "molasses", "lactose", "berries",
    }
)  # fmt: skip
_IN_PART = re.compile(
    r"^(?: \w+)?,? (?:in|to) (?:the|my|that|our|this) ((?:[\w'-]+ ){0,2}?[\w'-]+)"
    r"(?= ?(?:itself|alone|either|by itself|,|\.|;|$|and\b|but\b|so\b))",
    re.IGNORECASE,
)
_BESIDE = re.compile(
    r"^,? (?:on|around|along|at) (?:the|its|my|your|that) (?:rim|rims|edge|lip|outside|side|saucer"
    r"|spoon|menu|table|bar|counter)\b",
    re.IGNORECASE,
)
"""Behind an absence these tell a place that is not the drink itself."""

_WHOLE = WHOLE | {
    "glasses", "cup", "cups", "recipe", "list", "mix", "tin", "shaker", "bottle", "jug", "house",
    "build", "punch", "thing", "one", "first", "second", "two", "bar", "building", "room", "bowl",
    "bowls", "world", "place",
}  # fmt: skip


def absence_judged(
    find: Find, judged: Judgement, drinks: Sequence[Drink], timetable: TimesOfSayings
) -> Judgement:
    """The judgement of an absence that is contradicted, unless less is said than that. English."""
    sentence = timetable.sentence(find)
    first, end = find.start - find.sentence_start, find.end - find.sentence_start
    behind = sentence[end:]
    if why := _less_than_that(sentence[:first], find.phrase, behind):
        return Judgement("unbacked", f"{judged.why} {why}", is_checked=False)
    if _BESIDE.match(behind) or _is_of_a_part(find.word or "", part_named(behind), drinks):
        why = f"{judged.why} You say so of a part; that part is not weighed here."
        return Judgement("unbacked", why, is_checked=False)
    if find.word == "sugar" and is_of_other_sweetness(sentence[:end], behind):
        if any(_is_sugar(backing.label) for backing in judged.backings):
            return judged
        why = f"{judged.why} You say what is sweet instead; that is left out of it."
        return Judgement("unbacked", why, is_checked=False)
    return judged


def _is_of_a_part(word: str, name: str, drinks: Sequence[Drink]) -> bool:
    """Whether what is named is a part that does not hold it; sugar of a part is what is added."""
    words = words_kept(name.lower()) - _SMALL
    every = (part for drink in drinks for part in drink.ingredients)
    named = [part for part in every if words & words_kept(part.name.lower())]
    return bool(named) and (word == "sugar" or not any(told(word, part).holds for part in named))


_SMALL = frozenset({"the", "of", "and", "a", "itself", "fresh", "cold", "hot"})


def _less_than_that(before: str, phrase: str, behind: str) -> str:
    """Why less is said than that the drink lacks it: loosely, taken back, or of another."""
    if _LOOSELY.match(behind):
        return "You say so loosely: say it outright, or not at all."
    if is_taken_back(phrase, behind):
        return "You take it back at once."
    if told_by_others(*(" ".join(norms_kept(text)) for text in (before, behind))):
        return "You say so of another time or drink."
    return ""


_LOOSELY = re.compile(
    r"^[^.;,]{0,15}\b(?:to speak of|worth (?:mentioning|speaking|talking)|as such)\b"
)
_IS_IN = re.compile(
    r"\b(?:has|have|had|there's|there is|got|contains?|holds?|is|brings?)((?: [\w'-]+){1,3})"
)
_DENIES = frozenset((*supported("en").negators, "any"))


def is_taken_back(phrase: str, behind: str) -> bool:
    """ "No sugar, well, the shrub has sugar": what is denied is said to be there after all.

    >>> is_taken_back("No sugar", ", well, the shrub has sugar."), is_taken_back("No egg", ".")
    (True, False)
    """
    what = norms_kept(phrase)[-1:]
    for match in _IS_IN.finditer(behind.lower()):
        words = match[1].split()
        if what and what[0] in words and _DENIES.isdisjoint(words):
            return True
    return False


def is_of_other_sweetness(said: str, behind: str) -> bool:
    """ "I don't add any sugar, just maple": no more is said than that none is added as such."""
    named = _ELSE.match(behind)
    return bool(_ADDS.search(said) and named and words_kept(named[1].lower()) & _SWEET)


def part_named(behind: str) -> str:
    """The part that something is said not to be in: "no sugar in the cream"; "" for the whole."""
    match = _IN_PART.match(behind)
    return match[1] if match and words_kept(match[1].lower()).isdisjoint(_WHOLE) else ""


def _is_sugar(name: str) -> bool:
    return "sugar" in words_kept(name.lower())
