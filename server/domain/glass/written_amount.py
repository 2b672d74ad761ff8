"""The amount in a line of a recipe, as people write it: "1½ oz", "half an ounce", "2 to 3 dashes".

>>> without_amount("juice of half a lemon")[0].amount.words, without_amount("2 egg whites")[1]
('½ piece', 'egg whites')
"""

import re
from dataclasses import dataclass

from server.domain.base.amounts import Amount, parse_amount, read_quantity
from server.domain.base.errors import InvalidInput
from server.domain.base.languages import units_of_other_languages
from server.domain.base.numbers import FRACTION_SIGNS, write_number

NUMBER_WORDS: dict[str, float] = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8,
    "nine": 9, "ten": 10, "eleven": 11, "twelve": 12,
}  # fmt: skip

_PARTS = {
    "half": 0.5, "third": 1 / 3, "quarter": 0.25, "two thirds": 2 / 3, "three quarters": 0.75,
    "one half": 0.5, "one third": 1 / 3, "one quarter": 0.25, "eighth": 0.125,
}  # fmt: skip

_LOOSE = {"a couple of": 2.0, "a couple": 2.0, "a few": 3.0}
"""Numbers that say no number, as they are taken; that is told beside a few."""

_WORD = "|".join(NUMBER_WORDS)
_PART = "|".join(word.replace(" ", "[ -]") for word in sorted(_PARTS, key=len, reverse=True))
_NUMBER = (
    rf"(?:\d+(?:\s+|\s*-\s*)\d+\s*[/⁄]\s*\d+|\d+\s*[/⁄]\s*\d+|\d*\s*[{FRACTION_SIGNS}]"
    r"|\d+(?:[.,]\d+)?|[.,]\d+"
    rf"|(?:(?:{_WORD}|an?)\s+and\s+)?(?:an?\s+)?(?:{_PART})(?:\s+of)?(?:\s+an?)?\b"
    rf"|(?:{_WORD})\b|a\s+couple(?:\s+of)?\b|a\s+few\b|an?\b(?=\s))"
)
_BETWEEN = r"\s*(?:-|–|—|to|or|bis)\s*"
_ABOUT = r"(?:about|around|approx(?:imately)?\.?|ca\.?|circa|roughly|scant|generous|~|≈)\s*"
_HEAPED = r"(?:good|generous|big|large|small|tiny|healthy|little|heap(?:ed|ing)|level|scant)"
_UNIT_WORDS = (
    "millilit(?:re|er)s?|mls?|mil|centilit(?:re|er)s?|cl|lit(?:re|er)s?|l|fl\\.?\\s*oz\\.?|"
    "fluid\\s+ounces?|ounces?|oz\\.?|grams?|grammes?|gr?|kilo(?:gram)?s?|kg|teaspoons?|tsps?\\.?|"
    "tablespoons?|tbsps?\\.?|bar\\s?-?\\s?spoons?|bsp\\.?|dash(?:es)?|drops?|parts?|pinch(?:es)?|"
    "pcs?\\.?|leaves|leaf|pieces?|sprigs?|slices?|strips?|wedges?|cubes?|twists?|pods?|beans?|"
    "sticks?|scoops?|shots?|cups?|handfuls?|squeezes?|swathes?|discs?|coins?|wheels?|knobs?|squirts?"
)
_ABROAD = "|".join(sorted(map(re.escape, units_of_other_languages()), key=len, reverse=True))
_UNIT = rf"(?P<unit>(?:{_UNIT_WORDS}|{_ABROAD}))(?![\w'’])\.?"
STARTS_WITH_AMOUNT = rf"(?:{_ABOUT})?{_NUMBER}(?:{_BETWEEN}{_NUMBER})?\s*(?![\d%°\s])"
"""A pattern for where an amount begins, not a strength."""

_SIZE = rf"(?P<about>{_ABOUT})?(?P<first>{_NUMBER})(?:{_BETWEEN}(?P<second>{_NUMBER}))?"
_MEASURE = re.compile(rf"{_SIZE}\s*-?\s*(?:(?P<heaped>{_HEAPED})\s+)?{_UNIT}", re.IGNORECASE)
_COUNT = re.compile(rf"^{_SIZE}\s*(?:x\s+|×\s*)?(?![%°\d\w]*\s*%)(?=\s*[^\W\d_])", re.IGNORECASE)
_JUICE = re.compile(
    rf"^(?:the\s+)?juice\s+(?:of|from)\s+(?P<first>{_NUMBER})\s*(?P<fruit>[^\W\d_]+)", re.I
)
_ONE_OF_IT = re.compile(r"(?:pinch|dash|drop|barspoon|sprig|slice|strip|twist|wedge)\s", re.I)
"""How a line begins that leaves its "a" out: "Pinch of salt"."""
_OWN = re.compile(r"(?P<unit>[^\W\d_]+)\s+of\s+", re.IGNORECASE)
_NAMES_ITS_PIECE = re.compile(r"(?:beans?|pods?|sticks?|leaf|leaves|cubes?|twists?|shots?)$", re.I)
_CUPS_DIFFER = "Cups differ: say in ml how much that is."
"""236.6 ml in the US (8 fl oz, NIST Handbook 44, Appendix C), 250 ml elsewhere, and an espresso cup
is neither."""
_BRACKETED = re.compile(r"\(\s*(?:=|≈|~|or|about)?\s*[^()]*\)")


