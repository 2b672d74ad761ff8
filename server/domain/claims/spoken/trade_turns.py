"""Ways of telling numbers without their unit that are fixed in the trade.

"Eighteen in, forty out" of a shot is grams; "forty, twenty, twenty: gin, lemon, sugar" is a recipe;
"half that" is an amount of the one before; "twelve seconds dry and twelve wet" are both times.
"""

from itertools import pairwise

from server.domain.base.tokens import places_of
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber
from server.domain.claims.spoken.bare import Bare, norms, words_before
from server.domain.claims.spoken.bounds import bound_of

_ML_LEAST, _ML_MOST = 5.0, 1000.0
_FACTORS = {"half": 0.5, "double": 2.0, "twice": 2.0}
_ROUNDS = frozenset({"more", "dry", "wet", "again", "cold", "with", "without"})
_OR_SO = frozenset({"sometimes", "maybe", "perhaps", "even"})
"""Before a number right behind a time: "twenty-eight seconds, sometimes thirty"."""
_ON_ICE = (["with", "ice"], ["without", "ice"], ["shake", "of"], ["the", "ice"])
_WITH_ICE = (["with", "ice"], ["without", "ice"], ["on", "ice"], ["over", "ice"], ["without", "it"])


def patterned(bare: Bare) -> list[Quantity]:
    """The quantities of a sentence that such a way of telling gives, in order."""
    if bare.lang.code != "en":
        return []
    found = _dose_and_yield(bare) or _in_order(bare)
    taken = places_of(found)
    found += [one for one in of_the_last(bare) if one.first not in taken]
    taken = places_of(found)
    found += [one for one in _more_time(bare) if one.first not in taken]
    return sorted(found, key=lambda one: one.first)


def _made(number: SaidNumber, unit: str) -> Quantity:
    return Quantity("amount", number.first, number.end, number.value, number.value, unit)


def _dose_and_yield(bare: Bare) -> list[Quantity]:
    """ "twenty in, thirty-eight out", "eighteen into forty": what goes in and out of a shot."""
    for left, right in pairwise(bare.numbers):
        between = norms(bare, left.end, 2)
        is_in = between[:1] == ["in"] and norms(bare, right.end, 1) == ["out"]
        is_in = is_in and right.first - left.end <= 3
        is_into = between[:1] == ["into"] and right.first == left.end + 1
        if (is_in or is_into) and 5 <= left.value <= 100 and left.value < right.value:
            return [_made(left, "g"), _made(right, "g")]
    return []


def _in_order(bare: Bare) -> list[Quantity]:
    """As many bare numbers in a row as names in a row behind or before them."""
    numbers = [one for one in bare.numbers if _ML_LEAST <= one.value <= _ML_MOST]
    names = [one for one in bare.mentions if one.ingredient_ids]
    several = len(numbers) == len(names) == len(bare.numbers) > 2
    if not several or bare.quantities:
        return []
    near = all(right.first - left.end <= 1 for left, right in pairwise(numbers))
    near = near and all(right.first - left.end <= 1 for left, right in pairwise(names))
    apart = numbers[-1].end <= names[0].first or names[-1].end <= numbers[0].first
    return [_made(one, "ml") for one in numbers] if near and apart else []


def of_the_last(bare: Bare) -> list[Quantity]:
    """ "half that", "double that", "a third of that": of the amount told last."""
    found: list[Quantity] = []
    if bare.lang.code != "en":
        return found
    for number in bare.numbers:
        factor = _FACTORS.get(bare.tokens[number.first].norm)
        of = [token.norm for token in bare.tokens[number.first + 1 : number.end]]
        if 0 < number.value < 1 and factor is None:
            factor = number.value
        elif factor is None or of not in ([], ["of"]):
            continue
        at = number.end + (norms(bare, number.end, 1) == ["of"])
        if norms(bare, at, 2) not in (["that"], ["that", "again"]):
            continue
        said = [one for one in bare.quantities if one.kind == "amount" and one.end <= number.first]
        last = said[-1] if said else bare.carried
        if last is not None:
            value = last.low * factor
            found.append(Quantity("amount", number.first, at + 1, value, value, last.unit))
    return found


def _more_time(bare: Bare) -> list[Quantity]:
    """ "thirty seconds, scrape it down, ten more", "twelve seconds dry and twelve with ice"."""
    told = (*bare.quantities, *([bare.timed] if bare.timed is not None else ()))
    times = sorted(
        (one for one in told if one.kind == "time" and one.low < 3600), key=lambda one: one.first
    )
    found = []
    for number in bare.numbers:
        last: list[Quantity] = [one for one in times if one.end <= number.first]
        after = norms(bare, number.end, 2)
        is_round = after in _WITH_ICE or (after[:1] and after[0] in _ROUNDS and len(after) == 1)
        another = number.first > bare.first and bare.tokens[number.first - 1].norm == "another"
        before = bare.tokens[number.first - 1].norm if number.first > bare.first else ""
        is_round = is_round or after == ["of", "which"] or (before in _OR_SO and not after)
        if not after:
            is_round = is_round or words_before(bare, number.first, 2, is_all=True) in _ON_ICE
        if last and (is_round or (another and not after)):
            factor = 60.0 if last[-1].low >= 60 and last[-1].low % 60 == 0 else 1.0
            value = number.value * factor
            bound = bound_of(bare.tokens, number.first, number.end, bare.lang)
            found.append(Quantity("time", number.first, number.end, value, value, "s", bound=bound))
    return found
