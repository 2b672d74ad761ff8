"""Whether the glass holds what is claimed of it, and which ingredient or step brings it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from server.domain.base.languages import is_made_of
from server.domain.base.memo import Memo
from server.domain.base.numbers import figure_words
from server.domain.base.text import with_capital
from server.domain.base.tokens import tokens_of
from server.domain.claims.facts import GlassFacts, KnownNumber
from server.domain.claims.negation import Polarity
from server.domain.claims.taxonomy import Relation, Taxonomy
from server.domain.routine.drink import Drink, Ingredient

State = Literal["contradicted", "unbacked", "weakly backed", "unplanned", "unsaid", "backed"]

STATES: dict[State, str] = {
    "contradicted": "Wrong",
    "unbacked": "Nothing gives it",
    "weakly backed": "Holds loosely",
    "unplanned": "Not on the card",
    "unsaid": "Never said",
    "backed": "Holds",
}
"""State of a claim -> the words that name it, the most pressing first."""

COLD_MOST_C = 25.0
WARM_LEAST_C = 20.0
"""A drink above the one is not called cold, one below the other not warm. Ours, and lenient."""

LEAST_TASTED_SHARE = 0.02
"""Part of a drink below which a name alone does not tell that it is tasted (ours)."""


ONLY_TASTED = ("bitter",)
"""What no figure of a recipe tells, nor a name: milk and sugar take it from an espresso."""

TO_KNOW_WARMTH = (
    "That needs the drink's page to say in which segments it is poured and drunk, what its cup "
    "weighs and how warm each part goes in."
)
"""What a person can do where a temperature has nothing to be held against."""


NO_RECIPE = "No recipe is written yet to hold it against."


@dataclass(frozen=True)
class Backing:
    """What brings a claimed word: an ingredient, or a step where `ingredient_id` is None.

    `brought` is its own word for it, `share` its part of the drink's volume where that is known.
    """

    label: str
    brought: str
    relation: Relation
    ingredient_id: str | None = None
    share: float | None = None
    is_guess: bool = False
    """Whether only its name tells: "Lemon juice" brings lemon, in all likelihood."""


CLOSENESS = {"same": 0, "more general": 1, "more particular": 2}
"""Relations of a claimed word to a brought one that back it, the closest first."""


@dataclass(frozen=True)
class BroughtWord:
    """A word that an ingredient or a step brings, before it is held against a claim."""

    label: str
    brought: str
    ingredient_id: str | None = None
    share: float | None = None
    is_guess: bool = False


@dataclass(frozen=True)
class Judgement:
    """A state with its reason in words, and what the claim rests on.

    `is_checked` is False where there was nothing to hold a number against; `held` is the value
    that a contradicted number should have been.
    """

    state: State
    why: str
    backings: tuple[Backing, ...] = ()
    is_checked: bool = True
    held: KnownNumber | None = None


def backings(
    word: str, drinks: Sequence[Drink], facts: Sequence[GlassFacts], taxonomy: Taxonomy
) -> tuple[Backing, ...]:
    """Everything in these drinks that brings `word`, the closest and largest first."""
    offered = [offer for drink in drinks for offer in _offers(drink, taxonomy)]
    offered += [BroughtWord(effect.step, effect.word) for f in facts for effect in f.effects]
    found = []
    for offer in offered:
        relation = taxonomy.relation(word, offer.brought)
        if relation in CLOSENESS:
            ingredient_id, share = offer.ingredient_id, offer.share
            found.append(
                Backing(offer.label, offer.brought, relation, ingredient_id, share, offer.is_guess)
            )
    found += _by_their_names(word, drinks, taxonomy)
    found.sort(key=lambda backing: (CLOSENESS[backing.relation], -(backing.share or 0.0)))
    unique = {(b.label, b.relation): b for b in reversed(found)}
    return tuple(reversed(unique.values()))


def _by_their_names(word: str, drinks: Sequence[Drink], taxonomy: Taxonomy) -> list[Backing]:
    """Ingredients whose name has the word itself, for words that the taxonomy does not know."""
    return [
        Backing(part.name, word, "same", part.id, shares_of(drink).get(part.id), is_guess=True)
        for drink in drinks
        for part in drink.ingredients
        if _is_in_name(word, part.name, taxonomy)
    ]


_OFFERS = Memo[int, tuple[Drink, Taxonomy], tuple[BroughtWord, ...]](most=50)
"""By the drink as an object, for every word of a text asks for it: to hash a drink, or to compare
it with an equal one, would take longer than the answer. Whatever is kept here keeps its number.
"""


def _offers(drink: Drink, taxonomy: Taxonomy) -> tuple[BroughtWord, ...]:
    """All that a drink's ingredients bring: what is written, what their names tell, and tastes."""
    return _OFFERS.of(id(drink), (drink, taxonomy), lambda: _offered(drink, taxonomy))


