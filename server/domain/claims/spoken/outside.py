"""A spoken number against figures of which only a bound is known: "at least 10.4 %".

A bound tells that what lies outside it is wrong, and that a limit beyond it holds ("over 10 %").
Inside it everything may be, so that nothing is told.
"""

from collections.abc import Callable, Sequence
from math import ceil, floor, inf, isfinite

from server.domain.base.numbers import figure_words
from server.domain.claims.backing import Judgement
from server.domain.claims.compare_amounts import range_words, within
from server.domain.claims.facts import GlassFacts, KnownNumber
from server.domain.claims.finds import Find
from server.domain.claims.spoken.share import Share
from server.domain.claims.tasting.known_bounds import OF_ALCOHOL
from server.domain.glass.figure_text import carried_digits
from server.domain.routine.tolerance import Tolerance


def by_bounds(
    find: Find,
    said: tuple[float, float],
    spoken: str,
    bounds: Sequence[KnownNumber],
    slack: float,
    unit: str,
    off: str,
) -> Judgement | None:
    """The state of a number by the bounds of what it may mean; None where there are none.

    `off` is the allowed difference in words. It is false where each bound excludes it.
    """
    if not bounds:
        return None
    for number in bounds:
        beyond = _proves(find, said, number)
        if beyond:
            told = f"{_hedged(find, spoken)}; computed {bound_words(number, unit)} {number.label}"
            return Judgement("backed", f"You say {told}, {beyond} that.")
    held = f"computed {bound_words(bounds[0], unit)} {bounds[0].label}"
    if all(_excludes(find, said, number, slack) for number in bounds):
        why = f"You say {_hedged(find, spoken)}, {held}: more than {off} off."
        return Judgement("contradicted", why)
    why = f"You say {_hedged(find, spoken)}; {held}, and no more is known."
    return Judgement("unbacked", why, is_checked=False)


def _hedged(find: Find, spoken: str) -> str:
    return spoken if find.bound == "exactly" else f"{find.bound} {spoken}"


def _proves(find: Find, said: tuple[float, float], number: KnownNumber) -> str:
    """How a bound proves a limit that is claimed ("more than"); empty where it does not."""
    if find.bound == "over" and number.low >= said[0]:
        return "no less than"
    if find.bound == "under" and number.high <= said[1]:
        return "no more than"
    return ""


def _excludes(find: Find, said: tuple[float, float], number: KnownNumber, slack: float) -> bool:
    is_under = find.bound != "over" and said[1] < number.low - slack
    is_over = find.bound != "under" and said[0] > number.high + slack
    return is_under or is_over


def bound_words(number: KnownNumber, unit: str) -> str:
    """A bound in figures: "at least 10.4 %", "at most 12 %", "between 40 and 90 °C".

    >>> bound_words(KnownNumber("strength", "in the glass", 10.42, inf, is_bound=True), "%")
    'at least 10.4 %'
    """
    low, high = _steps(floor, number.low), _steps(ceil, number.high)
    if number.high == inf:
        return f"at least {low} {unit}"
    if not isfinite(number.low) or (number.low <= 0.0 and number.kind != "temperature"):
        return f"at most {high} {unit}"
    return f"between {low} and {high} {unit}"


def _steps(rounding: Callable[[float], int], value: float) -> str:
    """A bound to one decimal, rounded away from what it excludes."""
    return figure_words(rounding(round(value * 10, 6)) / 10) if isfinite(value) else ""


def alcohol_judged(
    find: Find, facts: Sequence[GlassFacts], share: Share, tolerance: Tolerance
) -> Judgement:
    """The state of grams that are said to be of alcohol: of one glass's, or of all."""
    scale = 1000.0 if find.unit == "kg" else 1.0
    said = ((find.low or 0.0) * scale, (find.high or 0.0) * scale)
    spoken = f"{range_words(*said)} g of alcohol"
    known = [n for fact in facts for n in fact.numbers if n.unit == "g" and n.about == OF_ALCOHOL]
    each, every = known[::2], known[1::2]
    meant = each if share == "one" else every if share == "all" else known
    ratio = tolerance.about_ratio if find.bound == "about" else tolerance.amount_ratio
    off = f"{ratio * 100:g} %"
    exact = [number for number in meant if not number.is_bound]
    for number in exact:
        if within(find, said, (number.low, number.high), ratio * number.high):
            held = f"computed {_grams(number)} {number.label}"
            return Judgement("backed", f"You say {spoken}; {held}, within {off}.")
    if exact:
        held = f"computed {_grams(exact[0])} {exact[0].label}"
        return Judgement("contradicted", f"You say {spoken}, {held}: more than {off} off.")
    slack = ratio * min((number.low for number in meant), default=0.0)
    told = by_bounds(find, said, spoken, meant, slack, "g", off)
    why = f"You say {spoken}; how much there is, is not known."
    return told or Judgement("unbacked", why, is_checked=False)


def _grams(number: KnownNumber) -> str:
    digits = carried_digits(number.low, number.high, 1)
    return f"{range_words(round(number.low, digits), round(number.high, digits))} g"
