"""A recipe pasted as lines, read: amounts, names, strengths, and what was not understood.

>>> found = read_recipe("For 2: 45 ml whisky 43 %, 20 g white sugar, 2 dashes bitters")
>>> found.serves, [(line.amount.words, line.name, line.abv_percent) for line in found.lines]
(2, [('45 ml', 'whisky', 43.0), ('20 g', 'white sugar', None), ('2 dashes', 'bitters', None)])
>>> read_recipe("30 ml pear brandy 40 %, gives ripe pear, honey").lines[0].gives
('ripe pear', 'honey')
"""

import re
from dataclasses import dataclass

from server.domain.base.amounts import Amount
from server.domain.base.durations import HOURS, MINUTES, SECONDS
from server.domain.glass.library_match import Match, matches
from server.domain.glass.written_amount import (
    NUMBER_WORDS,
    STARTS_WITH_AMOUNT,
    WrittenAmount,
    without_amount,
)

MOST_LINES = 60
MOST_CHARACTERS = 4_000
LONGEST_NAME = 120

_BULLET = re.compile(r"^\s*(?:[-–—•*·▪☐+]|\d{1,2}[.)])\s+")
_TIMES = rf"(?:{SECONDS}|{MINUTES}|{HOURS}|hrs?|days?|nights?|weeks?)"
_STARTS_WITH_TIME = rf"(?:for\s+)?{STARTS_WITH_AMOUNT}(?:more\s+)?{_TIMES}(?![\w-])"
"""Of what is done, how long: "shake with ice, 12 seconds"."""
_TIME = re.compile(_STARTS_WITH_TIME, re.IGNORECASE)
_BREAK = re.compile(rf"\s*;\s*|,\s+(?={STARTS_WITH_AMOUNT})(?!{_STARTS_WITH_TIME})", re.IGNORECASE)
_MANY = rf"(?P<serves>\d{{1,3}}|{'|'.join(NUMBER_WORDS)})"
_SERVED = (
    r"(?:serves?|servings?|portions?|people|persons?|personas|raciones|porciones|personen|portionen"
    r"|persone|porzioni|personnes|pessoas|porções)"
)
_VESSELS = r"(?:drinks?|glasses|cups)"
_LASTS = (
    rf"(?!\s*(?:(?:[-–—]|to|or)\s*[\w.,]+\s*|more\s+)?"
    rf"{_TIMES}(?!\w))"
)
"""No time follows: "Stir for 25 s" tells what is done, not how many are served."""
_SERVES = re.compile(
    rf"\(?\b(?:(?:recipe\s+)?(?:for|makes|serves|yields|serving)\s*:?\s+{_MANY}{_LASTS}"
    rf"(?:\s+(?:{_SERVED}|{_VESSELS}))?"
    rf"|(?:(?:para|für|per|pour)\s+)?{_MANY.replace('serves', 'served')}\s+{_SERVED})\b"
    r"\s*\)?\s*[:.,]?",
    re.IGNORECASE,
)
_ALL_IT_SAYS = re.compile(rf"\W*{_MANY}\s+{_VESSELS}\W*", re.IGNORECASE)
"""Beside a name "2 cups" is an amount of it: for how many it is only where nothing else stands."""
_PER_ONE = re.compile(
    r"[(\[]?\b(?:(?:for|in|to)\s+each|per|each|a\s+single)\s+(?:serve|serving|portion|drink|glass|cup|person|guest)\b"
    r"\s*[)\]]?\s*[:.,]?",
    re.IGNORECASE,
)
_ROUND = str.maketrans("[]", "()")
_STRENGTH = re.compile(
    r"\(?\s*(?:at\s+)?(?P<number>\d{1,3}(?:[.,]\d+)?)\s*[-–]?\s*"
    r"(?P<unit>%\s*(?:abv|vol\.?(?:ume)?|alc\.?)?|(?:abv|proof)\b|°\s*proof\b)\s*(?:abv|vol)?\s*\)?",
    re.IGNORECASE,
)
_NO_ALCOHOL = re.compile(
    r"fat|cream|milk|cocoa|cacao|chocolate|brix|solution|juice|yog|acid|vinegar|saline|brine|pur[ée]e",
    re.I,
)
_TO_TOP = re.compile(
    r"^(?:to\s+)?(?:top(?:ped)?(?:\s+(?:up|off))?\s+(?:with|by)?|fill\s+(?:up\s+)?with|"
    r"(?:a\s+)?splash\s+of|garnish(?:ed)?\s*(?:with)?\s*:?)\s*|,?\s+(?:to\s+(?:top|taste|fill)|as\s+needed)$",
    re.IGNORECASE,
)
_GIVES = re.compile(
    r"^(?P<rest>.*\w.*?)[\s,;:–—-]*[\s,]\(?gives:?\s+(?P<gives>.*\w.*)$", re.IGNORECASE
)
_OF = re.compile(r"^(?:(?:of the|of|del?|de la|di|du|von)\s+|d['’])", re.IGNORECASE)
"""What stands between an amount and what it is of."""
_POURED = frozenset(
    {"spirit", "liqueur", "wine", "beer", "syrup", "juice", "soda", "dairy", "coffee", "tea",
     "water"}
)  # fmt: skip
"""Kinds that have no pieces: "2 espressos", "a shot of gin"."""
_NO_SIZE = "How large one is, nobody knows: say in ml or g how much that is."
_EDGES = " \t,;:.-–—•*·"


