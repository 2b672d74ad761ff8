"""Numbers whose unit is said elsewhere, or goes without saying.

"Sixty millilitres of tea, ten of syrup", "gin and lime: forty and twenty millilitres", "the coffee
is at eighty" behind a temperature, "minus four", "a gin at forty-six".
"""

from collections.abc import Sequence
from dataclasses import replace

from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber
from server.domain.claims.spoken import small_words as small
from server.domain.claims.spoken.apiece import (
    COUNTABLE,
    LEAST_SHARE,
    is_each_one,
    is_of_glass,
    is_share,
    is_shared_out,
    is_worked_out,
)
from server.domain.claims.spoken.bare import (
    GOES_ON,
    Bare,
    as_ranges,
    begins_at,
    below_zero,
    closes,
    degrees_below,
    ends,
    norms,
    strength,
    warmth,
    word_before,
)
from server.domain.claims.spoken.bounds import bound_of

LENT = ("amount", "temperature", "strength")
"""Kinds of quantities that lend their unit to a bare number."""


def elliptic(bare: Bare) -> list[Quantity]:
    """The quantities that bare numbers of a sentence stand for, in order."""
    found: list[Quantity] = _unitless(bare)
    if found:
        return found
    for number in reversed(bare.numbers):
        quantity = (
            below_zero(bare, number)
            or degrees_below(bare, number)
            or strength(bare, number)
            or warmth(bare, number)
            or _lent(bare, found, number)
        )
        if quantity is not None:
            found.insert(0, quantity)
    return as_ranges(bare, found)


def _unitless(bare: Bare) -> list[Quantity]:
    """ "Thirty lemon, twenty caraway, forty egg white": a recipe that names no unit at all."""
    lends = bare.carried is not None or any(each.kind in LENT for each in bare.quantities)
    if lends:
        return []
    fewest = 1 if bare.end - bare.first <= _SHORTEST else _FEWEST_NAMED
    if fewest > 1 and any(_is_by_itself(bare, one) for one in bare.numbers):
        fewest = 1
    named = [
        number
        for number in bare.numbers
        if LEAST_SHARE <= number.value <= _MOST_ML
        and word_before(bare, number) not in ("at", "to", "of", "from")
        and _is_named(bare, number)
    ]
    if len(named) < fewest:
        return []
    return [_with_unit(bare, number, _ML) for number in named]


_FEWEST_NAMED = 2
_SHORTEST = 3
"""So many words are nothing but a name and its number: "Gin, forty."."""
_MOST_ML = 1000.0
_ML = Quantity("amount", 0, 0, 0.0, 0.0, "ml")
"""What an amount is told in where nobody says so."""


def _lent(bare: Bare, later: Sequence[Quantity], number: SaidNumber) -> Quantity | None:
    """The number with the unit of another quantity, where its place shows that it is one more."""
    if _is_no_measure(bare, number):
        return None
    named = _is_named(bare, number)
    listed = _next_in_list(bare, later, number)
    if listed is not None:
        return _with_unit(bare, number, listed)
    whole = _amount_before(bare, later, number)
    if whole is not None and is_worked_out(bare, number, whole):
        return _with_unit(bare, number, whole)
    source = _lender(bare, later, number)
    if is_each_one(bare, number, whole):
        return _with_unit(bare, number, whole or _ML)
    if source is not None and source.kind != "amount" and is_shared_out(bare, number):
        return _with_unit(bare, number, _ML)
    if named and source is not None and _is_of_other_kind(bare, source, number):
        source = None
    if source is None:
        several = sum(_is_named(bare, one) for one in bare.numbers) >= _FEWEST_NAMED
        carries = named and bare.carried is not None and (_is_fragment(bare, number) or several)
        carries = carries or _is_after_name(bare, number) or _is_on_scale(bare, number)
        carries = carries or is_share(bare, number, named)
        if is_of_glass(bare, number):
            is_ml = bare.carried is not None and bare.carried.unit != "g"
            return _with_unit(bare, number, (is_ml and bare.carried) or _ML)
        return _with_unit(bare, number, bare.carried) if carries and bare.carried else None
    if not _may_stand(bare, number):
        return None
    if named or _is_shared(bare, number, source):
        return _with_unit(bare, number, source)
    return None


def _is_no_measure(bare: Bare, number: SaidNumber) -> bool:
    """ "at half the dose", "it's at water, and a half"; "I'm at thirty-eight": of a person."""
    told = [one.unit for one in (*bare.quantities, *([bare.carried] if bare.carried else ()))]
    if 0 < number.value < 1 and _SMALL_UNITS.isdisjoint(told):
        return True
    before = [token.norm for token in bare.tokens[max(bare.first, number.first - 2) : number.first]]
    return before[1:] == ["at"] and before[0] in ("i'm", "we're", "you're")


_SMALL_UNITS = frozenset({"oz", "tsp", "tbsp", "barspoon", "dash", "l", "part", "kg", "drop"})
"""What is told in halves; nobody says "half" of a millilitre or a degree."""


def _amount_before(bare: Bare, later: Sequence[Quantity], number: SaidNumber) -> Quantity | None:
    """The last amount said before a number, in its sentence or in those before."""
    amounts = [q for q in (*bare.quantities, *later) if q.kind == "amount"]
    before = [q for q in amounts if q.end <= number.first]
    return max(before, key=lambda q: q.first, default=bare.carried)


def _is_of_other_kind(bare: Bare, source: Quantity, number: SaidNumber) -> bool:
    """ "Vermouth, fifty, at sixteen": a strength that follows lends nothing to an amount."""
    says_at = word_before(bare, number) in ("at", "to", "is")
    is_behind = source.first >= number.end and source.kind != "amount"
    return is_behind and not says_at and bare.carried is not None


