"""A spoken temperature, strength or count of serves against what is known."""

import re
from collections.abc import Sequence
from dataclasses import replace

from server.domain.base.durations import format_duration
from server.domain.claims.backing import TO_KNOW_WARMTH, Judgement
from server.domain.claims.compare_amounts import EXACTLY, range_words, within
from server.domain.claims.facts import ICE_WATER, OF_VESSEL, STEPPED, GlassFacts, KnownNumber
from server.domain.claims.finds import Find
from server.domain.claims.spoken.around import Stretch
from server.domain.claims.spoken.outside import by_bounds
from server.domain.glass.figure_text import carried_digits
from server.domain.routine.drink import Drink
from server.domain.routine.tolerance import USUAL, Tolerance

OF_MAKING = frozenset(
    {
        "water", "kettle", "brew", "brewed", "brewing", "boil", "boiling", "milk", "freezer",
        "fridge", "oven", "machine", "ice", "steam", "bath", "plate", "tray", "infused", "steeped",
        "infuse", "infuses", "infusing", "steep", "steeps", "steeping", "brews",
    }
)  # fmt: skip
"""A temperature beside one of these is one of making, not of the drink in the glass."""


_WARMED = re.compile(
    r"\b(?:(?:re)?heat(?:s|ed|ing)?|warm(?:s|ed|ing)?|steam(?:s|ed|ing)?|scald(?:s|ed|ing)?"
    r"|br(?:ings?|inging|ought)|tak(?:e|es|ing)|took|erwärm\w*|erhitz\w*)\b"
    r"[^.!?;]*\b(?:to|auf)\s+(?:about\s+|around\s+|just\s+|etwa\s+)?$",
    re.IGNORECASE,
)
"""What stands before a temperature that something is brought to: it was another one before."""

_BROUGHT_TO = re.compile(
    r"\b(?:(?:re)?heat\w*|warm\w*|steam\w*|cook\w*|simmer\w*|pasteuri[sz]\w*|chill\w*|cool\w*"
    r"|br(?:ings?|inging|ought)|tak(?:e|es|en|ing)|took|erwärm\w*|erhitz\w*|gekühlt|kühl\w*"
    r"|chauff\w*|calent\w*|calient\w*|scald\w*|aquec\w*|refroidi\w*|enfrí\w*|raffredd\w*)\b"
    r"[^.!?;]*\b(?:to|at|auf|à|a)\s+(?:\w+\s+)?$",
    re.IGNORECASE,
)
"""What stands before a temperature that a step of making may bring the drink to."""


_OF_THE_WHOLE = re.compile(
    r"\b(?:the whole (?:lot|thing|drink|glass)|the (?:drink|result|cocktail|mixture)|everything"
    r"|all together|all of it|(?:it|they|which) (?:all )?(?:ends?|lands?)(?: up)?"
    r"|where (?:they|the two|these) meet)(?:'s)?(?:[ ,]+[^\s.!?;:,]+){0,4}\s*$",
    re.IGNORECASE,
)
"""What stands before a temperature of all together, which no ingredient has by itself."""

_OF_THE_DRINK = re.compile(
    r"\b(?:you|you'll|judges) (?:drink|get|have|taste|sip)\b|\b(?:it|which) drinks\b"
    r"|\bthe (?:drink|cocktail|punch)(?:'s)?\b|\bserved?\b",
    re.IGNORECASE,
)
"""Before a temperature these tell that it is the drink's, and no part's."""

_OF_IT = re.compile(
    r"[,;:–—]\s*(?:and |but |so )?(?:it|it's|this|this is|it is|that's)\b[^,;:]*$", re.IGNORECASE
)
"""Before a temperature, in its own clause: what is named in the one before may not be meant."""

_VESSELS = (
    r"glass|glasses|coupe|coupes|tumblers?|mugs?|goblets?|flutes?|cups?|bowls?|beakers?|copitas?"
    r"|highballs|thimbles?|vessels?|coupettes?|tankards?|snifters?"
)
_OF_THE_VESSEL = re.compile(
    r"(?<!in )(?<!in the )(?<!into )(?<!in a )(?<!in each )(?<!in your )(?<!into the )(?<!per )"
    r"(?<!in my )(?<!into a )(?<!in these )"
    rf"\b(?:{_VESSELS})(?:'s|'re)? ?,?(?: ?(?:is|are|was|were|comes?|sits?|has|have|kept|been|at"
    r"|out|only|already|warmed|heated|chilled|cooled|frozen|to|around|about|over|there|here|too)"
    r"\b)*\s*$",
    re.IGNORECASE,
)
"""What stands before a temperature of the glass itself: "glass at minus twelve"."""

_SAYS_VESSEL = re.compile(
    rf"\b(?:{_VESSELS})(?:'s|'re| is| are| has| have| at)(?: at| about| around)*\s*$", re.IGNORECASE
)
"""The same, and nothing else can be meant: "the glass is at minus twelve"."""