@dataclass(frozen=True)
class ReadLine:
    """An ingredient that was read; `amount` is None where none was written.

    `notes` say how something that is not plain was taken; `matches` are entries of the library
    that it may be, the likeliest first; `gives` are flavours that the line names. The amount is
    that of one serve where `is_for_one` ("1 cube per glass"), else that of all.
    """

    text: str
    name: str
    amount: Amount | None
    abv_percent: float | None
    matches: tuple[Match, ...]
    notes: tuple[str, ...] = ()
    gives: tuple[str, ...] = ()
    is_for_one: bool = False

    @property
    def match(self) -> Match | None:
        """The entry that it surely is."""
        return self.matches[0] if self.matches and self.matches[0].is_sure else None


@dataclass(frozen=True)
class ReadRecipe:
    """What was read of a text; `left` are the lines that are no ingredient as far as is known."""

    lines: tuple[ReadLine, ...]
    serves: int | None = None
    left: tuple[str, ...] = ()


def read_recipe(text: str) -> ReadRecipe:
    """The ingredients of a pasted text, a line each or parted by commas; never raises."""
    serves: int | None = None
    lines: list[ReadLine] = []
    left: list[str] = []
    for row in text[:MOST_CHARACTERS].splitlines():
        rest, found = _without_serves(row)
        serves = serves or found
        for piece in _pieces(rest):
            shown = _BULLET.sub("", piece).strip()
            if not shown.strip(_EDGES):
                continue
            line = read_line(shown)
            if line is None or len(lines) == MOST_LINES:
                left.append(shown)
            else:
                lines.append(line)
    return ReadRecipe(tuple(lines), serves, tuple(left))


def _pieces(row: str) -> list[str]:
    """A row cut where another amount begins, but not within brackets: those say how, not what."""
    pieces, start = [], 0
    for match in _BREAK.finditer(row):
        before = row[: match.start()].translate(_ROUND)
        if before.count("(") <= before.count(")"):
            pieces.append(row[start : match.start()])
            start = match.end()
    return [*pieces, row[start:]]


def read_line(text: str) -> ReadLine | None:
    """The ingredient that a line names; None where it names none.

    A line without an amount counts only where the library surely knows it.
    """
    said, gives = _without_flavours(_BULLET.sub("", text).strip().translate(_ROUND))
    of_all = _PER_ONE.sub(" ", said)
    written, rest = without_amount(of_all)
    if written and written.amount.unit == "piece" and _TIME.match(of_all):
        return None
    bare_with_percent, is_to_top = _without_top(rest)
    abv, bare, spoken = _without_strength(bare_with_percent)
    name = _name(bare)
    if not any(letter.isalpha() for letter in name):
        return None
    found = _fitting(matches(name, abv), name, written)
    if abv is not None and not spoken and not _may_be_strong(name, found):
        abv, name = None, _name(bare_with_percent)
        found = _fitting(matches(name), name, written)
    if written is None and not is_to_top and not (found and found[0].is_sure):
        return None
    return ReadLine(
        text=text.strip(),
        name=name,
        amount=written.amount if written else None,
        abv_percent=abv,
        matches=found,
        notes=_notes(written, found),
        gives=gives,
        is_for_one=of_all != said and written is not None,
    )


