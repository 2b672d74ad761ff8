"""Numbers that stand side by side where no mark was written, and the counting aloud of hands.

>>> from server.domain.base.tokens import tokens_of
>>> from server.domain.claims.said_numbers import numbers_in
>>> def read(text):
...     tokens = tokens_of(text)
...     return [one.value for one in parted(tokens, numbers_in(tokens))]
>>> read("the soda three hundred and twenty four degrees"), read("honey thirty one to one")
([320.0, 4.0], [30.0, 1.0, 1.0])
>>> read("forty five degrees"), read("thirty-one to one")
([45.0], [31.0, 1.0])
"""

from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import pairwise, zip_longest

from server.domain.base.tokens import Token
from server.domain.claims.said_numbers import SaidNumber, cardinal

HOTTEST_C = 110.0
"""Nothing at a bar is hotter: more degrees are an amount and a temperature, said in one breath."""

FEWEST_COUNTED = 3
_RATIO = ("to", "part", "parts")


def parted(tokens: Sequence[Token], numbers: Sequence[SaidNumber]) -> list[SaidNumber]:
    """English numbers, those taken apart that are two: "twenty four degrees" behind hundreds,
    "thirty one to one".
    """
    found: list[SaidNumber] = []
    for number, after in zip_longest(numbers, numbers[1:]):
        found += _two(tokens, number, after) or [number]
    return found


def _two(tokens: Sequence[Token], number: SaidNumber, after: SaidNumber | None) -> list[SaidNumber]:
    last = number.end - 1
    if not number.is_word or number.end - number.first < 2 or tokens[last].gap:
        return []
    small = cardinal(tokens[last].norm, "en")
    if small is None or not 1 <= small <= 20 or number.end >= len(tokens):
        return []
    behind = tokens[number.end].norm
    is_hot = behind in ("degrees", "degree") and number.value > HOTTEST_C
    is_ratio = (
        behind in _RATIO
        and after is not None
        and after.first - number.end <= 3
        and small in (1, 2, 3)
        and after.value in (1, 2)
        and 20 < number.value < 1_000
    )
    if not is_hot and not is_ratio:
        return []
    cut = last - (tokens[last - 1].norm == "and")
    rest = cardinal(" ".join(token.norm for token in tokens[number.first : cut]), "en")
    if tokens[number.first].norm == "a":
        rest = cardinal(" ".join(token.norm for token in tokens[number.first + 1 : cut]), "en")
    if rest is None:
        return []
    return [
        replace(number, end=cut, value=float(rest), also=()),
        SaidNumber(last, number.end, float(small)),
    ]


def counted_aloud(
    tokens: Sequence[Token], numbers: Sequence[SaidNumber], busy: Collection[int]
) -> set[int]:
    """The first tokens of numbers that hands count by: "one, two, three, four"."""
    found: set[int] = set()
    run: list[SaidNumber] = []
    taken = set(busy)
    for left, right in pairwise(numbers):
        between = [token.norm for token in tokens[left.end : right.first]]
        follows = right.value == left.value + 1 and between in ([], ["and"])
        is_free = left.first not in taken and right.first not in taken
        run = [*(run or [left]), right] if follows and is_free else []
        if len(run) >= FEWEST_COUNTED:
            found |= {one.first for one in run}
    return found