LONGEST_TAIL = 80
"""So many characters before a temperature tell whether it is the glass's, or that of the whole."""


def temperature_judged(
    told: Stretch, facts: Sequence[GlassFacts], tolerance: Tolerance = USUAL
) -> Judgement:
    """The state of a spoken temperature; Fahrenheit is compared in °C."""
    find, words = told.find, told.words
    said = (celsius(find.low or 0.0, find.unit), celsius(find.high or 0.0, find.unit))
    spoken = f"{range_words(find.low or 0.0, find.high or 0.0)} °{find.unit}"
    slack = tolerance.about_temp_c if find.bound == "about" else tolerance.temp_c
    every = _known(facts, "temperature")
    steps = [number for number in every if number.about == STEPPED]
    vessels = [number for number in every if number.about == OF_VESSEL]
    known = [number for number in every if number.about not in (STEPPED, OF_VESSEL)]
    before = told.text[: find.start - find.sentence_start]
    if before[-1:].isspace() and _BROUGHT_TO.search(before):
        by_step = _judged(find, said, spoken, steps, slack, "°C", known)
        # Other things are warmed and chilled too: what no step does is not false.
        if by_step.state == "backed":
            return by_step
    if _OF_THE_VESSEL.search(before[-LONGEST_TAIL:]):
        return _of_the_vessel(find, said, spoken, vessels, slack, before)
    is_of_all = _OF_THE_WHOLE.search(before[-LONGEST_TAIL:]) is not None
    if is_of_all:
        # "The whole lot ends at five" is not the milk's own warmth.
        known = [number for number in known if number.ingredient_id is None]
    elif find.ingredient_ids:
        meant = [number for number in known if number.ingredient_id in find.ingredient_ids]
        judged = _judged(find, said, spoken, meant, slack, "°C", known)
        if judged.state == "contradicted" and _OF_IT.search(before):
            every = [*known, *vessels, *steps]
            judged = _if_of_no_other(find, said, spoken, every, slack, judged)
        return _if_not_warmed(judged, before, spoken)
    meant = [number for number in known if words & set(number.about)]
    if not meant and not words & OF_MAKING:
        meant = [number for number in known if number.is_of_the_glass]
        # What an ingredient has may be that one's: too little is known to call it wrong.
        if any(n.ingredient_id and within(find, said, (n.low, n.high), slack) for n in known):
            meant = [number for number in meant if not number.is_bound]
    judged = _judged(find, said, spoken, meant, slack, "°C", known)
    judged = _if_not_warmed(judged, before, spoken)
    if judged.state == "contradicted" and not _OF_THE_DRINK.search(before):
        judged = _if_of_no_other(find, said, spoken, [*known, *vessels], slack, judged)
    is_known = any(number.is_of_the_glass and not number.is_bound for number in known)
    if judged.state != "unbacked" or is_known or words & OF_MAKING:
        return judged
    return replace(judged, why=f"{judged.why} {TO_KNOW_WARMTH}")


def _of_the_vessel(
    find: Find,
    said: tuple[float, float],
    spoken: str,
    vessels: Sequence[KnownNumber],
    slack: float,
    before: str,
) -> Judgement:
    """The state of a temperature of the glass: wrong only where nothing else can be meant."""
    judged = _judged(find, said, spoken, vessels, slack, "°C", vessels)
    if judged.state == "backed" or (judged.state == "contradicted" and _SAYS_VESSEL.search(before)):
        return judged
    why = f"You say {spoken} of the glass itself, which is not the drink's."
    return Judgement("unbacked", why, is_checked=False)


def _if_of_no_other(
    find: Find,
    said: tuple[float, float],
    spoken: str,
    known: Sequence[KnownNumber],
    slack: float,
    judged: Judgement,
) -> Judgement:
    """As judged, but what a part or the glass has may be said of that, where neither is named."""
    for number in known:
        if not number.is_bound and within(find, said, (number.low, number.high), slack):
            why = f"You say {spoken}; it may be what is on record {number.label}."
            return Judgement("unbacked", why, is_checked=False)
    return judged


def _if_not_warmed(judged: Judgement, before: str, spoken: str) -> Judgement:
    """As judged, but what is warmed on the way, as the words before tell, is not held against how
    it comes to the bar.
    """
    if judged.state != "contradicted" or judged.held is None or not _WARMED.search(before):
        return judged
    held = f"{_value(judged.held, '°C')} {judged.held.label}"
    when = "another moment" if judged.held.is_of_the_glass else "what it has before that"
    why = f"You say it is brought to {spoken}; {held} is {when}."
    return Judgement("unbacked", why, is_checked=False)


