"""What the words around a number tell of: another time, another hand, what would be.

All of it English, and by the words of one sentence.

>>> told_of_another("it was", "percent in the spring")
'another time'
>>> told_of_another("if you used", "grams"), told_of_another("if you do the sum it's", "percent")
('what would be', '')
>>> told_of_another("last month i used fifteen now it's", "grams"), told_of_another("it's", "ml")
('', '')
"""

import re

from server.domain.claims.beside.elsewhere import VERSIONS
from server.domain.claims.beside.kin import KIN

_VERSIONS = "|".join(sorted(VERSIONS))

_OTHER_TIMES = re.compile(
    r"\b(?:the|my|our|that|very) (?:very )?(?:first|second|third|last|earlier|early|previous|old"
    rf"|original)(?: \w+)? (?:{_VERSIONS}|time|times|recipe|go"
    r"|batch|trial|trials|test|tests|round|rounds|season|season's|year|menu)\b"
    rf"|\b(?:first|second|earlier|early|previous|old|original) (?:{_VERSIONS}|trial)\b"
    r"|\blast (?:spring|summer|autumn|fall|winter|year|year's|month|month's|week|week's|season"
    r"|season's|night|time|round)\b"
    r"|\b(?:in|during|through|throughout|at|for|all) (?:all )?(?:the |my |our )?"
    r"(?:training|practice|rehearsals?|testing|trials|warm up|heats|beginning|past|those days)\b"
    r"|\bin the (?:last|first|previous|semi\w*) (?:round|heat|final|run)\b"
    r"|\b(?:at first|to begin with|originally|initially|back then|back when|before that|used to"
    r"|years? ago|early on"
    r"|once upon a time)\b"
)
_PERHAPS = re.compile(
    r"\b(?:in|during|all|for) (?:all )?(?:the |my |our )?(?:spring(?! water)|summer|autumn|winter"
    r"|january|february|march|april|may|june|july|august|september|october|november|december)\b"
    r"|\b(?:months? ago|weeks? ago|days ago|the other day|yesterday|at home|this morning)\b"
)
"""Beside these something may have been made ahead, unless it is told what was."""

_WAS = re.compile(r"\b(?:was|were|had|did|tried|ran|took|went|pulled|shook|stirred|used|got)\b")
_NOW = re.compile(
    r"\b(?:now|today|tonight|these days|nowadays|currently|i mean|i settled|we settled|ended up"
    r"|it's|that's|there's|here's|is|are|this|it has|it takes|i use|i take|we use|so i|i've|mine"
    r"|\w+'s)\b"
)
"""Behind one of these the talk is back at what is served."""

_OTHER_HANDS = re.compile(
    rf"\b(?:my|his|her|our|their|a|the)(?: \w+)? (?:{'|'.join(sorted(KIN))})(?:'s)?\b"
    r"|\b(?:people|others|everyone else|everybody else|somebody else|someone else)\b"
    r"|\b(?:some|other|most|many|another) (?:\w+ )?(?:people|bar|bars|places?|recipes?|books?"
    r"|shops?|cafés?|cafes?|bartenders?|baristas?)\b"
    r"|\b(?:menu|card|sheet|book|programme|program|slide|screen|display|list|kettle|machine|bag"
    r"|website|poster|internet)(?: \w+){0,2} (?:says|said|reads|tells|told|claims|shows)\b"
    r"|\b(?:he|she|they|who|he's|she's|they're)(?: \w+)? (?:makes?|made|does|did|uses?|used|puts?"
    r"|takes?|took|pulls?|pulled|pours?|poured|stirs?|shakes?|had|has|likes?|wants?|serves?)\b"
)
_GENERAL = re.compile(
    r"\b(?:a|an|any|the usual|the classic|your average|a normal)(?: [a-z'-]+){1,5}"
    r" (?:would be|would have|would take|'d be|has got|'s got|usually is|normally is)\b"
    r"|\b(?:a|an) (?!glass|cup|shot|serve|drop|dash|bit|touch|drink|litre)[a-z]+"
    r"(?: and [a-z]+)?(?:'s got|'s usually| has| would be| takes| gets)\b"
    r"|\b(?:elsewhere|on every bag|as it says|by the book)\b"
)
_NUMBER = (
    r"(?:\d|half|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|\w+teen|twenty"
    r"|thirty|forty|fifty|sixty|seventy|eighty|ninety|hundred|zero|minus)"
)
_SET_AGAINST = re.compile(
    r"\b(?:mine|mine's|ours|this one|this one's|this has|this is|this takes|i do|i use|i take"
    r"|i stay|i've gone|i went|i settled|i'm at|we do|we use|we're at"
    r"|(?:now|here|today|tonight|these days)(?: it's| it is| i'm at| that's| we're at)?)"
    rf"(?: [\w']+){{0,5}} {_NUMBER}\b"
)
"""Behind a number these set the drink's own against it: "a flat white's got 120, this has 150"."""