def _lender(bare: Bare, later: Sequence[Quantity], number: SaidNumber) -> Quantity | None:
    """The quantity whose unit is meant: before it in the sentence, else behind it.

    "At" speaks of temperatures and strengths, "of" of amounts, where the sentence has both.
    """
    every = [q for q in (*bare.quantities, *later) if q.kind in LENT]
    before = [q for q in every if q.end <= number.first]
    behind = [q for q in every if q.first >= number.end]
    ordered = [*reversed(before), *behind]
    says_at = word_before(bare, number) in ("at", "to", "auf", "bei")
    says_of = norms(bare, number.end, 1)[:1] and norms(bare, number.end, 1)[0] in small.OF
    if says_of:
        ordered.sort(key=lambda q: q.kind != "amount")
    elif says_at:
        ordered.sort(key=lambda q: q.kind == "amount")
    return ordered[0] if ordered else None


def _is_named(bare: Bare, number: SaidNumber) -> bool:
    """Whether an ingredient stands right behind it ("ten of syrup") or before it ("tea, ten")."""
    if norms(bare, number.end, 2) == ["of", "water"]:
        return True
    behind = _past(bare, _past(bare, number.end, small.OF), small.ARTICLES)
    for mention in bare.mentions:
        if not mention.ingredient_ids:
            continue
        if mention.first == behind and _is_open(bare, number.end, mention.first):
            return number.value != 1 or behind > number.end
        if mention.end <= number.first and _leads_to(bare, mention.end, number.first):
            return number.value != 1
    return False


def _leads_to(bare: Bare, at: int, first: int) -> bool:
    """ "tea, sixty", "the tea is at sixty", "lime at twenty"."""
    between = [token.norm for token in bare.tokens[at:first]]
    return len(between) <= 3 and all(word in small.IS or word == "and" for word in between)


def _is_shared(bare: Bare, number: SaidNumber, source: Quantity) -> bool:
    """ "… in and thirty-six out", "so sixty for the two", "cooled down to five"."""
    if source.end > number.first:
        return False
    after, before = norms(bare, number.end, 1), word_before(bare, number)
    if source.kind == "temperature" and before in small.HEDGES and number.first - 2 >= bare.first:
        # "It has maybe seventy."
        before = bare.tokens[number.first - 2].norm
        if before == "has":
            return ends(bare, number)
    is_one = number.value == 1 and number.is_word
    if source.kind == "amount":
        if is_one or before in ("at", "to", "from", "or"):
            return False
        if after and after[0] in small.SHARED:
            return True
        return (before in small.TAKES or before == "") and ends(bare, number)
    return before in small.TO and ends(bare, number)


def _next_in_list(bare: Bare, later: Sequence[Quantity], number: SaidNumber) -> Quantity | None:
    """The quantity that a list of numbers runs into: "sixty, forty and twenty millilitres"."""
    at = number.end
    if number.value == 1 and number.is_word:
        return None
    if at < bare.end and bare.tokens[at].norm in ("and", "und", "et", "y", "e"):
        at += 1
    elif at >= bare.end or bare.tokens[at].gap != ",":
        return None
    following = (*bare.quantities, *later)
    return next((q for q in following if q.first == at and q.kind in LENT), None)


def _with_unit(bare: Bare, number: SaidNumber, source: Quantity) -> Quantity:
    bound = bound_of(bare.tokens, number.first, number.end, bare.lang)
    if source.unit in COUNTABLE and number.value >= _LEAST_ML:
        # "Four drops of salt, then soda, ninety each": nobody counts so many drops.
        source = _ML
    return replace(
        source,
        first=number.first,
        end=number.end,
        low=number.value,
        high=number.value,
        also=number.also,
        bound=bound,
        is_slip=False,
    )


_LEAST_ML = 15.0


def _may_stand(bare: Bare, number: SaidNumber) -> bool:
    """Whether what follows is not something that the number counts."""
    after = norms(bare, number.end, 1)
    if not after or after[0] in GOES_ON or after[0] in small.OF or after[0] in small.SHARED:
        return True
    return any(m.first == number.end and m.ingredient_ids for m in bare.mentions)


def _is_after_name(bare: Bare, number: SaidNumber) -> bool:
    """ "And lime. Twenty, no more.": a number that begins the sentence behind a name."""
    return bare.is_named_before and number.first == bare.first and not norms(bare, number.end, 1)


def _is_on_scale(bare: Bare, number: SaidNumber) -> bool:
    """ "until the scale says three hundred"."""
    near = {token.norm for token in bare.tokens[max(bare.first, number.first - 4) : number.first]}
    return "scale" in near and ends(bare, number)


def _is_fragment(bare: Bare, number: SaidNumber) -> bool:
    """A short piece that is nothing but a name and its number."""
    is_short = bare.end - bare.first <= 8 and _may_stand(bare, number)
    return is_short or _is_by_itself(bare, number)


def _is_by_itself(bare: Bare, number: SaidNumber) -> bool:
    """ "Second: the weight. Agave syrup, thirty; it's …": a name and its number between marks."""
    names = {one.end: one.first for one in bare.mentions if one.ingredient_ids}
    begin = names.get(number.first, bare.end)
    at = begins_at(bare, number)
    at += at < begin and bare.tokens[at].norm in small.ARTICLES
    return closes(bare, number) and begin == at


def _past(bare: Bare, at: int, words: frozenset[str]) -> int:
    return at + 1 if at < bare.end and bare.tokens[at].norm in words else at


def _is_open(bare: Bare, at: int, first: int) -> bool:
    return not any(token.gap.strip("-'") for token in bare.tokens[at : first + 1])