def _offered(drink: Drink, taxonomy: Taxonomy) -> tuple[BroughtWord, ...]:
    shares = shares_of(drink)
    found = []
    for part in drink.ingredients:
        told = (*words_in_name(part.name, taxonomy), *_tastes(part, taxonomy))
        for brought in dict.fromkeys((*part.descriptors, *told)):
            is_guess = brought not in part.descriptors
            found.append(BroughtWord(part.name, brought, part.id, shares.get(part.id), is_guess))
    return tuple(found)


def _tastes(part: Ingredient, taxonomy: Taxonomy) -> tuple[str, ...]:
    """What its name tells of its taste; a spirit is not sweet because of the plant it is from."""
    implied = implied_by_name(part.name, taxonomy)
    substance = part.substance
    dry = substance is not None and (
        substance.kind == "spirit" or (substance.sugar is not None and substance.sugar.most == 0)
    )
    return tuple(taste for taste in implied if not (dry and taste == "sweet"))


def judged(
    word: str,
    polarity: Polarity,
    drinks: Sequence[Drink],
    facts: Sequence[GlassFacts],
    taxonomy: Taxonomy,
) -> Judgement:
    """The state of the claim that these drinks have, lack, or have some of `word`."""
    found = backings(word, drinks, facts, taxonomy)
    sure = tuple(backing for backing in found if backing.relation != "more particular")
    temperature = _temperature(word, polarity, facts, taxonomy)
    if temperature is not None:
        return temperature
    if not found and not any(drink.ingredients for drink in drinks):
        return Judgement("unbacked", NO_RECIPE, is_checked=False)
    if polarity == "lacks":
        if found and not sure and taxonomy.family(word) == "taste":
            return Judgement("unbacked", _nearly(word, found[0]), found, is_checked=False)
        return _lacking(word, sure, drinks)
    if sure:
        return Judgement("backed", _brings(word, sure[0]), sure)
    if found:
        return Judgement("weakly backed", _nearly(word, found[0]), found)
    if polarity == "some":
        return Judgement("weakly backed", f"Nothing is on record as giving {word}.")
    if is_of_temperature(word, taxonomy):
        why = f"You say {word}; no temperature is known for this drink. {TO_KNOW_WARMTH}"
        return Judgement("unbacked", why, is_checked=False)
    return Judgement("unbacked", f"{_none_of(drinks)} gives {word}.")


def _none_of(drinks: Sequence[Drink]) -> str:
    """ "None of 6 parts"; steps that bring something are no parts of the recipe."""
    many = sum(len(drink.ingredients) for drink in drinks)
    return f"None of {many} parts" if many > 1 else "Nothing in the glass"


def _lacking(word: str, sure: tuple[Backing, ...], drinks: Sequence[Drink]) -> Judgement:
    if sure and all(backing.is_guess for backing in sure) and word in ONLY_TASTED:
        why = f"You deny “{word}”; only tasting tells. {_brings(word, sure[0])}"
        return Judgement("unbacked", why, sure, is_checked=False)
    if sure and all(_is_faint_guess(backing) for backing in sure):
        why = f"You deny “{word}”; it may be too little to taste. {_brings(word, sure[0])}"
        return Judgement("unbacked", why, sure, is_checked=False)
    if sure:
        return Judgement("contradicted", f"You deny “{word}”. {_brings(word, sure[0])}", sure)
    return Judgement("backed", f"{_none_of(drinks)} gives {word}, as said.")


