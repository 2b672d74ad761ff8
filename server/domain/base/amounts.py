"""Amounts as a recipe writes them: a number and a unit.

US measures are those of NIST Handbook 44, Appendix C. Bar measures have no standard anywhere; they
are held with the range that common practice gives them (no source), never as an exact size.

>>> parse_amount("1 1/2 oz"), parse_amount("45ml"), parse_amount("2 dashes")
(Amount(value=1.5, unit='oz'), Amount(value=45.0, unit='ml'), Amount(value=2.0, unit='dash'))
>>> round(parse_amount("1 1/2 oz").volume_ml, 4)
44.3603
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated
from unicodedata import numeric

from pydantic import ConfigDict, Field

from server.domain.base.errors import Fault, InvalidInput, refuse_if
from server.domain.base.numbers import PATTERN, read_number, write_number

FLUID_OUNCE_ML = 231 * 16.387064 / 128
"""The US fluid ounce, exact: a gallon of 231 cubic inches has 128 (NIST Handbook 44, Appendix C),
an inch is 2.54 cm. A recipe's "oz" is this one."""

VOLUME_UNITS = {
    "ml": 1.0,
    "cl": 10.0,
    "l": 1000.0,
    "oz": FLUID_OUNCE_ML,
    "tsp": FLUID_OUNCE_ML / 6,
    "tbsp": FLUID_OUNCE_ML / 2,
}
"""Unit of volume -> its ml."""

MASS_UNITS = {"g": 1.0, "kg": 1000.0}
"""Unit of mass -> its g."""

BAR_MEASURES_ML = {"dash": (0.8, 0.9), "barspoon": (2.5, 5.0), "drop": (0.05, 0.05)}
"""Common practice, no source: lowest and highest volume in use, ml."""

COUNTED_UNITS = ("part", "piece")

UNITS = (*VOLUME_UNITS, *MASS_UNITS, *BAR_MEASURES_ML, *COUNTED_UNITS)

LONGEST_DECIMAL = 12
"""Characters of a decimal number that is still one; 1/3 oz has 18."""

_SPELLINGS = {
    "millilitre": "ml", "milliliter": "ml", "mil": "ml", "mls": "ml", "centilitre": "cl",
    "centiliter": "cl", "litre": "l", "liter": "l", "ounce": "oz", "fl oz": "oz",
    "gram": "g", "gramme": "g", "gr": "g", "kilogram": "kg", "kilo": "kg", "teaspoon": "tsp",
    "tablespoon": "tbsp", "bar spoon": "barspoon", "bsp": "barspoon", "pc": "piece", "pcs": "piece",
}  # fmt: skip

_NUMBER = re.compile(
    r"\s*(?:(?P<whole>\d+)\s+)?(?P<num>\d+)\s*[/⁄]\s*(?P<den>\d+)"
    r"|\s*(?P<lead>\d+)?\s*(?P<glyph>[½⅓⅔¼¾⅛⅜⅝⅞])"
    rf"|\s*(?P<decimal>{PATTERN})"
)


@dataclass(frozen=True)
class Amount:
    """So much of something; `unit` is one of UNITS."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    value: Annotated[float, Field(ge=0, le=100_000)]
    unit: str

    def __post_init__(self) -> None:
        faults = []
        if not 0 <= self.value <= 100_000:
            faults.append(Fault("amount", "An amount lies between 0 and 100,000."))
        if self.unit not in UNITS:
            faults.append(Fault("amount", unknown_unit(self.unit)))
        refuse_if(faults)

    @property
    def volume_ml(self) -> float | None:
        """The volume in ml (bar measures at the middle of their range); None if not a volume."""
        if self.unit in VOLUME_UNITS:
            return self.value * VOLUME_UNITS[self.unit]
        if self.unit in BAR_MEASURES_ML:
            low_ml, high_ml = BAR_MEASURES_ML[self.unit]
            return self.value * (low_ml + high_ml) / 2
        return None

    @property
    def mass_g(self) -> float | None:
        """The mass in g where the unit is a mass; None otherwise."""
        if self.unit in MASS_UNITS:
            return self.value * MASS_UNITS[self.unit]
        return None

    def __str__(self) -> str:
        return f"{_number_text(self.value)} {self.unit}"


def parse_amount(text: str, field: str = "amount") -> Amount:
    """The amount meant by `text`: "45 ml", "1 1/2 oz", "¾ oz", "2 dashes", "7,5 g".

    Raises InvalidInput on `field` for a text without a number, without a unit, or with a unit
    that is not known.
    """
    typed = text.strip()
    if typed.startswith(("-", "−")):
        raise InvalidInput.of(field, "An amount cannot be negative.")
    match = _NUMBER.match(typed)
    if match is None:
        raise InvalidInput.of(field, "Start with a number, for example 45 ml.")
    try:
        value = _number(match.groupdict(), field)
    except (OverflowError, ValueError):  # hundreds of digits
        raise InvalidInput.of(field, "An amount lies between 0 and 100,000.") from None
    spelt = typed[match.end() :].strip().rstrip(".").lower()
    if not spelt:
        raise InvalidInput.of(field, f"Say {write_number(value)} of what: ml, oz, g, dash, piece …")
    unit = _unit(spelt)
    if unit is None:
        raise InvalidInput.of(field, unknown_unit(spelt))
    return Amount(value, unit)


def _number_text(value: float) -> str:
    """Every digit, so that it is the same when it is saved again; thirds as the fraction typed."""
    text = write_number(value)
    if len(text) <= LONGEST_DECIMAL:
        return text
    whole = int(value)
    part = Fraction(value - whole).limit_denominator(12)
    is_fraction = 0 < part < 1 and whole + float(part) == value
    return f"{whole or ''} {part}".strip() if is_fraction else text


def unknown_unit(spelt: str) -> str:
    """The sentence for a unit that is not known."""
    return f"“{spelt}” is no unit known here. Use one of: {', '.join(UNITS)}."


def _number(parts: dict[str, str | None], field: str) -> float:
    if parts["den"] is not None:
        if int(parts["den"]) == 0:
            raise InvalidInput.of(field, "A fraction cannot have 0 below the line.")
        return int(parts["whole"] or 0) + float(Fraction(f"{parts['num']}/{parts['den']}"))
    if parts["glyph"] is not None:
        return int(parts["lead"] or 0) + numeric(parts["glyph"])
    return read_number(parts["decimal"] or "0", field)


def _unit(spelt: str) -> str | None:
    singular = [spelt, spelt.removesuffix("s"), spelt.removesuffix("es")]
    for form in singular:
        if form in UNITS:
            return form
        if form in _SPELLINGS:
            return _SPELLINGS[form]
    return None
