"""Units of spoken quantities, in all languages: amounts, times, degrees, strengths, serves.

>>> from server.domain.base.languages import supported
>>> from server.domain.base.tokens import tokens_of
>>> unit_at(tokens_of("two tall glasses"), 1, supported("en"))
(3, Unit(kind='serves', name='serve', factor=1.0))
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Literal

from server.domain.base.languages import Language, supported
from server.domain.base.tokens import Token

QuantityKind = Literal["amount", "temperature", "strength", "time", "serves", "ratio", "count"]

SERVED = {
    "en": (
        "glasses", "cups", "drinks", "serves", "servings", "portions", "guests", "judges",
        "people", "of you", "coupes", "cocktails", "mugs", "bowls", "persons", "highballs",
    ),
    "de": ("gläser", "tassen", "drinks", "portionen", "gäste", "personen", "getränke"),
    "fr": ("verres", "tasses", "portions", "personnes", "boissons", "cocktails"),
    "es": ("copas", "vasos", "tazas", "porciones", "personas", "bebidas", "raciones"),
    "it": ("bicchieri", "tazze", "porzioni", "persone", "coppe", "bevande"),
    "pt": ("copos", "taças", "xícaras", "porções", "pessoas", "bebidas"),
}  # fmt: skip
"""Language -> what drinks are counted in. A single one counts nothing: "a glass"."""

_SHAPES = frozenset(
    {"small", "tall", "little", "long", "big", "large", "short", "cold", "warm", "hot", "identical"}
)
"""What a glass may be called between its number and its name: "two tall glasses"."""

DECILITRES = {
    "en": ("dl", "decilitre", "decilitres", "deciliter", "deciliters"),
    "de": ("dl", "deziliter", "dezilitern"),
    **dict.fromkeys(("es", "pt"), ("dl", "decilitro", "decilitros")),
}
"""Said where people measure by them; told on in ml."""


@dataclass(frozen=True)
class Unit:
    """What a number counts: how many of what is told on one of it is."""

    kind: QuantityKind
    name: str
    factor: float = 1.0


def unit_at(tokens: Sequence[Token], at: int, lang: Language) -> tuple[int, Unit] | None:
    """The unit that stands at `at` and where it ends; the longest spelling wins."""
    if (
        at < len(tokens)
        and tokens[at].norm in lang.of
        and at + 1 < len(tokens)
        and tokens[at + 1].norm in ("you",)
    ):
        return at + 2, Unit("serves", "serve")
    units = _units(lang.code)
    if at < len(tokens) and lang.code == "en":
        if tokens[at].norm in ("good", "full", "whole"):
            at += 1
        elif tokens[at].norm in _SHAPES and at + 1 < len(tokens):
            served = _units("en").get(tokens[at + 1].norm)
            is_served = served is not None and served.kind == "serves" and not tokens[at + 1].gap
            return (at + 2, served) if served is not None and is_served else None
    for length in (3, 2, 1):
        piece = tokens[at : at + length]
        if len(piece) < length or any(token.gap.strip("-./") for token in piece):
            continue
        unit = units.get(" ".join(token.norm for token in piece))
        if unit is not None:
            return at + length, unit
    return None


@cache
def _units(code: str) -> dict[str, Unit]:
    lang = supported(code)
    units: dict[str, Unit] = {}
    for name, spellings in lang.amounts.items():
        units |= {spelling: Unit("amount", name) for spelling in spellings}
    units |= dict.fromkeys(DECILITRES.get(lang.code, ()), Unit("amount", "ml", 100.0))
    for seconds, spellings in lang.durations.items():
        units |= {spelling: Unit("time", "s", float(seconds)) for spelling in spellings}
    for word in SERVED.get(lang.code, ()):
        units[word] = Unit("serves", "serve")
    for word in (*lang.percent, "%"):
        units[word] = Unit("strength", "%")
        units |= {f"{word} {kind}": Unit("strength", "%") for kind in lang.strength_words}
    units |= _degree_units(lang)
    return units


def _degree_units(lang: Language) -> dict[str, Unit]:
    celsius, fahrenheit = Unit("temperature", "C"), Unit("temperature", "F")
    units = dict.fromkeys((*lang.degrees, "°", "°c"), celsius) | {"°f": fahrenheit}
    for degree in lang.degrees:
        for word in lang.strength_words:
            alcohol = Unit("strength", "%")
            units |= {f"{degree} {word}": alcohol, f"{degree} d'{word}": alcohol}
            units |= {f"{degree} {of} {word}": alcohol for of in lang.of}
        units |= {f"{degree} {word}": celsius for word in lang.celsius}
        units |= {f"{degree} {word}": fahrenheit for word in lang.fahrenheit}
    units |= {word: celsius for word in lang.celsius if len(word) > 1}
    units |= {word: fahrenheit for word in lang.fahrenheit if len(word) > 1}
    return units
