"""Numbers that seem wrong, and are of something else than what they were held against.

>>> from server.domain.claims.finds import Find
>>> text = "It was forty-five percent in the spring."
>>> find = Find("s", "strength", 7, 25, "", 0, 0, len(text), "", "", low=45, high=45, unit="%")
>>> wrong = Judgement("contradicted", "You say 45 %, computed 10 % in the glass.")
>>> spared(find, text, wrong).why
'You say it of another time, so it is held against nothing.'
"""

import re
from collections.abc import Sequence

from server.domain.base.tokens import tokens_kept
from server.domain.claims.backing import Judgement
from server.domain.claims.doubt.told_of import after_last, told_of_another
from server.domain.claims.finds import Find
from server.domain.claims.spoken.around import PARTS
from server.domain.routine.drink import Drink

MOST_BEFORE, MOST_BEHIND = 16, 14
"""So many words before a number, and behind it, are read with it. Ours."""

_WATER = re.compile(
    r"\b(?:dilut\w+|melt\w*|(?:takes?|picks?|took|picked|gains?) (?:up|on)|(?:of|after) (?:a bit of"
    r" |some |its |the )?water|stays? behind|kept back|keeps? back|lost|loses?|humidity)\b"
)
"""In a per cent's clause these tell that it is none of alcohol."""

_BEYOND = re.compile(
    r"\b(?:over|above|under|below|past|beyond|short of|shy of"
    r"|(?:longer|shorter|stronger|weaker|more|less|tighter|looser) than)$"
)
"""Right before a ratio these bound it."""

_ALCOHOL = re.compile(r"\b(?:alcohol|abv|strength|strong|stronger|vol|proof|it's|that's|so)\b")
"""Behind words of water these come back to what a per cent is mostly of."""

_COUNTED = re.compile(
    r"^(?:\w+ )?(?:eggs|yolks|whites|limes|lemons|oranges|leaves|sprigs|cubes|stones|times|turns"
    r"|twists|sticks|pods|beans|spoons|spoonfuls|bags|cups|glasses|shots|doubles|strips|slices"
    r"|wedges|pieces|people|judges|hands|sips|rounds|layers|pulses|bottles|farms|lots)\b"
)
"""Right behind a small number without a unit these are what is counted."""

MOST_COUNTED = 12

_OF_ANOTHER_THING = re.compile(
    r"\b(?:steel|tray|slab|plate|stone|freezer|fridge|room|kitchen|cellar|oven|machine|kettle"
    r"|bath|drawer|shelf|cabinet|boiler|hall|hand|hands|thermos|flask|outside|air)"
    r"(?:'s)?(?: (?:is|are|was|were|only|at|around|about|says|said|reads|sits|it's|that's|been|has"
    r"|kept|set|to|on|overnight|in))*(?: the freezer)?(?: (?:overnight|at|for))*$"
)
"""What stands before a temperature of a thing that is no part of the drink."""


def spared(find: Find, sentence: str, judged: Judgement, drinks: Sequence[Drink] = ()) -> Judgement:
    """The judgement of a number, unless it calls wrong what is said of something else. English."""
    if judged.state != "contradicted":
        return judged
    before, clause, behind = _around(find, sentence)
    other = told_of_another(before, behind, clause) or _of_something(find, before, clause, behind)
    if not other and _is_of_brewing_water(find, clause, drinks):
        other = "the warmth of water, it seems"
    if not other:
        return judged
    why = f"You say it of {other}, so it is held against nothing."
    return Judgement("unbacked", why, is_checked=False)


def _of_something(find: Find, before: str, clause: str, behind: str) -> str:
    if find.kind == "strength" and not find.of_other and _is_of_water(before, behind):
        return "water or of a loss"
    if find.kind == "temperature" and _OF_ANOTHER_THING.search(clause):
        return "another thing"
    if find.kind == "ratio" and _BEYOND.search(clause):
        return "a bound, and how far beyond it you do not say"
    is_small = find.kind == "amount" and (find.high or 0.0) <= MOST_COUNTED
    if is_small and find.unit in ("ml", "cl", "g") and _COUNTED.search(behind):
        return "what is counted"
    return ""


def _is_of_brewing_water(find: Find, clause: str, drinks: Sequence[Drink]) -> bool:
    """ "The machine says ninety-four, the water's ninety-two": no amount, if without a unit."""
    if find.kind != "amount" or _HAS_UNIT.search(find.phrase) or "water" not in clause:
        return False
    brews = [part.brew for drink in drinks for part in drink.ingredients if part.brew is not None]
    return any(brew.water_c in (find.low, find.high) for brew in brews)


_HAS_UNIT = re.compile(
    r"\b(?:ml|mls|mils?|millil\w+|cl|centil\w+|lit\w+|g|grams?|oz|ounces?|parts?)\b", re.IGNORECASE
)


def _is_of_water(before: str, behind: str) -> bool:
    """ "I take on about a fifth of water, twenty-two per cent": unless alcohol is spoken of."""
    rest = after_last(_WATER, before)
    is_told = rest is not None and not _ALCOHOL.search(rest)
    return is_told or _WATER.match(behind) is not None


_ENDS = PARTS - {","}


def _around(find: Find, sentence: str) -> tuple[str, str, str]:
    """The words before a number in its sentence, those of its clause alone, and those behind."""
    tokens = tokens_kept(sentence)
    start, stop = find.start - find.sentence_start, find.end - find.sentence_start
    first = next((n for n, token in enumerate(tokens) if token.end > start), len(tokens))
    end = next((n for n, token in enumerate(tokens) if token.start >= stop), len(tokens))
    begin = max(0, first - MOST_BEFORE)
    before = [token.norm for token in tokens[begin:first]]
    opens = first
    while opens > begin and (opens == first or PARTS.isdisjoint(tokens[opens].gap)):
        opens -= 1
    clause = [token.norm for token in tokens[opens:first]]
    until = end
    while until < min(len(tokens), end + MOST_BEHIND) and _ENDS.isdisjoint(tokens[until].gap):
        until += 1
    behind = [token.norm for token in tokens[end:until]]
    return " ".join(before), " ".join(clause), " ".join(behind)
