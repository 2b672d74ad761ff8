"""Numbers as people write them, with a point or a comma, and as they are written back to them.

A comma before exactly three digits may mean a thousand or a decimal: where nothing else tells
which, the number is refused rather than guessed.

>>> read_number("7,5"), read_number("0,125"), read_number("1,000.5"), read_number("−2")
(7.5, 0.125, 1000.5, -2.0)
>>> write_number(62.25), write_number(1000.0), write_number(1234567.125)
('62.25', '1000', '1234567.125')
"""

import re
from decimal import Decimal

from server.domain.base.errors import InvalidInput

PATTERN = r"(?:\d|[.,](?=\d))+"
"""A number without its sign inside of other text: digits, and marks that a digit follows."""

FRACTION_SIGNS = "½⅓⅔¼¾⅛⅜⅝⅞"

MOST_DIGITS = 18
"""Of a whole number between machines: what a database keeps, and what is read in no time."""

_WHOLE = re.compile(rf"(?P<sign>[-−+]?)(?P<number>{PATTERN})")
_WITH_UNIT = re.compile(rf"{_WHOLE.pattern}\s*(?P<unit>[^\W\d][^\W\d]{{0,11}}|[°º]\s?[CFK]?|%)")
_PLAIN = re.compile(r"\d+|\d*[.,]\d+")
_TWO_WAYS = re.compile(r"[1-9]\d{0,2},\d{3}")
_THOUSANDS = (
    re.compile(r"\d{1,3}(?:,\d{3})+(?:\.\d+)?"),
    re.compile(r"\d{1,3}(?:\.\d{3})+,\d+"),
    re.compile(r"\d{1,3}(?:\.\d{3}){2,}"),
)


def read_number(text: str, field: str = "number") -> float:
    """The number meant by `text`: "40", "-2", "7,5", "0.125", "1,000.5", "1.000,5", "1,000,000".

    Raises InvalidInput on `field` for what is no number, and for what could be two: "1,000".
    """
    match = _WHOLE.fullmatch(text.strip())
    if match is None:
        raise InvalidInput.of(field, _no_number(text))
    value = _unsigned(match["number"], field)
    return -value if match["sign"] in ("-", "−") else value


def _no_number(text: str) -> str:
    with_unit = _WITH_UNIT.fullmatch(text.strip())
    return (
        f"Give the number alone, without “{with_unit['unit']}”." if with_unit else "Give a number."
    )


def figure_words(value: float) -> str:
    """A number as a sentence has it: six digits at most, a real minus sign, never "−0".

    >>> figure_words(62.5), figure_words(-4.6), figure_words(-0.0)
    ('62.5', '−4.6', '0')
    """
    return f"{value + 0.0:g}".replace("-", "−")


def read_whole(text: str) -> int | None:
    """The number that a machine wrote in digits: in a header or an address.

    None for anything else: digits of other scripts, which `int` would read or fail at, and more
    than 18 of them.

    >>> read_whole("40"), read_whole("²"), read_whole("-1"), read_whole("9" * 5000)
    (40, None, None, None)
    """
    plain = text.isascii() and text.isdecimal() and len(text) <= MOST_DIGITS
    return int(text) if plain else None


def _unsigned(text: str, field: str) -> float:
    if _TWO_WAYS.fullmatch(text):
        whole, decimal = text.replace(",", ""), text.replace(",", ".")
        raise InvalidInput.of(
            field,
            f"“{text}” can be read two ways. Write {whole} for the whole number, or {decimal}.",
        )
    if _PLAIN.fullmatch(text):
        return float(text.replace(",", "."))
    if not any(pattern.fullmatch(text) for pattern in _THOUSANDS):
        raise InvalidInput.of(
            field, f"“{text}” is no number. Write 1000.5 for a thousand and a half."
        )
    grouped = next(mark for mark in text if mark in ".,")
    return float(text.replace(grouped, "").replace(",", "."))


def write_number(value: float) -> str:
    """A number with every digit it has, as `read_number` reads it back."""
    digits = f"{Decimal(repr(float(value))):f}"
    return digits.rstrip("0").rstrip(".") if "." in digits else digits