def _fitting(
    found: tuple[Match, ...], name: str, written: WrittenAmount | None
) -> tuple[Match, ...]:
    """The matches without juices where a fruit is counted: a slice of lemon is no lemon juice."""
    if written is None or not written.amount.counts_pieces or "juice" in name.lower():
        return found
    return tuple(match for match in found if "juice" not in match.entry.name.lower())


def _notes(written: WrittenAmount | None, found: tuple[Match, ...]) -> tuple[str, ...]:
    if written is None:
        return ("No amount is written.",)
    counts = written.amount.unit in ("piece", "shot")
    is_poured = bool(found) and found[0].is_sure and found[0].entry.substance.kind in _POURED
    size = _NO_SIZE if counts and is_poured and "say in ml" not in written.note else ""
    return tuple(filter(None, (written.note, size)))


def _may_be_strong(name: str, found: tuple[Match, ...]) -> bool:
    """Whether a bare percentage is a strength: that of milk or juice is something else."""
    if found and found[0].is_sure:
        strength = found[0].entry.substance.abv
        return strength is not None and strength.value > 0
    return _NO_ALCOHOL.search(name) is None


def _without_serves(row: str) -> tuple[str, int | None]:
    match = _ALL_IT_SAYS.fullmatch(row) or _SERVES.search(row)
    if match is None:
        return _without_per_one(row)
    word = next(filter(None, match.groupdict().values())).lower()
    number = int(word) if word.isdigit() else int(NUMBER_WORDS[word])
    if not 1 <= number <= 100:
        return row, None
    return f"{row[: match.start()]} {row[match.end() :]}", number


def _without_per_one(row: str) -> tuple[str, int | None]:
    """A heading such as "Per serve:" says one; beside an amount it may speak of that alone."""
    rest = _PER_ONE.sub(" ", row)
    if rest == row or without_amount(rest)[0] is not None:
        return row, None
    return rest, 1


def _without_flavours(text: str) -> tuple[str, tuple[str, ...]]:
    """The text without what it says that the ingredient gives, and those flavours, each once."""
    match = _GIVES.match(text)
    if match is None:
        return text, ()
    words = (word.strip(_EDGES + ")") for word in re.split(r"[,;]|\band\b", match["gives"]))
    return match["rest"], tuple(dict.fromkeys(filter(None, words)))


def _without_top(text: str) -> tuple[str, bool]:
    bare = _TO_TOP.sub("", text.strip(_EDGES))
    return bare, bare != text.strip(_EDGES)


def _without_strength(text: str) -> tuple[float | None, str, bool]:
    """The strength in a text in % vol, the text without it, and whether it is named as one."""
    match = _STRENGTH.search(text)
    if match is None:
        return None, text, False
    number, unit = float(match["number"].replace(",", ".")), match["unit"].lower()
    is_proof = "proof" in unit
    # US proof, which is twice the strength (27 CFR 5.1).
    percent = number / 2 if is_proof else number
    if percent > 100:
        return None, text, False
    is_spoken = is_proof or any(word in match[0].lower() for word in ("abv", "vol", "alc"))
    return percent, f"{text[: match.start()]} {text[match.end() :]}", is_spoken


def _name(text: str) -> str:
    bare = re.sub(r"\(\s*\)", " ", text)
    bare = " ".join(re.sub(r"\s+([,;.])", r"\1", bare).split()).strip(_EDGES)
    bare = _OF.sub("", bare)
    if bare.count("(") != bare.count(")"):
        bare = bare.replace("(", "").replace(")", "")
    return bare[:LONGEST_NAME].strip(_EDGES)
