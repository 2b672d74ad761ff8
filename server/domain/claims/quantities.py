"""Quantities in a script: a number with its unit, as a range where two are said.

>>> from server.domain.base.tokens import tokens_of
>>> def read(text):
...     return [(q.kind, q.low, q.high, q.unit) for q in quantities_in(tokens_of(text))]
>>> read("forty mils at fifty to fifty-five degrees")
[('amount', 40.0, 40.0, 'ml'), ('temperature', 50.0, 55.0, 'C')]
>>> read("half an ounce, under ten minutes, for the four of you, 11.5 % ABV")
[('amount', 0.5, 0.5, 'oz'), ('time', 600.0, 600.0, 's'), ('serves', 4.0, 4.0, 'serve'),
 ('strength', 11.5, 11.5, '%')]
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from server.domain.base.languages import Bound, Language, supported
from server.domain.base.tokens import Token, places_of
from server.domain.claims.said_numbers import SaidNumber, is_cardinal, numbers_in
from server.domain.claims.spoken.bounds import bound_of, is_spread
from server.domain.claims.spoken.tails import is_range, tail
from server.domain.claims.spoken.units import QuantityKind, Unit, unit_at

WITH_ARTICLE = ("dash", "barspoon", "tsp", "tbsp", "oz", "l", "kg", "drop")
"""Units of which "a" means one; "a part of me" and "a piece of cake" measure nothing."""

HEARD_AS = {"to": 2.0, "too": 2.0, "for": 4.0}
"""What a speech recogniser writes for a number in English: "to ounces", "for drops"."""

MISHEARABLE = ("ml", "cl", "oz", "g", "dash", "drop", "barspoon", "tsp", "tbsp")


@dataclass(frozen=True)
class Quantity:
    """A number and its unit over the tokens `first` to `end` (exclusive).

    Times are in s, temperatures in C or F, strengths in %; amounts in a unit of `amounts`.
    `also` holds other values the words may have. `bound` is how the number was hedged.
    """

    kind: QuantityKind
    first: int
    end: int
    low: float
    high: float
    unit: str
    also: tuple[float, ...] = ()
    bound: Bound = "exactly"
    is_slip: bool = False


def quantities_in(
    tokens: Sequence[Token], language: str = "en", numbers: Sequence[SaidNumber] | None = None
) -> list[Quantity]:
    """All quantities among `tokens`, in order; `numbers` are theirs, where they are read."""
    lang = supported(language)
    numbers = numbers_in(tokens, language) if numbers is None else numbers
    starts = {number.first: number for number in numbers}
    found: list[Quantity] = []
    behind = 0
    for number in numbers:
        if number.first < behind:
            continue
        quantity = _quantity(tokens, number, starts, lang)
        if quantity is not None:
            _keep(found, quantity, tokens, lang)
            behind = quantity.end
    if lang.articles or lang.code == "other":
        found += _unnumbered(tokens, found, lang)
    return sorted(found, key=lambda quantity: quantity.first)


def _keep(
    found: list[Quantity], quantity: Quantity, tokens: Sequence[Token], lang: Language
) -> None:
    """Add a quantity; "two minutes and thirty seconds" is one."""
    last = found[-1] if found else None
    if last is not None and last.kind == quantity.kind == "time" and quantity.high < 60 <= last.low:
        between = tokens[last.end : quantity.first]
        if not between or (len(between) == 1 and between[0].norm in lang.and_part):
            low, high = last.low + quantity.low, last.high + quantity.high
            found[-1] = replace(last, end=quantity.end, low=low, high=high)
            return
    found.append(quantity)


def _quantity(
    tokens: Sequence[Token], number: SaidNumber, starts: Mapping[int, SaidNumber], lang: Language
) -> Quantity | None:
    other = _range_end(tokens, number, starts, lang)
    if other is not None:
        unit = unit_at(tokens, other.end, lang)
        if unit is not None and number.value < other.value:
            is_apart = unit[1].name == "g" and other.value >= _LEAST_WATER * number.value
            # "Dose is twenty to three hundred grams" is no range: what goes in, and the water.
            if is_apart and tokens[number.end].norm == "to":
                return _made(tokens, number, number, (number.end, unit[1]), lang)
            return _made(tokens, number, other, unit, lang)
    unit = unit_at(tokens, number.end, lang)
    if unit is not None and unit[1].name == "leaf" and _names_on(tokens, unit[0]):
        return None
    return None if unit is None else _made(tokens, number, number, unit, lang)


_LEAST_WATER = 8.0
"""Of a range in grams neither end is so many times the other."""

_OF_LEAVES = frozenset({"syrup", "tea", "cordial", "infusion", "liqueur", "spirit", "tincture"})


def _names_on(tokens: Sequence[Token], at: int) -> bool:
    """ "fifteen leaf syrup": no fifteen leaves."""
    return at < len(tokens) and not tokens[at].gap and tokens[at].norm in _OF_LEAVES


def _range_end(
    tokens: Sequence[Token], number: SaidNumber, starts: Mapping[int, SaidNumber], lang: Language
) -> SaidNumber | None:
    """The second number of "50-55", "fifty to fifty-five", "between 50 and 55", "two, three"."""
    at = number.end
    if at >= len(tokens) or (tokens[number.first].gap == ":" and not number.is_word):
        # "1:10, twelve hours": the end of a ratio begins no range.
        return None
    if at in starts and tokens[at].gap == "," and _ends_pair(tokens, number, lang):
        return None
    denied = number.first > 0 and tokens[number.first - 1].norm in lang.negators
    if at in starts:
        if tokens[at].gap == "," and starts[at].value > 2 * number.value + 1:
            # "A heavy one, fifty-four percent."
            return None
        return starts[at] if is_range(tokens[at].gap, number, starts[at], denied) else None
    is_between = number.first > 0 and tokens[number.first - 1].norm in lang.between
    joins = (*lang.range_join, *(lang.between_join if is_between else ()))
    return starts.get(at + 1) if tokens[at].norm in joins and not tokens[at].gap else None


def _ends_pair(tokens: Sequence[Token], number: SaidNumber, lang: Language) -> bool:
    """ "One to ten, fourteen hours": what ends a ratio in words begins no range either."""
    ahead = tokens[max(0, number.first - 2) : number.first]
    return len(ahead) == 2 and ahead[1].norm == "to" and is_cardinal(ahead[0].norm, lang.code)


def _made(
    tokens: Sequence[Token],
    low: SaidNumber,
    high: SaidNumber,
    unit: tuple[int, Unit],
    lang: Language,
) -> Quantity | None:
    end, what = unit
    if what.kind == "serves" and (low.value < 2 or low.value != int(low.value)):
        return None
    is_one = low.value == 1 and tokens[low.first].norm in lang.articles
    if is_one and what.name in ("part", "piece"):
        return None
    if what.kind == "time" and _is_ordinal(tokens, low):
        return None
    behind = tail(tokens, end, lang, what.factor if what.kind == "time" else None)
    end, more = behind if behind is not None and low is high else (end, 0.0)
    # Only temperatures are below nothing: "menos" before another number belongs to a hedge.
    ends = [number.value + more for number in (low, high)]
    is_shared_out = low.first > 0 and is_spread(tokens, low.first, what.kind)
    if what.kind != "temperature":
        ends = [abs(value) for value in ends]
    return Quantity(
        kind=what.kind,
        first=low.first,
        end=end,
        low=ends[0] * what.factor,
        high=ends[1] * what.factor,
        unit=what.name,
        also=tuple(value * what.factor for value in low.also) if low is high else (),
        bound="exactly" if is_shared_out else bound_of(tokens, low.first, end, lang),
    )


def _is_ordinal(tokens: Sequence[Token], number: SaidNumber) -> bool:
    """ "the third day" is no third of a day."""
    return number.end == number.first + 1 and tokens[number.first].norm in ("third", "quarter")


def _unnumbered(
    tokens: Sequence[Token], found: Sequence[Quantity], lang: Language
) -> list[Quantity]:
    """ "a dash", and what a speech recogniser made of "two ounces"."""
    if lang.code != "en":
        return []
    taken = places_of(found)
    extra = []
    for at, token in enumerate(tokens[:-1]):
        is_article = token.norm in lang.articles
        heard = HEARD_AS.get(token.norm)
        if (not is_article and heard is None) or at in taken:
            continue
        near = {each.norm for each in tokens[max(0, at - 3) : at]}
        is_limit = at > 0 and tokens[at - 1].norm == "than"
        if is_article and not token.gap and not is_limit and not near.isdisjoint(lang.negators):
            # "Fifteen, not a drop more", "you won't find a drop of cream".
            continue
        unit = unit_at(tokens, at + 1, lang)
        if unit is None or tokens[at + 1].gap or _is_stroke(tokens, unit[0]):
            continue
        end, what = unit
        if is_article and what.kind == "time":
            extra += _one_of_time(tokens, at, unit, lang)
        if what.kind != "amount":
            continue
        if is_article and (what.name in WITH_ARTICLE or _is_laid(tokens, end, what)):
            half = _half_behind(tokens, end, lang)
            value, bound = 1.5 if half else 1.0, bound_of(tokens, at, end, lang)
            extra.append(Quantity("amount", at, half or end, value, value, what.name, bound=bound))
        elif heard and what.name in MISHEARABLE and tokens[at + 1].norm.endswith("s"):
            extra.append(Quantity("amount", at, end, heard, heard, what.name, is_slip=True))
    return extra


def _is_stroke(tokens: Sequence[Token], at: int) -> bool:
    """ "she plays a drop shot"."""
    return at < len(tokens) and not tokens[at].gap and tokens[at].norm in ("shot", "shots")


def _is_laid(tokens: Sequence[Token], at: int, unit: Unit) -> bool:
    """ "a pinch of nutmeg", "a pinch each", "a sprig for each glass": beside nothing of the kind it
    is no measure.
    """
    told = at < len(tokens) and not tokens[at].gap and tokens[at].norm in _LAID
    return told and unit.name in ("pinch", *(("sprig",) if tokens[at].norm != "of" else ()))


_LAID = frozenset({"of", "each", "per", "for"})

_LASTING = (
    "for", "takes", "take", "after", "within", "under", "about", "needs", "over", "least", "most",
    "than", "it", "every", "only", "sit", "sits", "rest", "rests", "stand", "stands", "wait",
    "another", "further", "gets", "spends",
)  # fmt: skip
"""Words before "an hour" that make it a duration: "in a minute" is none."""


def _one_of_time(
    tokens: Sequence[Token], at: int, unit: tuple[int, Unit], lang: Language
) -> list[Quantity]:
    """ "for an hour", "for a minute and a half"."""
    end, what = unit
    if at == 0 or tokens[at - 1].norm not in _LASTING or what.factor not in (60.0, 3600.0, 86400.0):
        return []
    behind = tail(tokens, end, lang, what.factor)
    end, more = behind or (end, 0.0)
    value = (1 + more) * what.factor
    bound = bound_of(tokens, at, end, lang)
    return [Quantity("time", at, end, value, value, "s", bound=bound)]


def _half_behind(tokens: Sequence[Token], at: int, lang: Language) -> int | None:
    words = [token.norm for token in tokens[at : at + 3]]
    is_half = len(words) == 3 and words[0] in lang.and_part and words[1] in lang.articles
    return at + 3 if is_half and words[2] == "half" else None