def strength_judged(
    told: Stretch,
    facts: Sequence[GlassFacts],
    ingredient_ids: Sequence[str],
    tolerance: Tolerance = USUAL,
) -> Judgement:
    """The state of a spoken strength: of the ingredient named beside it, else of the drink.

    Beside words such as "melting" in its sentence it may also be that before the ice melts.
    """
    find, words = told.find, told.words
    said = (find.low or 0.0, find.high or 0.0)
    known = [number for number in _known(facts, "strength") if number.about != ICE_WATER]
    meant = [number for number in known if number.ingredient_id in ingredient_ids]
    if not ingredient_ids:
        meant = [n for n in known if n.is_of_the_glass or words & set(n.about)]
        # With no ingredient beside it, a strength that any of them has is taken for that one's.
        if find.bound == "exactly":
            meant += [n for n in known if n.ingredient_id and _is_near(n, said, tolerance)]
    spoken = f"{range_words(*said)} %"
    return _judged(find, said, spoken, meant, _strength_slack(find, tolerance), "%", known)


def _strength_slack(find: Find, tolerance: Tolerance) -> float:
    is_about = find.bound == "about"
    return tolerance.about_strength_points if is_about else tolerance.strength_points


def _is_near(number: KnownNumber, said: tuple[float, float], tolerance: Tolerance) -> bool:
    slack = tolerance.strength_points
    return number.low - slack <= said[0] and said[1] <= number.high + slack


def serves_judged(find: Find, drinks: Sequence[Drink], every: Sequence[Drink]) -> Judgement:
    """The state of a count: the serves of a drink, of all drinks, or the drinks themselves."""
    said = int(find.low or 0)
    if any(drink.serves == said for drink in drinks):
        return Judgement("backed", f"You say {said}; the recipe makes {said}, counted exactly.")
    if said == len(every):
        why = f"You say {said}; the routine has {said} drinks, counted exactly."
        return Judgement("backed", why)
    if said == sum(drink.serves for drink in every):
        why = f"You say {said}; all drinks together make {said} serves, counted exactly."
        return Judgement("backed", why)
    if not drinks:
        return Judgement("unbacked", f"You say {said}; no drink is on record.", is_checked=False)
    makes = " or ".join(dict.fromkeys(str(drink.serves) for drink in drinks))
    why = f"You say {said}, the recipe makes {makes} serves: {EXACTLY}."
    return Judgement("contradicted", why)


def _judged(
    find: Find,
    said: tuple[float, float],
    spoken: str,
    meant: Sequence[KnownNumber],
    slack: float,
    unit: str,
    known: Sequence[KnownNumber],
) -> Judgement:
    exact = [number for number in meant if not number.is_bound]
    for number in exact:
        if within(find, said, (number.low, number.high), slack):
            held = f"{_value(number, unit)} {number.label}"
            return Judgement("backed", f"You say {spoken}; {held}, within {_off(slack, unit)}.")
    bounds = [number for number in meant if number.is_bound]
    if told := by_bounds(find, said, spoken, bounds, slack, unit, _off(slack, unit)):
        return told
    if exact:
        held = f"{_value(exact[0], unit)} {exact[0].label}"
        why = f"You say {spoken}, {held}: more than {_off(slack, unit)} off."
        return Judgement("contradicted", why, held=exact[0])
    others = "" if known else f" No {find.kind} is known for this drink."
    return Judgement(
        "unbacked", f"You say {spoken}; nothing to hold it against.{others}", is_checked=False
    )


def _off(slack: float, unit: str) -> str:
    return f"{slack:g} {'points' if unit == '%' else unit}"


def _value(number: KnownNumber, unit: str) -> str:
    source = "computed " if number.is_of_the_glass and not number.is_stated else ""
    digits = carried_digits(number.low, number.high, 1)
    return f"{source}{range_words(round(number.low, digits), round(number.high, digits))} {unit}"


def _known(facts: Sequence[GlassFacts], kind: str) -> list[KnownNumber]:
    return [number for fact in facts for number in fact.numbers if number.kind == kind]


def celsius(degrees: float, unit: str) -> float:
    """Degrees of either scale ("C" or "F") in °C."""
    return (degrees - 32.0) / 1.8 if unit == "F" else degrees


def spoken_duration(low_s: float, high_s: float) -> str:
    """A duration or range of durations in figures.

    >>> spoken_duration(330, 330), spoken_duration(64800, 64800), spoken_duration(600, 720)
    ('5:30', '18 h', '10:00 to 12:00')
    """
    low, high = _one_duration(low_s), _one_duration(high_s)
    return low if low == high else f"{low} to {high}"


def _one_duration(seconds: float) -> str:
    for size, unit in ((31_557_600, "years"), (86_400, "days"), (3_600, "h")):
        if seconds >= size:
            return f"{seconds / size:.3g} {unit}"
    return f"{seconds:g} s" if seconds < 60 else format_duration(seconds)