_SUPPOSES = re.compile(
    r"\b(?:would|wouldn't|could|couldn't|might|if|unless|imagine|suppose|instead of|rather than"
    r"|without|wanted|hoped for|asked (?:me )?for|planned"
    r"|(?:i|you|it|he|she|we|they)'d(?! (?:be|say|call|put it)\b)"
    r"|never (?:put|use|add|pour|go|take|make|serve|do|give|touch|pull|stir|shake)"
    r"|(?:go|goes|went|going) (?:past|over|above|below|under|beyond))\b"
)
_FAILED = re.compile(
    r"\b(?:and|but|which|so|then) (?:all )?(?:it|that|they|i|we|which)?(?:'d)?(?: just| all)?"
    r" ?(?:\w+ed (?:over|out|up|off)|was|were|tasted|turned|split|separated|curdled|smelled|smelt"
    r"|sank|died|broke|burnt|burned|lost|threw|tipped|binned|collapsed|froze|gave up|went (?:flat"
    r"|thin|brown|sour|dull|cloudy|off|wrong))\b"
    r"|\bthe one (?:i|we) (?:poured|threw|binned|tipped)\b"
)
"""Behind a number that was tried: what came of it then."""

_TRIED = re.compile(
    r"\b(?:was|were|did|had|took|tried|made|ran|pulled|shook|stirred|left|used|went|started|put"
    r"|gave|planned|brewed|steeped|rested|kept|poured|served|heated|steamed|froze)\b"
)
_CHANGED = re.compile(r"\b(?:it|that|which) (?:was|were) (?:\w+ ){0,2}(?:too|a bit|far|one|way)\b")


WHOLE = frozenset({"drink", "drinks", "glass", "cocktail", "whole"})
"""Words for the drink itself, and no part of it."""


def told_of_another(before: str, behind: str, clause: str | None = None) -> str:
    """What a number is told of, from the words before it in its sentence and those behind it in
    its clause: "" where it is this drink as it is served. `clause` are those of its own clause
    before it, where a sentence has several.
    """
    own = before if clause is None else clause
    if _is_of_another_time(before, behind):
        return "another time"
    if _TRIED.search(own) and (_FAILED.search(behind) or _CHANGED.search(behind)):
        return "another time"
    if _SET_AGAINST.search(behind):
        return "another hand or drink"
    if _is_still_told(_OTHER_HANDS, before) or _GENERAL.search(own) or _GENERAL.search(behind):
        return "another hand or drink"
    if _is_still_told(_SUPPOSES, own):
        return "what would be"
    return ""


def told_by_others(before: str, behind: str) -> bool:
    """Whether something is told of another time, hand or drink: "a rum sour hasn't got peanuts".

    >>> told_by_others("my first version had", ""), told_by_others("there is", "in it")
    (True, False)
    """
    return (
        _is_of_another_time(before, behind)
        or _is_still_told(_OTHER_HANDS, before)
        or _A_KIND.search(before) is not None
    )


def _is_of_another_time(before: str, behind: str) -> bool:
    if _OTHER_TIMES.search(behind) or _is_still_told(_OTHER_TIMES, before):
        return True
    is_near = _PERHAPS.search(behind) is not None or _is_still_told(_PERHAPS, before)
    return is_near and _WAS.search(f"{before} # {behind}") is not None


_A_KIND = re.compile(
    r"\b(?:a|an|most|other|any|your usual|the usual|the classic)"
    r"(?: (?!glass|drop|trace|bit|lot|cup)[a-z-]+){1,3}(?: (?:has|is|contains|uses))?$"
)
"""What stands right before what a kind of drink, and not this one, is said to lack."""


def _is_still_told(cue: re.Pattern[str], before: str) -> bool:
    """Whether the last cue before a number still holds: nothing behind it comes back to the now."""
    rest = after_last(cue, before)
    return rest is not None and not _NOW.search(rest)


def after_last(cue: re.Pattern[str], text: str) -> str | None:
    """What stands behind the last place of a cue; None where it is nowhere."""
    places = list(cue.finditer(text))
    return text[places[-1].end() :] if places else None