def _is_faint_guess(backing: Backing) -> bool:
    """A pinch of salt makes no drink salty: a name does not say how much of it is tasted, nor does
    it where what is weighed has no share of the volume.
    """
    is_little = backing.share is None or backing.share < LEAST_TASTED_SHARE
    return backing.is_guess and backing.ingredient_id is not None and is_little


def _brings(word: str, backing: Backing) -> str:
    share = "" if backing.share is None else f" ({_percent(backing.share)} of the drink)"
    kind = "" if backing.relation == "same" else f", a kind of {word}"
    how = "Given by" if backing.ingredient_id else "It comes of this step:"
    as_what = "" if backing.brought == word else f" as {backing.brought}"
    guess = ", by its name: a guess" if backing.is_guess else ""
    return f"{how} {backing.label}{share}{as_what}{kind}{guess}."


def _nearly(word: str, backing: Backing) -> str:
    share = "" if backing.share is None else f" ({_percent(backing.share)} of the drink)"
    return f"{backing.label}{share} gives {backing.brought}, which is more general than {word}."


def _percent(share: float) -> str:
    return "under 1 %" if share < 0.01 else f"{share * 100:.0f} %"


def _temperature(
    word: str, polarity: Polarity, facts: Sequence[GlassFacts], taxonomy: Taxonomy
) -> Judgement | None:
    """For "warm" and "cold": against the computed temperature, where there is one."""
    warmths = [n for f in facts for n in f.numbers if n.kind == "temperature"]
    known = [n for n in warmths if n.is_of_the_glass and not n.is_bound]
    if not known or polarity == "some" or not is_of_temperature(word, taxonomy):
        return None
    glass = known[0]
    is_cold = "cold" in (taxonomy.resolve(word), *taxonomy.ancestors(word))
    holds = glass.low <= COLD_MOST_C if is_cold else glass.high >= WARM_LEAST_C
    says_so = holds == (polarity == "has")
    what = word if polarity == "has" else f"not {word}"
    low, high = (figure_words(round(end)) for end in (glass.low, glass.high))
    source = "" if glass.is_stated else "computed "
    told = f"you say {what}, {source}{low} to {high} °C {glass.label}."
    return Judgement("backed" if says_so else "contradicted", with_capital(told))


@lru_cache(maxsize=4_000)
def implied_by_name(name: str, taxonomy: Taxonomy) -> tuple[str, ...]:
    """The tastes that an ingredient has by nature: "Honey syrup" is sweet."""
    head = _main_name(name)
    return tuple(
        taste
        for taste, things in taxonomy.implied.items()
        if any(_is_in_name(thing, head, taxonomy) for thing in things)
    )


def _main_name(name: str) -> str:
    return re.split(r"[,;:(]", name, maxsplit=1)[0]


@lru_cache(maxsize=20_000)
def _is_in_name(word: str, name: str, taxonomy: Taxonomy) -> bool:
    """Whether an ingredient's name has the word itself, in a language without shipped words too."""
    wanted, stems = taxonomy.stems(word), taxonomy.stems(name)
    whole = word.lower()
    if any(is_made_of(token.norm, whole, taxonomy.language) for token in tokens_of(name)):
        return True
    return any(stems[at : at + len(wanted)] == wanted for at in range(len(stems)) if wanted)


def is_of_temperature(word: str, taxonomy: Taxonomy) -> bool:
    """Whether a word says how warm or cold a drink is."""
    name = taxonomy.resolve(word)
    return name is not None and not {name, *taxonomy.ancestors(name)}.isdisjoint(("warm", "cold"))


def shares_of(drink: Drink) -> dict[str, float]:
    """Ingredient id -> its part of the drink's volume, for those that have a volume."""
    volumes = {part.id: part.amount.volume_ml for part in drink.ingredients}
    total_ml = sum(volume for volume in volumes.values() if volume is not None)
    if not total_ml:
        return {}
    return {key: volume / total_ml for key, volume in volumes.items() if volume is not None}


@lru_cache(maxsize=4_000)
def words_in_name(name: str, taxonomy: Taxonomy) -> tuple[str, ...]:
    """The known words in an ingredient's name: "Lemon juice, fresh" brings lemon."""
    phrase = _main_name(name)
    known = taxonomy.resolve(phrase)
    found = (known,) if known else taxonomy.known_in(phrase)
    return tuple(one for one in found if not taxonomy.words[one].is_silent)
