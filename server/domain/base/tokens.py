"""Words and sentences of a script, each with the place it has in the text as it was typed.

A word is a run of letters of any script, with the apostrophes inside it ("don't"). A hyphen parts
words ("battle-field" is two), because that is how they are said. Digits are one token, with their
decimals ("7,5"), thousands and fraction ("3/4"); so are %, and a degree sign with its letter.
Markup that came along with a paste, and emoji, are no words.

>>> [token.norm for token in tokens_of("Don’t over-do it: 4.5cl at 55 °C!")]
["don't", 'over', 'do', 'it', '4.5', 'cl', 'at', '55', '°c']
>>> [text[s.start : s.end] for text in ["A sip. Then 1.5 oz? Yes"] for s in sentences_of(text)]
['A sip.', 'Then 1.5 oz?', 'Yes']
>>> count_spoken(tokens_of("45 ml of the well-made syrup"), "en")
8
"""

import re
import unicodedata
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice
from typing import NamedTuple, Protocol

from server.domain.base.languages import supported
from server.domain.base.numbers import FRACTION_SIGNS

_INVISIBLE = "\u00ad\u200b\u200c\u200d\u2060\ufeff"
# Accents, vowel points and vowel signs that stand as letters of their own behind a letter.
_MARKS = (
    "\u0300-\u036f\u0591-\u05c7\u0610-\u061a\u064b-\u065f"
    "\u0900-\u0903\u093a-\u094f\u0e31\u0e34-\u0e4e"
)
_LETTERS = rf"[^\W\d_](?:[^\W\d_]|[{_MARKS}]|[{_INVISIBLE}](?=[^\W\d_]))*"
_TOKEN = re.compile(
    r"(?P<skip><[/!]?[a-zA-Z][^<>]{0,300}>|&[a-zA-Z]{2,8};|&\#\d{1,6};|https?://\S+)"
    rf"|(?P<number>\d+(?:[.,]\d+)*(?:\s?[{FRACTION_SIGNS}]|[/⁄]\d+)?|[.,]\d+|[{FRACTION_SIGNS}])"
    r"|(?P<sign>%|°\s?[cCfF]\b|°|℃|℉)"
    rf"|(?P<word>{_LETTERS}(?:['’ʼ]{_LETTERS})*)"
)
# Possessive, and only from the first mark of a row: "......" is read once, not from each mark.
_END = re.compile(r"(?<![.!?…。؟۔])[.!?…。؟۔]++[\"'”’)\]]*+(?=\s|$)|\n+")
_TRANSLATE = str.maketrans({"’": "'", "ʼ": "'", "℃": "°c", "℉": "°f"} | dict.fromkeys(_INVISIBLE))


LONGEST_SENTENCE = 1200
"""Characters. What goes on for longer without a full stop is read in pieces of this length: words
are held against the others of their sentence, and there must be an end to those."""

MOST = 1e9
"""From here on a number is none that is said of a drink or a routine."""

LONGEST_DIGITS = 30
"""Characters of a number that is still read as one."""


class Token(NamedTuple):
    """A word, number or sign: as compared (`norm`), and where it stands in the text.

    `gap` is the punctuation between it and the token before, without spaces; a new line is kept.
    """

    norm: str
    start: int
    end: int
    gap: str
    is_number: bool


@dataclass(frozen=True)
class Sentence:
    """The `index`-th sentence of a text and where it stands."""

    index: int
    start: int
    end: int


class TokenStretch(Protocol):
    """Anything that was found in tokens, from the first to before its end."""

    @property
    def first(self) -> int:
        """Its first token."""

    @property
    def end(self) -> int:
        """The token after its last."""


def places_of(found: Iterable[TokenStretch]) -> set[int]:
    """The tokens that belong to what was found."""
    return {at for each in found for at in range(each.first, each.end)}


def tokens_of(text: str) -> list[Token]:
    """All tokens of `text`, in order."""
    return list(_tokens_in(text))


def first_tokens(text: str, most: int) -> list[Token]:
    """The first tokens of `text`, without a look at what comes behind them."""
    return list(islice(_tokens_in(text), most))


def _tokens_in(text: str) -> Iterator[Token]:
    behind = 0
    gap = ""
    for match in _TOKEN.finditer(text):
        start, end = match.span()
        if start > behind and (between := text[behind:start]) != " ":
            gap += _punctuation(between)
        behind = end
        kind = match.lastgroup
        if kind == "skip":
            continue
        # By its own name a named tuple is made by a function of Python, which takes twice as long.
        yield tuple.__new__(Token, (_norm(match.group()), start, end, gap, kind == "number"))
        gap = ""


@lru_cache(maxsize=512)
def tokens_kept(sentence: str) -> tuple[Token, ...]:
    """The same of one sentence, kept: whatever is found in it asks for its words again."""
    return tuple(tokens_of(sentence))


def norms_kept(sentence: str) -> list[str]:
    """The words of one sentence in their plain form, in order."""
    return [token.norm for token in tokens_kept(sentence)]


@lru_cache(maxsize=512)
def words_kept(sentence: str) -> frozenset[str]:
    """The words of one sentence in their plain form, kept likewise; "the water's hot" has water."""
    return with_nouns(token.norm for token in tokens_kept(sentence))


def with_nouns(norms: Iterable[str]) -> frozenset[str]:
    """Words, and the nouns that a short "is" hangs on: "water's" is water as well.

    >>> sorted(with_nouns(["water's", "it's"]))
    ["it's", 'water', "water's"]
    """
    words = frozenset(norms)
    short = {word[:-2] for word in words if word.endswith("'s")}
    return words | (short - _NO_NOUNS)


