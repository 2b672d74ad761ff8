"""What is said of how a coffee is brewed: its water's warmth, its time, strength and extraction.

Its masses and ratios are those of `recipes`. A figure holds where the sentence speaks of brewing
and one of the drink's brews has it; it is false only where its own clause names the brew and no
step within it ("let it bloom for thirty seconds"). All words here are English.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from server.domain.base.tokens import Token, tokens_kept, words_kept
from server.domain.claims.backing import Judgement
from server.domain.claims.compare_amounts import range_words, within
from server.domain.claims.compare_numbers import celsius, spoken_duration
from server.domain.claims.facts import KnownNumber
from server.domain.claims.finds import Find, FindKind
from server.domain.glass.brew import Brew, brewed
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.tolerance import Tolerance

BREWING = frozenset(
    {
        "brew", "brewed", "brewing", "brews", "extraction", "immersion", "steep", "steeps",
        "steeped", "steeping",
    }
)  # fmt: skip
PULLING = frozenset({"shot", "shots", "espresso", "pull", "pulled", "pulls", "extracts", "filter"})
WATER = frozenset({"water", "kettle"})
DISSOLVED = frozenset({"tds", "dissolved", "refractometer"})
EXTRACTED = frozenset({"extraction", "extracted"})
OF_ALCOHOL = frozenset({"alcohol", "abv", "vol", "volume", "proof", "ethanol", "spirit"})

WITHIN_A_BREW = frozenset(
    {
        "bloom", "blooms", "blooming", "pour", "pours", "pulse", "pulses", "wait", "first", "every",
        "grind", "grinds", "stir", "stirs", "rest", "rests", "ago", "since", "before", "within",
        "preinfusion", "infusion", "another", "last", "then", "left", "until",
    }
)  # fmt: skip
"""Beside one of these a time is that of a part of a brew, or of something around it."""

NOT_OF_BREWING = frozenset(
    {
        "rinse", "rinsing", "rinsed", "wash", "warm", "preheat", "preheated", "ice", "cool",
        "cools", "cooled", "chill", "chilled", "serve", "served", "drink", "cup", "cups", "glass",
        "room", "milk", "fridge", "freezer", "syrup", "bath", "roast", "roasted", "taste",
        "sparkling",
    }
)  # fmt: skip
"""Beside one of these a temperature is another than that of brewing."""

JOINTS = frozenset({"and", "while", "but", "so", "which", "when", "after"})
_PARTS = frozenset(",;:()–—")


@dataclass(frozen=True)
class _Said:
    """A spoken figure with the words of its sentence and those of its own clause."""

    find: Find
    sentence: frozenset[str]
    clause: frozenset[str]


def brewing_judged(
    find: Find, drinks: Sequence[Drink], sentence: str, tolerance: Tolerance, judged: Judgement
) -> Judgement:
    """The judgement of a number, mended where it is one of brewing; `judged` where it is not."""
    if find.kind not in ("temperature", "time", "strength"):
        return judged
    said = _said(find, sentence)
    parts = [part for drink in drinks for part in drink.ingredients if part.brew is not None]
    parts = [part for part in parts if part.id in find.ingredient_ids] or parts
    if find.kind == "strength":
        return _strength(said, parts, tolerance) or judged
    if judged.state == "backed" or not parts:
        return judged
    if find.kind == "temperature":
        return _of_warmth(said, parts, drinks, tolerance, judged)
    return _of_time(said, parts, tolerance, judged)


def _said(find: Find, sentence: str) -> _Said:
    tokens = tokens_kept(sentence)
    start, end = find.start - find.sentence_start, find.end - find.sentence_start
    first = bisect_right(tokens, start, key=lambda token: token.end)
    last = max(bisect_left(tokens, end, key=lambda token: token.start) - 1, first)
    # Only outwards from the find: a sentence may be long, and a find stand in it every two words.
    while first > 0 and not _opens(tokens[first - 1]):
        first -= 1
    after = next((at for at in range(last + 1, len(tokens)) if _opens(tokens[at])), len(tokens))
    clause = frozenset(token.norm for token in tokens[max(first - 1, 0) : after])
    return _Said(find, words_kept(sentence), clause)


def _opens(token: Token) -> bool:
    """Whether another clause begins with this word."""
    return not _PARTS.isdisjoint(token.gap) or token.norm in JOINTS


def _of_warmth(
    said: _Said,
    parts: Sequence[Ingredient],
    drinks: Sequence[Drink],
    tolerance: Tolerance,
    judged: Judgement,
) -> Judgement:
    if not said.sentence & (BREWING | PULLING | WATER):
        return judged
    find, unit = said.find, said.find.unit
    ends = celsius(find.low or 0.0, unit), celsius(find.high or 0.0, unit)
    spoken = f"{range_words(find.low or 0.0, find.high or 0.0)} °{unit}"
    slack = tolerance.about_temp_c if find.bound == "about" else tolerance.temp_c
    known = list(_known(parts, "temperature"))
    for number in known:
        if within(find, ends, (number.low, number.high), slack):
            why = f"You say {spoken}; {number.low:g} °C {number.label}, within {slack:g} °C."
            return Judgement("backed", why)
    is_its_own = bool(said.clause & BREWING) or (
        bool(said.clause & WATER) and not any(map(_is_water, _ingredients(drinks)))
    )
    if not is_its_own or said.clause & NOT_OF_BREWING:
        return judged
    if len(known) < len(parts):
        why = f"You say {spoken}; how warm the brewing water is, is not on record."
        return Judgement("unbacked", why, is_checked=False)
    held = known[0]
    why = f"You say {spoken}, {held.low:g} °C {held.label}: more than {slack:g} °C off."
    return Judgement("contradicted", why, held=held)


def _of_time(
    said: _Said,
    parts: Sequence[Ingredient],
    tolerance: Tolerance,
    judged: Judgement,
) -> Judgement:
    find = said.find
    ends = find.low or 0.0, find.high or 0.0
    spoken = spoken_duration(*ends)
    names_it = bool(said.sentence & (BREWING | PULLING))
    known = list(_known(parts, "time"))
    for number in known:
        slack_s = tolerance.time_slack_s(number.high, about=find.bound == "about")
        is_meant = names_it or (not judged.is_checked and find.bound in ("exactly", "about"))
        if is_meant and within(find, ends, (number.low, number.high), slack_s):
            told = spoken_duration(number.low, number.high)
            why = f"You say {spoken}; {number.label} takes {told}, within {slack_s:g} s."
            return Judgement("backed", why)
    is_its_own = said.clause & (BREWING | PULLING) and not said.clause & WITHIN_A_BREW
    if not is_its_own or judged.is_checked or len(known) < len(parts):
        return judged
    held = known[0]
    slack_s = tolerance.time_slack_s(held.high, about=find.bound == "about")
    told = f"{spoken_duration(held.low, held.high)} for {held.label}"
    why = f"You say {spoken}, the recipe has {told}: more than {slack_s:g} s off."
    return Judgement("contradicted", why, held=held)


def _strength(said: _Said, parts: Sequence[Ingredient], tolerance: Tolerance) -> Judgement | None:
    """For per cents of a brew; None where they are of alcohol."""
    of_what = said.clause & (DISSOLVED | EXTRACTED)
    if not of_what or said.sentence & OF_ALCOHOL:
        return None
    name = "tds_percent" if of_what & DISSOLVED else "extraction_percent"
    find = said.find
    ends = find.low or 0.0, find.high or 0.0
    spoken = f"{range_words(*ends)} %"
    known = [(part, getattr(brewed(_brew(part)), name)) for part in parts]
    held = [(part, value) for part, value in known if value is not None]
    label = "strength" if name == "tds_percent" else "extraction"
    for part, value in held:
        if within(find, ends, (value.low, value.high), tolerance.amount_ratio * value.high):
            told = range_words(round(value.low, 2), round(value.high, 2))
            why = f"You say {spoken}; the {label} of {part.name} is {told} %"
            return Judgement("backed", f"{why}, within {tolerance.amount_percent:g} %.")
    if not held or len(held) < len(known):
        why = f"You say {spoken}; the {label} of the brew is not known."
        return Judgement("unbacked", why, is_checked=False)
    part, value = held[0]
    told = range_words(round(value.low, 2), round(value.high, 2))
    why = f"You say {spoken}, the {label} of {part.name} is {told} %"
    return Judgement("contradicted", f"{why}: more than {tolerance.amount_percent:g} % off.")


def _known(parts: Iterable[Ingredient], kind: FindKind) -> Iterable[KnownNumber]:
    """The water's warmth, or the time, of each brew that has it on record."""
    for part in parts:
        brew = _brew(part)
        if kind == "temperature" and brew.water_c is not None:
            label = f"for the water of {part.name}"
            yield KnownNumber("temperature", label, brew.water_c, brew.water_c)
        if kind == "time" and brew.time_s is not None:
            yield KnownNumber("time", f"brewing {part.name}", brew.time_s, brew.time_s)


def _brew(part: Ingredient) -> Brew:
    return part.brew or Brew()


def _ingredients(drinks: Iterable[Drink]) -> Iterable[Ingredient]:
    return (part for drink in drinks for part in drink.ingredients)


def _is_water(part: Ingredient) -> bool:
    is_kind = part.substance is not None and part.substance.kind == "water"
    return is_kind or any(token.norm in WATER for token in tokens_kept(part.name))
