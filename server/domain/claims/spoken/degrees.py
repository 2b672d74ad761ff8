"""Degrees that are of alcohol and not of warmth: "un ron de cuarenta grados", "grappa da 42 gradi".

Outside English a spirit's strength is told in degrees alone. Right behind its name, joined by "of",
they are that; "el ron está a cuatro grados" and whatever names a scale stay temperatures.

In English a bare number behind a spirit's amount is that: "grape brandy, thirty, thirty-eight".
"""

from collections.abc import Collection, Sequence, Set
from dataclasses import replace

from server.domain.base.languages import Language
from server.domain.base.tokens import Token
from server.domain.claims.mentions import Mention
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber, is_cardinal
from server.domain.claims.spoken.bare import Bare, ends, norms, words_before
from server.domain.routine.drink import Drink

SPIRITUOUS = ("spirit", "liqueur", "bitters")

_JOINTS = {
    "es": ("de",),
    "it": ("di", "da", "a"),
    "pt": ("de",),
    "fr": ("de", "à"),
    "de": ("mit", "von"),
}
"""What joins a spirit and its strength: "rhum à 40 degrés"; a warmth is told behind a verb."""

_LEAST, _MOST = 15.0, 96.0
"""Strengths in % vol that spirits have; the higher is the azeotrope of ethanol and water."""


def spirits_of(drinks: Sequence[Drink]) -> frozenset[str]:
    """The ids of what is distilled, or made of it."""
    return frozenset(
        part.id
        for drink in drinks
        for part in drink.ingredients
        if part.substance is not None and part.substance.kind in SPIRITUOUS
    )


def with_degrees_of_alcohol(
    tokens: Sequence[Token],
    found: Sequence[Quantity],
    mentions: Sequence[Mention],
    spirits: Collection[str],
    lang: Language,
) -> list[Quantity]:
    """The same quantities; degrees that are a spirit's strength are told as one."""
    ends = {
        one.end
        for one in mentions
        if one.ingredient_ids and any(each in spirits for each in one.ingredient_ids)
    }
    return [
        replace(each, kind="strength", unit="%") if _is_strength(tokens, each, ends, lang) else each
        for each in found
    ]


def _is_strength(
    tokens: Sequence[Token], said: Quantity, ends: Collection[int], lang: Language
) -> bool:
    if said.kind != "temperature" or not _LEAST <= said.low <= said.high <= _MOST:
        return False
    joint = said.first - 1
    if joint not in ends or tokens[joint].gap or tokens[said.first].gap:
        return False
    is_bare = tokens[said.end - 1].norm in lang.degrees
    return is_bare and tokens[joint].norm in _JOINTS.get(lang.code, ())


def strengths_behind_amounts(
    bare: Bare, topic: Mention | None, spirits: Set[str], made: Collection[int]
) -> list[tuple[Quantity, Mention]]:
    """The bare numbers of a sentence that stand behind an amount of a spirit, with its name:
    "brandy, thirty to a cup, thirty-eight", "rum, forty-five millilitres, at fifty".

    `topic` is what was named last before the sentence, `made` how many drinks are made. English.
    """
    if bare.lang.code != "en":
        return []
    found = []
    for number in bare.numbers:
        named = [m for m in bare.mentions if m.ingredient_ids and m.end <= number.first]
        owner = named[-1] if named else topic
        if owner is None or spirits.isdisjoint(owner.ingredient_ids):
            continue
        if _is_told_strength(bare, number, owner, made):
            value = number.value
            told = Quantity("strength", number.first, number.end, value, value, "%")
            found.append((told, owner))
    return found


_MOST_BOTTLED = 75.0
_LEAST_POURED = 5.0
_FARTHEST = 7
"""Most tokens between the end of an amount and the strength told behind it."""


def _is_told_strength(
    bare: Bare, number: SaidNumber, owner: Mention, made: Collection[int]
) -> bool:
    if not _LEAST <= number.value <= _MOST_BOTTLED:
        return False
    amounts = [(one.end, one.low) for one in bare.quantities if one.kind == "amount"]
    amounts += [(one.end, one.value) for one in bare.numbers if one.value >= _LEAST_POURED]
    before = [one for one in amounts if max(owner.end, bare.first) < one[0] <= number.first]
    if not before:
        return False
    end, amount = max(before)
    if number.first - end > _FARTHEST or any(number.value * many == amount for many in made):
        return False
    ahead = words_before(bare, number.first, 2)
    if ahead[-1:] == ["at"]:
        return len(ahead) == 1 and ends(bare, number)
    behind = bare.tokens[number.end : number.end + 1]
    if len(before) > 1 or any(one.is_number or is_cardinal(one.norm, "en") for one in behind):
        # "Thirty, sixty, ninety millilitres."
        return False
    is_parted = bare.tokens[number.first].gap.strip() == ","
    is_told = (is_parted and not ahead) or ahead in (["it's"], ["and", "it's"])
    return is_told and not norms(bare, number.end, 1)