@dataclass(frozen=True)
class WrittenAmount:
    """An amount that was read, and how it was taken where it is not plain."""

    amount: Amount
    note: str = ""


def without_amount(text: str) -> tuple[WrittenAmount | None, str]:
    """The amount in a line, and the line without it; None where no amount is written."""
    found = _juice_of(text) or _measured(text) or _counted(text)
    if found is None and _ONE_OF_IT.match(text):
        found = _measured(f"1 {text}")
    return found or (None, text)


def _juice_of(text: str) -> tuple[WrittenAmount, str] | None:
    match = _JUICE.match(text)
    value = None if match is None else _value(match["first"])
    if match is None or value is None:
        return None
    fruit = match["fruit"].lower().removesuffix("s")
    note = "Counted in fruits: say in ml how much juice that is."
    return _written(value, None, "piece", "", note, f"{fruit} juice{text[match.end() :]}")


def _measured(text: str) -> tuple[WrittenAmount, str] | None:
    """A number with its unit, wherever it stands."""
    for match in _MEASURE.finditer(text):
        before = text[: match.start()]
        if before and (before[-1].isalnum() or before[-1] in "/.,%"):
            continue
        rest = _joined(before, _without_second(text[match.end() :]))
        if not any(letter.isalpha() for letter in rest):
            # "6 mint leaves" has its unit behind the name; "2 egg whites" has none.
            rest = match["unit"]
        low, high = _value(match["first"]), _value(match["second"] or match["first"])
        about = match["about"] or match["heaped"] or ""
        unit = _unit(match["unit"])
        note = _CUPS_DIFFER if unit == "cup" else _few(match["first"])
        found = _written(low, high, unit, about, note, rest)
        if found:
            return found
    return None


def _few(number: str) -> str:
    """What to tell of a number that says none."""
    is_few = number.lower().split() == ["a", "few"]
    return f"“A few” is taken as {write_number(_LOOSE['a few'])}." if is_few else ""


def _counted(text: str) -> tuple[WrittenAmount, str] | None:
    """A number without a unit before a name counts pieces, or the leaves and sticks it names."""
    match = _COUNT.match(text)
    if match is None:
        return None
    rest = text[match.end() :].strip()
    low, high = _value(match["first"]), _value(match["second"] or match["first"])
    own = _OWN.match(rest)
    if own and _unit(own["unit"]):
        # "2 thimbles of plum wine": a word of the person's own.
        return _written(low, high, _unit(own["unit"]), match["about"] or "", "", rest[own.end() :])
    last = re.split(r"[,(]", rest, maxsplit=1)[0].split()[-1:] or [""]
    unit = _unit(last[0]) if _NAMES_ITS_PIECE.fullmatch(last[0]) else "piece"
    return _written(low, high, unit, match["about"] or "", _few(match["first"]), rest)


def _written(
    low: float | None, high: float | None, unit: str | None, about: str, note: str, rest: str
) -> tuple[WrittenAmount, str] | None:
    high = low if high is None else high
    if low is None or high is None or unit is None:
        return None
    try:
        amount = Amount((low + high) / 2, unit)
    except InvalidInput:
        return None
    if low != high and not note:
        note = f"{write_number(low)} to {write_number(high)}: taken as {amount.words}."
    if about.strip() and not note:
        note = f"“{about.strip()}” is left out."
    return WrittenAmount(amount, note), rest


def _unit(spelt: str) -> str | None:
    plain = " ".join(spelt.lower().replace(".", "").replace("-", " ").split())
    plain = {"fluid ounce": "oz", "fluid ounces": "oz", "floz": "oz"}.get(plain, plain)
    plain = plain.replace("bar spoon", "barspoon").replace("fl oz", "oz")
    try:
        return parse_amount(f"1 {plain}").unit
    except InvalidInput:
        return None


def _value(text: str) -> float | None:
    """The number in words or figures."""
    plain = " ".join(text.lower().split())
    try:
        # "1-1/2" is one number, like "1 1/2".
        return read_quantity(re.sub(r"(?<=\d) ?- ?(?=\d+ ?[/⁄])", " ", plain))
    except InvalidInput:
        return _in_words(plain)


def _in_words(plain: str) -> float | None:
    """Half an ounce, one and a half, three quarters of, two, a couple of, a."""
    if plain in _LOOSE:
        return _LOOSE[plain]
    whole, _, part = plain.rpartition(" and ")
    part = re.sub(r"^an?\s+|(?:\s+of)?(?:\s+an?)?$", "", part.replace("-", " ")).strip()
    size = _PARTS.get(part, NUMBER_WORDS.get(part, 1.0 if plain in ("a", "an") else None))
    if size is None:
        return None
    return size + (NUMBER_WORDS.get(whole, 1.0) if whole else 0.0)


def _without_second(rest: str) -> str:
    """What follows an amount, without the same amount in another unit in brackets."""
    match = _BRACKETED.match(rest.lstrip())
    if match and _MEASURE.search(match[0]):
        return rest.lstrip()[match.end() :]
    again = re.match(rf"\s*/\s*{_SIZE}\s*-?\s*{_UNIT}", rest, re.IGNORECASE)
    return rest[again.end() :] if again else rest


def _joined(before: str, after: str) -> str:
    before = re.sub(r"[\s(:=–—-]+$", "", before)
    after = re.sub(r"^\s*\)", "", after)
    return f"{before} {after}".strip()
