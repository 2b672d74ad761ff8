"""Amounts as a recipe writes them: a number and a unit.

US measures are those of NIST Handbook 44, Appendix C. Bar measures have no standard anywhere; they
are held with the range that common practice gives them (no source), never as an exact size.
Whatever else a person counts in ("leaf", "sprig", a word of their own) counts pieces: it has a size
only where one was given.

>>> parse_amount("1 1/2 oz"), parse_amount("45ml"), parse_amount("2 dashes")
(Amount(value=1.5, unit='oz'), Amount(value=45.0, unit='ml'), Amount(value=2.0, unit='dash'))
>>> Amount(0.5, "dash").words, Amount(6, "leaf").words, parse_amount("2 thimbles").unit
('½ dash', '6 leaves', 'thimble')
>>> round(parse_amount("1 1/2 oz").volume_ml, 4)
44.3603
"""

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated
from unicodedata import numeric

from server.domain.base.documents import Document
from server.domain.base.errors import Fault, InvalidInput, refuse_if
from server.domain.base.languages import units_of_other_languages
from server.domain.base.limits import Between, limit_faults
from server.domain.base.numbers import FRACTION_SIGNS, PATTERN, read_number, write_number

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

PIECES = (
    "piece", "leaf", "sprig", "pinch", "slice", "strip", "wedge", "cube", "twist", "pod", "bean",
    "stick", "scoop", "shot", "cup",
)  # fmt: skip
"""What is counted: each as large as one piece of that ingredient is."""

COUNTED_UNITS = ("part", *PIECES)

UNITS = (*VOLUME_UNITS, *MASS_UNITS, *BAR_MEASURES_ML, *COUNTED_UNITS)

LONGEST_OWN_UNIT = 24
_OWN_UNIT = re.compile(r"[^\W\d_]{4,}(?:-[^\W\d_]+)?")
"""A word of the person's own; up to three letters would be the slip of an abbreviation."""

_PLURALS = {"leaf": "leaves", "piece": "pieces"}

LONGEST_DECIMAL = 12
"""Characters of a decimal number that is still one; 1/3 oz has 18."""

_THOUSANDTHS = {"l": "ml", "kg": "g"}
LEAST_OF_A_THOUSAND = 0.1
"""Less of a litre or a kilogram than this is told in thousandths of it."""

LONGEST_SHARE = 6
"""Characters of the number of a share that is told as it is."""

_SPELLINGS = {
    "millilitre": "ml", "milliliter": "ml", "mil": "ml", "mls": "ml", "centilitre": "cl",
    "centiliter": "cl", "litre": "l", "liter": "l", "ounce": "oz", "fl oz": "oz",
    "gram": "g", "gramme": "g", "gr": "g", "kilogram": "kg", "kilo": "kg", "teaspoon": "tsp",
    "tablespoon": "tbsp", "bar spoon": "barspoon", "bsp": "barspoon", "pc": "piece", "pcs": "piece",
    "leave": "leaf", "leaves": "leaf",
}  # fmt: skip

_GLYPHS = {0.5: "½", 1 / 3: "⅓", 2 / 3: "⅔", 0.25: "¼", 0.75: "¾", 0.125: "⅛"}


_NUMBER = re.compile(
    r"\s*(?:(?P<whole>\d+)\s+)?(?P<num>\d+)\s*[/⁄]\s*(?P<den>\d+)"
    rf"|\s*(?P<lead>\d+)?\s*(?P<glyph>[{FRACTION_SIGNS}])"
    rf"|\s*(?P<decimal>{PATTERN})"
)


_SIZE = Between(0, 100_000, "An amount lies between 0 and 100,000.")


