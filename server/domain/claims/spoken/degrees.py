"""Degrees that are of alcohol and not of warmth: "un ron de cuarenta grados", "grappa da 42 gradi".

Outside English a spirit's strength is told in degrees alone. Right behind its name, joined by "of",
they are that; "el ron está a cuatro grados" and whatever names a scale stay temperatures.
"""

from collections.abc import Collection, Sequence
from dataclasses import replace

from server.domain.base.languages import Language
from server.domain.base.tokens import Token
from server.domain.claims.mentions import Mention
from server.domain.claims.quantities import Quantity
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
