"""Words of taste, strength and thickness against the computed figures: clear cases only.

Each word lies on a scale. Where the figure's whole range lies beyond one end the word is true,
beyond the other it is false, and in between nobody can tell from figures: taste decides there.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import inf

from server.domain.base.text import with_capital
from server.domain.claims.backing import Judgement, judged
from server.domain.claims.facts import GlassFacts, Makeup, Span
from server.domain.claims.negation import Polarity
from server.domain.claims.taxonomy import Taxonomy
from server.domain.routine.drink import Drink

SWEET_G_PER_L = 45.0
"""Sugar from which a wine may be called sweet (Regulation (EU) 2019/33, annex III B)."""

DRY_G_PER_L = 4.0
"""Sugar up to which a wine may be called dry whatever its acid (the same)."""

LIQUEUR_G_PER_L = 100.0
"""Sugar that a liqueur has at least (Regulation (EU) 2019/787, annex I, category 33)."""

SWEET_RATIO = 15.0
"""Grams of sugar to one of acid from which acid hides no sweetness: ripe orange juice stands
near it, lemonade and sours well below (ours)."""

SOUR_G_PER_L, SOUR_RATIO = 6.0, 5.0
"""So much acid, as citric, with so little sugar to each gram of it is sour to all (ours)."""

MILD_G_PER_L = 1.0
"""Less acid than this hardly anyone calls sour under so much sugar (ours)."""

NO_ACID_G_PER_L = 0.2
"""Less than this is not tasted: half of what is usually told of citric acid in water (ours)."""

STRONG_PERCENT = 22.0
"""Stronger than fortified wine may be: at most 22 % (Regulation (EU) 1308/2013, annex VII)."""

LIGHT_PERCENT = 5.0
"""As light as beer (ours)."""

SYRUPY_G_PER_L = 400.0
"""Such sugar makes a drink five times as thick as water, as a syrup of 35 Brix is (ours)."""

THICK_G_PER_L = 250.0
"""Such sugar makes it twice as thick as water: it is not thin (ours)."""

THIN_G_PER_L = 20.0
"""Sugar up to which it thickens nothing, where nothing else does either (ours)."""


@dataclass(frozen=True)
class TasteScale:
    """What is measured, and whether that is clearly much, clearly little, or too much."""

    figures: Callable[[Makeup], str]
    is_much: Callable[[Makeup], bool]
    is_little: Callable[[Makeup], bool]
    is_too_much: Callable[[Makeup], bool] = lambda _: False
    is_covered: Callable[[Makeup], bool] = lambda _: False
    """Whether it may be denied though there is some."""


def judged_by_taste(
    word: str,
    polarity: Polarity,
    drinks: Sequence[Drink],
    facts: Sequence[GlassFacts],
    taxonomy: Taxonomy,
) -> Judgement:
    """The state of a descriptor: by the figures where its word is on a scale and they are clear.

    Where they are not, what an ingredient is said to bring still holds; what only its name tells
    holds for "sweet", and neither for "dry" nor for a denial.
    """
    plain = judged(word, polarity, drinks, facts, taxonomy)
    if is_of_length(word, taxonomy) and plain.state == "unbacked" and not plain.backings:
        return Judgement("unbacked", "How long it stays, only tasting tells.", is_checked=False)
    by_figures = _by_figures(word, polarity, facts, taxonomy)
    if by_figures is None:
        return plain
    if by_figures.is_checked:
        backings = plain.backings if by_figures.state == plain.state else ()
        return replace(by_figures, backings=backings)
    is_written = any(not backing.is_guess for backing in plain.backings)
    is_of_much = _scale_of(word, taxonomy)[1]
    if plain.backings and (is_written or (polarity == "has" and is_of_much)):
        return plain
    return by_figures


def is_of_length(word: str, taxonomy: Taxonomy) -> bool:
    """Whether a word tells how long a finish stays: no ingredient gives that."""
    return (taxonomy.resolve(word) or word) in ("long", "lingering", "short finish")


def _by_figures(
    word: str, polarity: Polarity, facts: Sequence[GlassFacts], taxonomy: Taxonomy
) -> Judgement | None:
    """By figures alone; None for words on no scale, and where no figures are known."""
    scale, is_of_much = _scale_of(word, taxonomy)
    figures = scale.figures(facts[0].makeup) if scale is not None and len(facts) == 1 else ""
    if scale is None or not figures:
        return None
    makeup = facts[0].makeup
    what = {"has": word, "lacks": f"not {word}", "some": f"not too {word}"}[polarity]
    told = with_capital(f"you say {what}; computed {figures}")
    if polarity == "some":
        is_false = is_of_much and scale.is_too_much(makeup)
        return Judgement("contradicted", f"{told}.") if is_false else None
    much = scale.is_much(makeup)
    little = scale.is_little(makeup) or (polarity == "lacks" and scale.is_covered(makeup))
    if much or little:
        holds = (much == is_of_much) == (polarity == "has")
        return Judgement("backed" if holds else "contradicted", f"{told}.")
    return Judgement("unbacked", f"{told}: only tasting tells.", is_checked=False)


def _scale_of(word: str, taxonomy: Taxonomy) -> tuple[TasteScale | None, bool]:
    return SCALES.get(taxonomy.resolve(word) or word, (None, True))


def _from(span: Span | None, least: float) -> bool:
    return span is not None and span[0] >= least


def _upto(span: Span | None, most: float) -> bool:
    return span is not None and span[1] <= most


def _is_sweet(makeup: Makeup) -> bool:
    return _from(makeup.sugar_g_per_l, SWEET_G_PER_L) and _from(makeup.sugar_to_acid, SWEET_RATIO)


def _is_too_sweet(makeup: Makeup) -> bool:
    return _is_sweet(makeup) and _from(makeup.sugar_g_per_l, LIQUEUR_G_PER_L)


def _is_dry(makeup: Makeup) -> bool:
    return _upto(makeup.sugar_g_per_l, DRY_G_PER_L)


def _is_sour(makeup: Makeup) -> bool:
    return _from(makeup.acid_g_per_l, SOUR_G_PER_L) and _upto(makeup.sugar_to_acid, SOUR_RATIO)


def _is_without_acid(makeup: Makeup) -> bool:
    return _upto(makeup.acid_g_per_l, NO_ACID_G_PER_L)


def _is_mild(makeup: Makeup) -> bool:
    is_little = _upto(makeup.acid_g_per_l, MILD_G_PER_L)
    return is_little and _from(makeup.sugar_to_acid, SWEET_RATIO)


def _taste_figures(makeup: Makeup) -> str:
    is_told = makeup.acid_g_per_l is not None and makeup.acid_g_per_l != (0.0, inf)
    return " and ".join(filter(None, (_sugar_figures(makeup), _acid_figures(makeup) * is_told)))


def _sweet_figures(makeup: Makeup) -> str:
    return "" if makeup.sugar_g_per_l is None else _taste_figures(makeup)


def _sour_figures(makeup: Makeup) -> str:
    return "" if makeup.acid_g_per_l is None else _taste_figures(makeup)


def _sugar_figures(makeup: Makeup) -> str:
    return "" if makeup.sugar_g_per_l is None else f"{_range(makeup.sugar_g_per_l)} g/l of sugar"


def _acid_figures(makeup: Makeup) -> str:
    return "" if makeup.acid_g_per_l is None else f"{_range(makeup.acid_g_per_l)} g/l of acid"


def _strength_figures(makeup: Makeup) -> str:
    return "" if makeup.abv_percent is None else f"{_range(makeup.abv_percent)} % of alcohol"


def _range(span: Span) -> str:
    low, high = span
    if high == inf:
        return f"at least {low:.0f}"
    digits = 0 if high >= 10 else 1
    least, most = f"{low:.{digits}f}", f"{high:.{digits}f}"
    return least if least == most else f"{least} to {most}"


_SWEETNESS = TasteScale(_sweet_figures, _is_sweet, _is_dry, _is_too_sweet)
_SOURNESS = TasteScale(_sour_figures, _is_sour, _is_without_acid, is_covered=_is_mild)
_STRENGTH = TasteScale(
    _strength_figures,
    lambda makeup: _from(makeup.abv_percent, STRONG_PERCENT),
    lambda makeup: _upto(makeup.abv_percent, LIGHT_PERCENT),
)
_SYRUP = TasteScale(
    _sugar_figures,
    lambda makeup: _from(makeup.sugar_g_per_l, SYRUPY_G_PER_L),
    lambda makeup: makeup.is_clear and _upto(makeup.sugar_g_per_l, THIN_G_PER_L),
)
_BODY = TasteScale(
    _sugar_figures,
    lambda makeup: _from(makeup.sugar_g_per_l, THICK_G_PER_L),
    lambda makeup: makeup.is_clear and _upto(makeup.sugar_g_per_l, THIN_G_PER_L),
)

SCALES: dict[str, tuple[TasteScale, bool]] = {
    "sweet": (_SWEETNESS, True),
    "dry": (_SWEETNESS, False),
    "bone dry": (_SWEETNESS, False),
    "sour": (_SOURNESS, True),
    "tart": (_SOURNESS, True),
    "acidic": (_SOURNESS, True),
    "boozy": (_STRENGTH, True),
    "light in alcohol": (_STRENGTH, False),
    "syrupy": (_SYRUP, True),
    "thick": (_SYRUP, True),
    "viscous": (_SYRUP, True),
    "thin": (_BODY, False),
    "watery": (_BODY, False),
}
"""Word -> its scale, and whether it speaks of much (True) or little of it."""
