"""Numbers that are taken back in the same breath: "forty, no, fifty"; "not forty but sixty".

What is taken back claims nothing; what stands for it takes its unit where it has none of its own.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

from server.domain.base.languages import Language, supported
from server.domain.base.tokens import Token
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber

FARTHEST = 9
"""Most tokens between a number and the one that mends it."""

_DENIES = ("not", "isn't", "aren't", "wasn't", "never", "don't", "doesn't", "didn't")
_STEPS = frozenset(
    [
        "it", "it's", "that", "that's", "is", "make", "i", "a", "the", "wait", "sorry", "oh", "um",
        "uh", "es", "ist", "sind", "c'est", "es", "son", "sono", "é", "são", "beg", "your", "my",
        "not", "no", "me", "excuse", "pardon", "mean"
    ]
)  # fmt: skip
"""Small words between what takes back and the number that is meant."""


@dataclass(frozen=True)
class Mended:
    """Quantities that still hold, and the numbers (by their first token) that claim nothing."""

    quantities: tuple[Quantity, ...]
    spent: frozenset[int]
    instead: Mapping[int, SaidNumber]
    """First token of a number that has no unit -> the one it stands for, which had none either."""


def mended(
    tokens: Sequence[Token],
    numbers: Sequence[SaidNumber],
    found: Sequence[Quantity],
    lang: Language,
) -> Mended:
    """The quantities of a text without those that are taken back."""
    held = {quantity.first: quantity for quantity in found}
    inside = {at: q.first for q in found for at in range(q.first, q.end)}
    spent: set[int] = set()
    instead: dict[int, SaidNumber] = {}
    runs_on = not any(token.gap.strip("-'’") for token in tokens)
    for number, after in zip(numbers, [*numbers[1:], None][: len(numbers)], strict=True):
        first = inside.get(number.first, number.first)
        quantity = held.get(first)
        denied = _is_denied(tokens, first, lang) and (quantity is None or _is_plain(quantity))
        end = quantity.end if quantity is not None else number.end
        takes_back = after is not None and _takes_back(
            tokens, end, after.first, lang, runs_on=runs_on
        )
        if not denied and not takes_back and not _is_asked_away(tokens, end, lang):
            continue
        spent.add(number.first)
        held.pop(first, None)
        stands_for = takes_back or (denied and after is not None and after.first - end <= FARTHEST)
        if after is not None and quantity is not None and after.first not in inside and stands_for:
            held[after.first] = _instead(quantity, number, after)
            inside[after.first] = after.first
        elif after is not None and quantity is None and after.first not in inside and stands_for:
            instead[after.first] = instead.get(number.first, number)
    kept = tuple(sorted(held.values(), key=lambda quantity: quantity.first))
    return Mended(kept, frozenset(spent), instead)


def _is_plain(quantity: Quantity) -> bool:
    return quantity.bound in ("exactly", "about")


def _is_denied(tokens: Sequence[Token], first: int, lang: Language) -> bool:
    """ "not forty": the number itself is denied."""
    if first == 0 or tokens[first].gap.strip("-"):
        return False
    before = tokens[first - 1].norm
    return before in (_DENIES if lang.code == "en" else ("nicht", "pas", "non", "não"))


def _is_asked_away(tokens: Sequence[Token], end: int, lang: Language) -> bool:
    """ "Ten seconds? No, …"."""
    asked = end < len(tokens) and "?" in tokens[end].gap
    return asked and tokens[end].norm in (*lang.negators, *lang.mends[:1])


def _takes_back(
    tokens: Sequence[Token], end: int, first: int, lang: Language, *, runs_on: bool
) -> bool:
    """Whether between two numbers stands a word like "sorry", behind a pause.

    Where text runs on without any mark no pause is seen.
    """
    if first - end > FARTHEST or first <= end:
        return False
    for at in range(end, first):
        if not tokens[at].gap.strip("-'") and not runs_on:
            continue
        for phrase in _mends(lang.code).get(tokens[at].norm, ()):
            stop = at + len(phrase)
            said = tuple(token.norm for token in tokens[at:stop])
            # "… lime. Sorry, thirty of syrup": behind a full stop only "no" takes back.
            if set(tokens[at].gap) & set(".\n!") and phrase != ("no",):
                continue
            # "no more than twenty" goes on; "no, twenty" and "no twenty" take back.
            goes_on = phrase == ("no",) and stop < first and not tokens[stop].gap and not runs_on
            if said == phrase and not goes_on and _leads_on(tokens, stop, first):
                return True
    return False


def _leads_on(tokens: Sequence[Token], at: int, first: int) -> bool:
    return all(token.norm in _STEPS or token.norm == "of" for token in tokens[at:first])


def _instead(old: Quantity, number: SaidNumber, new: SaidNumber) -> Quantity:
    factor = old.high / number.value if number.value else 1.0
    value = abs(new.value * factor)
    return replace(
        old, first=new.first, end=new.end, low=value, high=value, also=(), bound="exactly"
    )


@cache
def _mends(code: str) -> Mapping[str, tuple[tuple[str, ...], ...]]:
    phrases = [tuple(phrase.split()) for phrase in supported(code).mends]
    phrases.sort(key=len, reverse=True)
    return {
        phrase[0]: tuple(each for each in phrases if each[0] == phrase[0]) for phrase in phrases
    }
