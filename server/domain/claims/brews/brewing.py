"""What is said of how a coffee is brewed: its water's warmth, its strength and extraction.

Its masses are those of `brew_masses`, its ratios those of `recipes`, its time is that of
`times_held`. A figure holds where the sentence speaks of brewing and one of the drink's brews has
it; it is false only where its own clause names the brew. A strength of which nothing says that it
is of alcohol, and that brews have, is never false as one of alcohol where there is coffee. All
words here are English.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from server.domain.base.tokens import tokens_kept
from server.domain.claims.backing import Judgement
from server.domain.claims.compare_amounts import range_words, within
from server.domain.claims.compare_numbers import celsius
from server.domain.claims.facts import KnownNumber
from server.domain.claims.finds import Find
from server.domain.claims.spoken.around import Stretch, clause_of
from server.domain.glass.brew import ESPRESSO_TDS, FILTER_TDS, Brew, brewed
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
WEIGHED = frozenset({"g", "gram", "grams"})
"""Beside what is weighed a temperature may be that of a brew, though nobody says so."""
DISSOLVED = frozenset({"tds", "dissolved", "refractometer"})
EXTRACTED = frozenset({"extraction", "extracted"})
OF_ALCOHOL = frozenset(
    {"alcohol", "alcoholic", "abv", "vol", "volume", "proof", "ethanol", "spirit"}
)
COFFEE = frozenset({"coffee", "coffees"})

_OF_WARMTH, _OF_BREWS = BREWING | PULLING | WATER | WEIGHED, DISSOLVED | EXTRACTED
"""Without one of these in its sentence a temperature, a per cent, is none of brewing."""

NOT_OF_BREWING = frozenset(
    {
        "rinse", "rinsing", "rinsed", "wash", "warm", "preheat", "preheated", "ice", "cool",
        "cools", "cooled", "chill", "chilled", "serve", "served", "drink", "cup", "cups", "glass",
        "room", "milk", "fridge", "freezer", "syrup", "bath", "roast", "roasted", "taste",
        "sparkling",
    }
)  # fmt: skip
"""Beside one of these a temperature is another than that of brewing."""


@dataclass(frozen=True)
class _Said:
    """A spoken figure with the words of its sentence and those of its own clause."""

    find: Find
    sentence: frozenset[str]
    clause: frozenset[str]


def brewing_judged(
    told: Stretch, drinks: Sequence[Drink], tolerance: Tolerance, judged: Judgement
) -> Judgement:
    """The judgement of a number, mended where it is one of brewing; `judged` where it is not."""
    find = told.find
    if find.kind not in ("temperature", "strength"):
        return judged
    parts = [part for drink in drinks for part in drink.ingredients if part.brew is not None]
    parts = [part for part in parts if part.id in find.ingredient_ids] or parts
    if find.kind == "temperature" and (judged.state == "backed" or not parts):
        return judged
    # A clause costs more to find than the words of a sentence, which most figures fail by.
    words = _OF_WARMTH if find.kind == "temperature" else _OF_BREWS
    may_be_bare = find.kind == "strength" and _may_be_a_brews(told, drinks)
    if told.words.isdisjoint(words) and not may_be_bare:
        return judged
    said = _Said(find, told.words, clause_of(find, told.text).words)
    if find.kind == "temperature":
        return _of_warmth(said, parts, drinks, tolerance, judged)
    if may_be_bare:
        judged = _bare_strength(said, parts, tolerance, judged)
    return _strength(said, parts, tolerance) or judged


def _of_warmth(
    said: _Said,
    parts: Sequence[Ingredient],
    drinks: Sequence[Drink],
    tolerance: Tolerance,
    judged: Judgement,
) -> Judgement:
    find, unit = said.find, said.find.unit
    ends = celsius(find.low or 0.0, unit), celsius(find.high or 0.0, unit)
    spoken = f"{range_words(find.low or 0.0, find.high or 0.0)} °{unit}"
    slack = tolerance.about_temp_c if find.bound == "about" else tolerance.temp_c
    known = list(_known(parts))
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


def _strength(said: _Said, parts: Sequence[Ingredient], tolerance: Tolerance) -> Judgement | None:
    """For per cents of a brew; None where they are of alcohol."""
    of_what = said.clause & (DISSOLVED | EXTRACTED)
    if not of_what or said.sentence & OF_ALCOHOL:
        return None
    return _against_brews(
        said, "strength" if of_what & DISSOLVED else "extraction", parts, tolerance
    )


def _may_be_a_brews(told: Stretch, drinks: Sequence[Drink]) -> bool:
    """Whether a per cent is one that brews have, where the drink or the sentence has coffee.

    What is said of another ingredient, or of alcohol, is not.
    """
    find, words = told.find, told.words
    strengths = [*_strengths_of_brews(_ingredients(drinks))]
    if words & (BREWING | PULLING | COFFEE):
        strengths.append(ESPRESSO_TDS if words & PULLING - {"filter"} else FILTER_TDS)
    low, high = find.low or 0.0, find.high or 0.0
    if not any(least <= low and high <= most for least, most in strengths):
        return False
    of = [part for part in _ingredients(drinks) if part.id in find.ingredient_ids]
    return not words & OF_ALCOHOL and all(_is_coffee(part) for part in of)


def _strengths_of_brews(parts: Iterable[Ingredient]) -> Iterator[tuple[float, float]]:
    """What each coffee of a drink is between, by its brew or by its name."""
    for part in parts:
        if part.brew is not None:
            yield ESPRESSO_TDS if part.brew.kind == "espresso" else FILTER_TDS
        elif _is_coffee(part):
            named = {token.norm for token in tokens_kept(part.name)}
            yield ESPRESSO_TDS if named & PULLING - {"filter"} else FILTER_TDS


def _is_coffee(part: Ingredient) -> bool:
    return part.brew is not None or bool(part.substance and part.substance.kind == "coffee")


def _bare_strength(
    said: _Said, parts: Sequence[Ingredient], tolerance: Tolerance, judged: Judgement
) -> Judgement:
    """For a strength that says of nothing what it is: of the brew, or open; `judged` if that holds.

    It is false only where the brew itself is named beside it.
    """
    if judged.state == "backed":
        return judged
    held = _against_brews(said, "strength", parts, tolerance)
    is_of_it = any(part.id in said.find.ingredient_ids for part in parts)
    if held.state != "contradicted" or is_of_it or said.clause & BREWING:
        return held
    spoken = held.why.partition(": more than")[0]
    why = f"{spoken}; whether that is said of it or of the drink is open."
    return Judgement("unbacked", why, is_checked=False)


def _against_brews(
    said: _Said, label: str, parts: Sequence[Ingredient], tolerance: Tolerance
) -> Judgement:
    """A spoken strength or extraction against those of the brews."""
    name = "tds_percent" if label == "strength" else "extraction_percent"
    find = said.find
    ends = find.low or 0.0, find.high or 0.0
    spoken = f"{range_words(*ends)} %"
    known = [(part, getattr(brewed(_brew(part)), name)) for part in parts]
    held = [(part, value) for part, value in known if value is not None]
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


def _known(parts: Iterable[Ingredient]) -> Iterable[KnownNumber]:
    """The water's warmth of each brew that has it on record."""
    for part in parts:
        water_c = _brew(part).water_c
        if water_c is not None:
            label = f"for the water of {part.name}"
            yield KnownNumber("temperature", label, water_c, water_c)


def _brew(part: Ingredient) -> Brew:
    return part.brew or Brew()


def _ingredients(drinks: Iterable[Drink]) -> Iterable[Ingredient]:
    return (part for drink in drinks for part in drink.ingredients)


def _is_water(part: Ingredient) -> bool:
    is_kind = part.substance is not None and part.substance.kind == "water"
    return is_kind or any(token.norm in WATER for token in tokens_kept(part.name))
