"""Ways of telling numbers without their unit that are fixed in the trade.

"Eighteen in, forty out" of a shot is grams; "forty, twenty, twenty: gin, lemon, sugar" is a recipe;
"half that" is an amount of the one before; "twelve seconds dry and twelve wet" are both times.
"""

from itertools import pairwise

from server.domain.base.tokens import places_of
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber
from server.domain.claims.spoken.bare import Bare, counted_in, ends, norms, words_before

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
    """ "twenty in, thirty-eight out", "eighteen into forty", "forty grams for eighty in the cup",
    "pulled from thirty-six": what goes in and out of a shot, in grams.
    """
    pulled = [one for one in bare.numbers if _is_pulled_from(bare, one)]
    weighed = [one for one in bare.quantities if one.kind == "amount" and one.unit == "g"]
    doses: list[tuple[int, int, float, SaidNumber | None]] = [
        (one.first, one.end, one.low, None) for one in weighed if one.low == one.high
    ]
    doses += [(one.first, one.end, one.value, one) for one in bare.numbers]
    told = sorted(doses, key=lambda one: one[0])
    for (_, end, dose, left), (first, _, mass, right) in pairwise(told):
        if right is None or not 5 <= dose <= _MOST_DOSED or not dose < mass:
            continue
        if _is_shot(bare, end, right, is_weighed=left is None):
            return [_made(one, "g") for one in (left, right) if one is not None]
        if left is not None and norms(bare, end, 1) == ["into"] and first == end + 1:
            return [_made(left, "g"), _made(right, "g")]
    return [_made(one, "g") for one in pulled]


_MOST_DOSED = 100
_CUPS = frozenset({"cup", "cups", "glass", "jug", "beaker", "server"})


def _is_shot(bare: Bare, end: int, right: SaidNumber, *, is_weighed: bool) -> bool:
    """Whether a dose that ends at `end` and a number behind it are what goes in and comes out."""
    between, behind = norms(bare, end, 2), norms(bare, right.end, 3)
    if between[:1] == ["in"] and right.first - end <= 3:
        return behind[:1] == ["out"]
    if not is_weighed:
        return False
    if behind[:1] in (["back"], ["out"]):
        return right.first - end <= _NEAR_DOSE
    is_for = between[:1] == ["for"] and right.first == end + 1
    return is_for and behind[:2] == ["in", "the"] and not _CUPS.isdisjoint(behind)


_NEAR_DOSE = 4


def _is_pulled_from(bare: Bare, number: SaidNumber) -> bool:
    before = words_before(bare, number.first, 2)
    is_dose = 5 <= number.value <= _MOST_DOSED and ends(bare, number)
    return is_dose and before[1:] == ["from"] and before[0] in ("pulled", "drawn", "extracted")


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
    """ "thirty seconds, scrape it down, ten more", "twelve seconds dry and twelve with ice", "it
    stood for ten hours and dripped for three".
    """
    told = (*bare.quantities, *([bare.timed] if bare.timed is not None else ()))
    times = sorted((one for one in told if one.kind == "time"), key=lambda one: one.first)
    found = []
    for number in bare.numbers:
        last: list[Quantity] = [one for one in times if one.end <= number.first]
        if not last:
            continue
        is_long = last[-1].low >= _HOUR_S
        if _is_rest(bare, number) if is_long else _is_round(bare, number):
            value = number.value * _unit_of(last[-1])
            found.append(counted_in(bare, number, "time", value, "s"))
    return found


_HOUR_S = 3_600


def _unit_of(time: Quantity) -> float:
    """The unit in s that a time is told in, as far as its number shows it."""
    return next((unit for unit in (3600.0, 60.0) if time.low >= unit and not time.low % unit), 1.0)


def _is_round(bare: Bare, number: SaidNumber) -> bool:
    """Whether a bare number is one more round of shaking or the like."""
    after = norms(bare, number.end, 2)
    if after in _WITH_ICE or after == ["of", "which"]:
        return True
    if after[:1] and after[0] in _ROUNDS and len(after) == 1:
        return True
    ahead = words_before(bare, number.first, 4, is_all=True)
    ahead = ahead[-(number.first - bare.first) :] if number.first > bare.first else []
    if number.first == bare.first:
        ahead = words_before(bare, number.first, 2, is_all=True)
        return not after and ahead in _BEGUN
    if after in _IN_ICE and ahead[-1:] == ["for"]:
        return True
    if after or number.value < 2:
        return False
    if ahead[-1] in (*_OR_SO, "another", *_WETS) or ahead[-2:] in _ON_ICE:
        return True
    return ahead[-1] == "for" and not _SHAKES.isdisjoint(ahead)


def _is_rest(bare: Bare, number: SaidNumber) -> bool:
    """ "… and dripped for three", behind hours."""
    ahead = words_before(bare, number.first, 2)
    return not norms(bare, number.end, 1) and ahead[1:] == ["for"] and ahead[0] in _RESTED


_WETS = frozenset({"wet", "dry"})
_SHAKES = _WETS | {"ice", "shake", "again"}
_BEGUN = (["wet", "shake"], ["dry", "shake"], *_ON_ICE)
_IN_ICE = (["in", "ice"], ["with", "ice"], ["on", "ice"], ["over", "ice"])
_RESTED = frozenset(
    {"dripped", "steeped", "stood", "rested", "sat", "drips", "steeps", "rests", "infused"}
)