_NO_NOUNS = frozenset(
    {"it", "that", "there", "this", "he", "she", "what", "who", "here", "let", "where", "how"}
)


def _punctuation(between: str) -> str:
    """What stands between two words but spaces; a bare new line parts them as a full stop would."""
    return between.strip() or ("\n" if "\n" in between else "")


@lru_cache(maxsize=20_000)
def _norm(word: str) -> str:
    plain = word.lower() if word.isascii() else unicodedata.normalize("NFC", word).lower()
    return re.sub(r"°\s", "°", plain.translate(_TRANSLATE))


def sentences_of(text: str, language: str = "en") -> list[Sentence]:
    """The sentences of `text` without the space around them.

    A sentence ends at . ! ? … before a space, unless the full stop belongs to an abbreviation,
    and at each new line. One that goes on for ever is cut between two words.
    """
    short = set(supported(language).abbreviations)
    found: list[Sentence] = []
    start = 0
    for match in _END.finditer(text):
        before = text[max(0, match.start() - 12) : match.start()]
        # "No. 4" counts; "Bitter? No. Silky?" answers.
        answers = before.lower().endswith("no") and not text[match.end() + 1 :][:1].isdigit()
        if match.group()[0] == "." and not answers and _is_abbreviation(before, short):
            continue
        _keep(found, text, start, match.end())
        start = match.end()
    _keep(found, text, start, len(text))
    return found


def _is_abbreviation(before: str, short: set[str]) -> bool:
    words = before.split()
    if not words or before[-1:].isspace():
        return False
    last = words[-1].lower().lstrip("(\"'“")
    # "about 15 ml." ends a sentence as often as not; an abbreviation after a number is a unit.
    after_number = len(words) > 1 and words[-2][-1:].isdigit()
    return last in short and not after_number


def _keep(found: list[Sentence], text: str, start: int, end: int) -> None:
    while end - start > LONGEST_SENTENCE:
        cut = start + LONGEST_SENTENCE
        space = max(text.rfind(mark, start, cut) for mark in " \t")
        cut = space if space > start else cut
        _keep_piece(found, text, start, cut)
        start = cut
    _keep_piece(found, text, start, end)


def _keep_piece(found: list[Sentence], text: str, start: int, end: int) -> None:
    piece = text[start:end]
    stripped = piece.strip()
    # A lone mark ("…") is no sentence.
    if any(letter.isalnum() for letter in stripped):
        begin = start + len(piece) - len(piece.lstrip())
        found.append(Sentence(len(found), begin, begin + len(stripped)))


def by_sentence(tokens: Sequence[Token], sentences: Sequence[Sentence]) -> list[Sequence[Token]]:
    """For each sentence of a text those of its tokens that start in it."""
    starts = [token.start for token in tokens]
    return [
        tokens[bisect_left(starts, each.start) : bisect_left(starts, each.end)]
        for each in sentences
    ]


def count_spoken(tokens: Sequence[Token], language: str = "en") -> int:
    """The spoken words of tokens: 1 for a word or sign, for digits as many as they are said with.

    "45" counts 2 (forty five), "2.5" counts 3 (two point five), "½" counts 1.
    """
    return sum(_number_length(token.norm, language) if token.is_number else 1 for token in tokens)


@lru_cache(maxsize=5_000)
def _number_length(digits: str, language: str) -> int:
    # Takes a tenth of a second to load: only for a script with digits in it.
    from num2words import num2words

    plain = re.sub(rf"[{FRACTION_SIGNS}].*", "", digits)
    extra = 1 if plain != digits else 0
    if len(plain) > LONGEST_DIGITS:
        return len(plain)
    if not plain:
        return extra
    pieces = re.split(r"[/⁄]", plain)
    lang = language if supported(language).has_number_words else "en"
    try:
        said = [
            num2words(float(_decimal(piece)), lang=lang)
            if "." in _decimal(piece)
            else num2words(int(_decimal(piece)), lang=lang)
            for piece in pieces
        ]
    except (ValueError, OverflowError, NotImplementedError):
        return len(plain)
    return extra + sum(len(re.findall(r"[^\W\d_]+", words)) for words in said)


def _decimal(digits: str) -> str:
    """Digits with a decimal point: "7,5" is 7.5, "1,250" is a thousand and more."""
    if re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d+)?", digits):
        return digits.replace(",", "")
    head, *rest = digits.replace(",", ".").split(".")
    return f"{head or 0}.{''.join(rest)}" if rest else head


def number_of(digits: str) -> float | None:
    """The value of a number token: "7,5", "1,250", "3/4", "1½"; None for what is none that could
    be meant: a division by zero, or a number beyond all measure.

    >>> number_of("7,5"), number_of("1,250"), number_of("3/4"), number_of("1½"), number_of("1/0")
    (7.5, 1250.0, 0.75, 1.5, None)
    """
    value = _value_of(digits) if len(digits) <= LONGEST_DIGITS else None
    return value if value is not None and value < MOST else None


def _value_of(digits: str) -> float | None:
    glyph = digits[-1]
    if glyph in FRACTION_SIGNS:
        whole = digits[:-1].strip()
        return (_value_of(whole) or 0.0 if whole else 0.0) + unicodedata.numeric(glyph)
    if "/" in digits or "⁄" in digits:
        above, below = re.split(r"[/⁄]", digits)
        return float(_decimal(above)) / float(below) if float(below) else None
    return float(_decimal(digits))