@dataclass(frozen=True)
class Amount(Document):
    """So much of something; `unit` is one of UNITS, or a word of the person's own for a piece."""

    value: Annotated[float, _SIZE]
    unit: str

    def __post_init__(self) -> None:
        faults = limit_faults(self, value="amount")
        if self.unit not in UNITS and not _is_own(self.unit):
            faults.append(Fault("amount", unknown_unit(self.unit)))
        refuse_if(faults)

    @property
    def counts_pieces(self) -> bool:
        """Whether it is a number of things, each with a size of its own."""
        return self.unit in PIECES or self.unit not in UNITS

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

    @property
    def summed_as(self) -> tuple[str, float]:
        """Unit and value in which amounts are summed: ml, g, or what it is counted in."""
        if self.volume_ml is not None and self.unit not in BAR_MEASURES_ML:
            return "ml", self.volume_ml
        if self.mass_g is not None:
            return "g", self.mass_g
        return self.unit, self.value

    @property
    def words(self) -> str:
        """As a recipe says it: "6 drops", "½ dash", "45 ml"; it reads back as the same amount."""
        is_decimal = self.unit in MASS_UNITS or self.unit in ("ml", "cl", "l")
        number = _number_text(self.value) if is_decimal else _spoken(self.value)
        return f"{number} {unit_words(self.unit, self.value)}"

    def shared(self, serves: int) -> "Amount":
        """One of so many equal shares, rounded to what can be read.

        A hundredth, and three digits of what is below 1; little of a litre or a kilogram in ml or
        g: 1 kg for 40 are 25 g each, not 0.03 kg.
        """
        each = Amount(self.value / serves, self.unit)
        if each.unit in _THOUSANDTHS and each.value < LEAST_OF_A_THOUSAND:
            each = Amount(round(1000 * each.value, 9), _THOUSANDTHS[each.unit])
        number = each.words.rpartition(" ")[0]
        is_short = len(number) <= LONGEST_SHARE and "/" not in number
        return each if is_short else each.rounded(2)

    def rounded(self, digits: int) -> "Amount":
        """To so many decimals, and to three digits at the least: small things are not lost."""
        small = 2 - math.floor(math.log10(self.value)) if self.value > 0 else digits
        return Amount(round(self.value, max(digits, small)), self.unit)

    def __str__(self) -> str:
        return f"{_number_text(self.value)} {self.unit}"


def unit_words(unit: str, value: float) -> str:
    """A unit beside its number: counted things have a plural."""
    is_counted = unit not in VOLUME_UNITS and unit not in MASS_UNITS
    if not is_counted or value <= 1:
        return unit
    if unit in _PLURALS:
        return _PLURALS[unit]
    return f"{unit}es" if unit.endswith(("s", "x", "z", "ch", "sh")) else f"{unit}s"


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
    value = _number(match, field)
    spelt = typed[match.end() :].strip().rstrip(".").lower()
    if not spelt:
        raise InvalidInput.of(field, f"Say {write_number(value)} of what: ml, oz, g, dash, piece …")
    unit = _unit(spelt)
    if unit is None:
        raise InvalidInput.of(field, unknown_unit(spelt))
    return Amount(value, unit)


def read_quantity(text: str, field: str = "amount") -> float:
    """The number alone that `text` is: "45", "7,5", "1 1/2", "1½".

    Raises InvalidInput on `field` for what is no such number, and for what could be two.
    """
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise InvalidInput.of(field, "Give a number.")
    return _number(match, field)


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
    known = (*VOLUME_UNITS, *MASS_UNITS, *BAR_MEASURES_ML, *COUNTED_UNITS[:3])
    return (
        f"“{spelt}” is no unit known here. Use one of: {', '.join(known)}, or a word of your own "
        "for a piece."
    )


def _spoken(value: float) -> str:
    """A number with its fraction as one sign where there is one: 1½."""
    whole = int(value)
    glyph = _GLYPHS.get(value - whole, "")
    if not glyph or (whole and whole + numeric(glyph) != value):
        return _number_text(value)
    return f"{whole or ''}{glyph}"


def _is_own(unit: str) -> bool:
    is_word = len(unit) <= LONGEST_OWN_UNIT and _OWN_UNIT.fullmatch(unit) is not None
    return is_word and unit == unit.lower() and unit == _singular(unit)


def _singular(word: str) -> str:
    """The word for one of them; a word in the singular stays."""
    for ending in ("ches", "shes", "sses", "xes", "zzes"):
        if word.endswith(ending):
            return word.removesuffix("es")
    return word if word.endswith("ss") else word.removesuffix("s")


def _number(match: re.Match[str], field: str) -> float:
    try:
        return _value_of(match.groupdict(), field)
    except (OverflowError, ValueError):  # hundreds of digits
        raise InvalidInput.of(field, _SIZE.words) from None


def _value_of(parts: dict[str, str | None], field: str) -> float:
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
    if spelt in (abroad := units_of_other_languages()):
        return abroad[spelt]
    own = _singular(spelt)
    return own if _is_own(own) else None
