"""Whether a drink holds what it is said to be free of, as far as its recipe can tell.

A drink is free of something only where that is known of every ingredient. What a name tells is a
guess, but a guess that is enough to warn: "free of nuts" beside an almond syrup.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from server.domain.claims.backing import Backing, Judgement
from server.domain.claims.facts import STRENGTH
from server.domain.claims.free.kinds_said import is_of_kind
from server.domain.glass.allergens import Allergen, in_order, named_allergens, short_words
from server.domain.glass.figures import Figure
from server.domain.glass.substance import Kind, Substance
from server.domain.routine.drink import Drink, Ingredient

ALCOHOL_FREE_PERCENT = 0.5
"""Up to this an ingredient counts as free of alcohol; where the line is drawn, local codes say."""

SUGAR_FREE_G = 0.5
"""g in 100 ml: the limit of "sugar-free" (Regulation (EC) No 1924/2006, annex)."""

NAMES: dict[str, str] = {
    "alcohol": "alcohol", "dairy": "milk", "egg": "egg", "nuts": "nuts", "gluten": "gluten",
    "caffeine": "caffeine", "sugar": "sugar", "animal": "animal products", "soy": "soy",
    "sulphites": "sulphites", "sesame": "sesame", "celery": "celery", "mustard": "mustard",
    "fish": "fish", "shellfish": "crustaceans or molluscs", "lupin": "lupin",
}  # fmt: skip
"""What a drink is said to be free of -> the words for it."""

_ALLERGENS: Mapping[str, tuple[Allergen, ...]] = {
    "dairy": ("milk",),
    "egg": ("eggs",),
    "nuts": ("nuts", "peanuts"),
    "gluten": ("gluten",),
    "soy": ("soybeans",),
    "sulphites": ("sulphites",),
    "sesame": ("sesame",),
    "celery": ("celery",),
    "mustard": ("mustard",),
    "fish": ("fish",),
    "shellfish": ("crustaceans", "molluscs"),
    "lupin": ("lupin",),
    "animal": ("milk", "eggs", "fish", "crustaceans", "molluscs"),
}
_KINDS: Mapping[str, tuple[Kind, ...]] = {
    "alcohol": ("spirit", "liqueur", "wine", "bitters"),
    "dairy": ("dairy",),
    "egg": ("egg",),
    "nuts": ("nut",),
    "animal": ("dairy", "egg"),
    "sugar": ("sugar", "syrup", "liqueur"),
}
"""Kinds that hold it by what they are."""

_NO_ALCOHOL_LEFT = ("gluten", "dairy", "nuts")
"""What a distillate may have lost: whether it did is for the person to judge."""

_BY_NAME: Mapping[str, str] = {
    "alcohol": (
        r"gin|rum|whisk(?:e)?y|brandy|vodka|tequila|mezcal|liqueur|vermouth|wine|spirit|sherry|"
        r"port|beer|cider|bitters|cognac|grappa|aquavit|amaro|absinthe|sake"
    ),
    "dairy": r"milk|cream|butter|yog(?:h)?urt|whey|cheese|lactose|kefir",
    "egg": r"egg|eggs|yolk|aquafaba(?!.)",
    "nuts": (
        r"almonds?|hazelnuts?|walnuts?|cashews?|pecans?|pistachios?|macadamias?|nuts?|peanuts?|"
        r"orgeat|praline|marzipan|nocino|amande|mandel\w*|almendra|mandorla|amêndoa|noisette|nüsse"
    ),
    "gluten": r"wheat|barley|rye|oats?|malt|beer",
    "caffeine": r"coffee|espresso|matcha|mate|guarana|cola|black tea|green tea",
    "sugar": r"syrup|sugar|honey|cordial|liqueur|agave|molasses|sirup\w*|sirop|jarabe|xarope",
    "animal": r"milk|cream|butter|egg|eggs|honey|yog(?:h)?urt|whey|gelatine?",
}
"""Words of names that tell of it: common knowledge, no source."""

_PLANT = re.compile(
    r"\b(?:oat|soy|soya|almond|coconut|rice|cashew|pea|macadamia|hazelnut|walnut|pistachio|peanut|"
    r"nut|hemp|spelt|barley|cocoa|cacao|shea|plant|vegan) (?:milk|cream|drink|butter)",
    re.IGNORECASE,
)
_WITHOUT = re.compile(r"\b(?:decaf\w*|alcohol[- ]free|non[- ]alcoholic|sugar[- ]free|0 ?%)", re.I)


@dataclass(frozen=True)
class Found:
    """What an ingredient tells about something: that it holds it, and how that is known."""

    holds: bool | None
    how: str = ""


def free_judged(word: str, drinks: Sequence[Drink], kind: str = "") -> Judgement:
    """The state of the claim that these drinks are free of something, or of a kind of it."""
    name = kind or NAMES.get(word, word)
    every = [(part, told(word, part)) for drink in drinks for part in drink.ingredients]
    holding = [(part, found) for part, found in every if found.holds]
    of_kind = [each for each in holding if is_of_kind(kind, each[0])] if kind else holding
    if holding and not of_kind:
        part, found = holding[0]
        why = f"You say free of {name}; {part.name} holds {NAMES.get(word, word)}: {found.how}."
        why = f"{why} Whether that is {name} is not known."
        return Judgement("unbacked", why, is_checked=False)
    if holding:
        part, found = of_kind[0]
        backing = Backing(part.name, name, "same", part.id)
        why = f"You say free of {name}; {part.name} holds it: {found.how}. {_allowed(word)}"
        return Judgement("contradicted", why, (backing,))
    unknown = [part.name for part, found in every if found.holds is None]
    if unknown or not every:
        of_what = ", ".join(unknown[:3]) or "this drink"
        why = f"Whether it is free of {name} cannot be told: it is not known of {of_what}."
        return Judgement("unbacked", why, is_checked=False)
    many = len(every)
    why = f"You say free of {name}; by the recipe none of {many} ingredients holds any. "
    return Judgement("backed", f"{why}{_allowed(word)}")


def _allowed(word: str) -> str:
    """How much of it still counts as free."""
    least = {
        "alcohol": f"Up to {ALCOHOL_FREE_PERCENT:g} % vol in each counts as none.",
        "sugar": f"Up to {SUGAR_FREE_G:g} g in 100 ml of each counts as none.",
    }
    return least.get(word, "Even a trace counts.")


def only_judged(ids: Iterable[str], drinks: Sequence[Drink]) -> Judgement:
    """The state of the claim that there is nothing but what is named; water and ice aside."""
    named = set(ids)
    whole = sum(not _is_water(part) for drink in drinks for part in drink.ingredients)
    left = [
        part
        for drink in drinks
        for part in drink.ingredients
        if part.id not in named and not _is_water(part)
    ]
    if not drinks:
        return Judgement("unbacked", "No drink is on record.", is_checked=False)
    if left:
        part = left[0]
        more = f" and {len(left) - 1} more" if len(left) > 1 else ""
        more += f": {len(left)} of {whole} not named, none may be left out"
        backing = Backing(part.name, str(part.amount), "same", part.id)
        why = f"You name all that is in it; the recipe also has {part.name}{more}."
        return Judgement("contradicted", why, (backing,))
    return Judgement(
        "backed", f"You name all {whole} of the recipe's {whole}, water and ice aside."
    )


def told(word: str, part: Ingredient) -> Found:
    """What an ingredient tells about something; None where it cannot tell."""
    substance = part.substance
    if substance is None:
        return _by_name(word, part)
    known = _by_substance(word, substance)
    is_spirit_without = substance.kind == "spirit" and word in _NO_ALCOHOL_LEFT
    if known.holds is False and (named := _suspected(word, part, substance)):
        return named
    if known.holds is not None or is_spirit_without:
        return known
    if substance.kind in _KINDS.get(word, ()):
        return _of_kind(substance)
    return _by_name(word, part)


def _suspected(word: str, part: Ingredient, substance: Substance) -> Found | None:
    """What a name tells of an allergen that nobody ticked: "milk-washed gin" is not free of it."""
    named = set(named_allergens(substance.kind, part.name)) & set(_ALLERGENS.get(word, ()))
    if not named:
        return None
    words = ", ".join(short_words(each) for each in in_order(named))
    return Found(True, f"its name tells of {words}, which is a guess")


def _of_kind(substance: Substance) -> Found:
    return Found(True, f"by its kind, {substance.kind}")


def _by_name(word: str, part: Ingredient) -> Found:
    name = part.name
    if word == "alcohol" and (match := STRENGTH.search(name)):
        holds = float(match[1].replace(",", ".")) > ALCOHOL_FREE_PERCENT
        return Found(holds, f"its name says {match[0].strip()}")
    if _WITHOUT.search(name) or (word in ("dairy", "animal") and _PLANT.search(name)):
        return Found(None)
    pattern = _BY_NAME.get(word)
    if pattern is not None and (match := re.search(rf"\b(?:{pattern})\b", name, re.IGNORECASE)):
        return Found(True, f"by its name, “{match[0]}”, which is a guess")
    return Found(None)


def _is_water(part: Ingredient) -> bool:
    return part.substance is not None and part.substance.kind in ("water", "ice")


def _by_substance(word: str, substance: Substance) -> Found:
    if word in _ALLERGENS:
        return _by_allergens(word, substance)
    check = _CONTENTS.get(word)
    return Found(None) if check is None else check(substance)


def _by_allergens(word: str, substance: Substance) -> Found:
    wanted = set(_ALLERGENS[word])
    held = wanted & set(substance.allergens or ())
    if held and substance.kind == "spirit" and word in _NO_ALCOHOL_LEFT:
        return Found(None)
    if held:
        return Found(True, f"{', '.join(sorted(held))} among its allergens")
    if substance.kind in _KINDS.get(word, ()):
        return _of_kind(substance)
    if substance.lacks("allergens") or (word == "animal" and substance.kind not in _PLANTS):
        return Found(None)
    return Found(False)


_PLANTS: tuple[Kind, ...] = (
    "spirit", "juice", "soda", "coffee", "tea", "water", "ice", "sugar", "acid", "salt",
)  # fmt: skip
"""Kinds that come of no animal; a syrup may be honey, a wine fined with egg."""


def _beyond(known: Figure, free: float, told: str) -> Found:
    """Whether a figure lies above what still counts as free; None where its range crosses that."""
    if known.least > free:
        return Found(True, told)
    return Found(False if known.most <= free else None)


def _alcohol(substance: Substance) -> Found:
    abv = substance.abv
    if abv is not None:
        return _beyond(abv, ALCOHOL_FREE_PERCENT, f"{abv.value:g} % vol")
    return Found(None if substance.lacks("abv") else False)


def _sugar(substance: Substance) -> Found:
    sugar = substance.sugar
    if sugar is not None:
        return _beyond(sugar, SUGAR_FREE_G, f"{sugar.value:g} g of sugar in {sugar.per}")
    if substance.kind == "sugar":
        return _of_kind(substance)
    return Found(None if substance.lacks("sugar") else False)


def _caffeine(substance: Substance) -> Found:
    caffeine = substance.caffeine
    if caffeine is not None:
        return Found(caffeine.most > 0, f"{caffeine.value:g} mg of caffeine in {caffeine.per}")
    return Found(None if substance.lacks("caffeine") else False)


_CONTENTS: Mapping[str, Callable[[Substance], Found]] = {
    "alcohol": _alcohol,
    "sugar": _sugar,
    "caffeine": _caffeine,
}
