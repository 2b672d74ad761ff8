"""Numbers in a script: digits, number words, and what speech makes of them.

Cardinals are read by a library (text2num), in English, German, French, Spanish, Italian and
Portuguese. Around them speech has forms no library writes: "a hundred and five", "two and a
half", "three quarters of an", "point five", and "one fifty", which may be 150 or 1.50: then both
are kept.

>>> from server.domain.base.tokens import tokens_of
>>> [(n.value, n.also) for n in numbers_in(tokens_of("a hundred and five or one fifty"))]
[(105.0, ()), (150.0, (1.5,))]
>>> [n.value for n in numbers_in(tokens_of("two and a half, half an ounce, point five"))]
[2.5, 0.5, 0.5]
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from server.domain.base.languages import Language, supported
from server.domain.base.tokens import MOST, Token, number_of
from server.domain.claims.spoken.bounds import ends_phrase

LONGEST_NUMBER = 10
"""Most words one cardinal is read from."""


@dataclass(frozen=True)
class SaidNumber:
    """A number over the tokens `first` to `end` (exclusive), and other ways to take it.

    `needs_unit` marks what is a number only before a unit: "a" in "a dash", "to" in "to ounces".
    """

    first: int
    end: int
    value: float
    also: tuple[float, ...] = ()
    is_word: bool = True


def numbers_in(tokens: Sequence[Token], language: str = "en") -> list[SaidNumber]:
    """The numbers among `tokens`, in order and without overlap."""
    lang = supported(language)
    found: list[SaidNumber] = []
    at = 0
    while at < len(tokens):
        token = tokens[at]
        may_start = token.is_number or _is_starter(token.norm, lang.code)
        number = _number_at(tokens, at, lang) if may_start else None
        if number is None:
            at += 1
        else:
            found.append(number)
            at = number.end
    return found


@lru_cache(maxsize=20_000)
def _is_starter(word: str, code: str) -> bool:
    return word in _starters(code) or is_cardinal(word, code)


@cache
def _starters(code: str) -> frozenset[str]:
    lang = supported(code)
    return frozenset((*lang.articles, *lang.point, *lang.minus, *lang.fractions, *lang.counts))


def _number_at(tokens: Sequence[Token], at: int, lang: Language) -> SaidNumber | None:
    word = tokens[at].norm
    if word in lang.minus and at + 1 < len(tokens):
        # "plus ou moins trois", "al menos doce": there it is part of a hedge.
        if ends_phrase(tokens, at, lang) or tokens[at + 1].gap:
            return None
        positive = _positive_at(tokens, at + 1, lang)
        return None if positive is None else SaidNumber(at, positive.end, -positive.value)
    if tokens[at].is_number and _has_sign(tokens, at):
        digits = _digits_at(tokens, at)
        return None if digits is None else replace(digits, value=-digits.value)
    return _positive_at(tokens, at, lang)


def _has_sign(tokens: Sequence[Token], at: int) -> bool:
    """ "at -18": a dash that stands right at the digits, and apart from the word before."""
    if tokens[at].gap not in ("-", "−", "–") or at == 0:
        return tokens[at].gap in ("-", "−", "–")
    before = tokens[at - 1]
    return not before.is_number and tokens[at].start - before.end == 2


def _positive_at(tokens: Sequence[Token], at: int, lang: Language) -> SaidNumber | None:
    token = tokens[at]
    if token.is_number:
        return _digits_at(tokens, at)
    if token.norm in lang.point:
        return _decimals_at(tokens, at, lang)
    if token.norm in lang.fractions:
        # "Third, fifteen millilitres": an ordinal, no part of anything.
        is_ordinal = token.norm == "third" and at + 1 < len(tokens) and tokens[at + 1].gap
        return None if is_ordinal else _fraction_at(tokens, at, lang)
    if token.norm in lang.counts:
        return SaidNumber(at, _past(tokens, at + 1, lang.of), lang.counts[token.norm])
    if token.norm in lang.articles and at + 1 < len(tokens):
        return _article_at(tokens, at, lang)
    return _spoken_at(tokens, at, lang)


def _digits_at(tokens: Sequence[Token], at: int) -> SaidNumber | None:
    value = number_of(tokens[at].norm)
    if value is None:
        return None
    # "1 1/2": a whole number and a fraction beside it, with nothing but space between.
    if at + 1 < len(tokens) and not tokens[at + 1].gap and tokens[at + 1].is_number:
        part = number_of(tokens[at + 1].norm)
        if part is not None and 0 < part < 1 and value == int(value):
            return SaidNumber(at, at + 2, value + part, is_word=False)
    return SaidNumber(at, at + 1, value, is_word=False)


def _article_at(tokens: Sequence[Token], at: int, lang: Language) -> SaidNumber | None:
    after = tokens[at + 1].norm
    if after in lang.fractions or after in lang.counts:
        inner = _positive_at(tokens, at + 1, lang)
        return None if inner is None else SaidNumber(at, inner.end, inner.value)
    if after in lang.after_article:
        inner = _spoken_at(tokens, at + 1, lang)
        return None if inner is None else SaidNumber(at, inner.end, inner.value)
    # "ein", "un" and their like are the number one as well as an article.
    return _spoken_at(tokens, at, lang)


def _spoken_at(tokens: Sequence[Token], at: int, lang: Language) -> SaidNumber | None:
    first = _cardinal_at(tokens, at, lang)
    if first is None:
        return None
    end, value = first
    decimals = _decimals_at(tokens, end, lang) if _is(tokens, end, lang.point) else None
    if decimals is not None:
        return SaidNumber(at, decimals.end, value + decimals.value)
    fraction = _and_a_part(tokens, end, lang)
    if fraction is not None:
        return SaidNumber(at, fraction[0], value + fraction[1])
    return _price_like(tokens, at, end, value, lang)


def _price_like(
    tokens: Sequence[Token], at: int, end: int, value: float, lang: Language
) -> SaidNumber | None:
    """ "three quarters" and "one fifty", where a second number stands right behind the first."""
    if end < len(tokens) and tokens[end].norm in lang.fractions and not tokens[end].gap:
        part = lang.fractions[tokens[end].norm]
        return SaidNumber(at, _past_article(tokens, end + 1, lang), value * part)
    second = None
    if (
        1 <= value <= 9
        and end == at + 1
        and lang.code == "en"
        and not _ends_ratio(tokens, at)
        and end < len(tokens)
        and tokens[end].gap in ("", "-")
    ):
        second = _cardinal_at(tokens, end, lang)
    if second is not None and 10 <= second[1] <= 99:
        return SaidNumber(
            at, second[0], value * 100 + second[1], (round(value + second[1] / 100, 2),)
        )
    return SaidNumber(at, end, value)


def _ends_ratio(tokens: Sequence[Token], at: int) -> bool:
    """ "a syrup, two to one, ten millilitres": the one of a ratio begins no other number."""
    if at < 2 or tokens[at].norm != "one" or tokens[at - 1].norm != "to":
        return False
    before = _one_word(tokens[at - 2].norm, "en")
    return before is not None and before <= 9


def _and_a_part(tokens: Sequence[Token], at: int, lang: Language) -> tuple[int, float] | None:
    """Where "and a half" or "and three quarters" ends, and how much it adds."""
    if not _is(tokens, at, lang.and_part):
        return None
    behind = _past(tokens, at + 1, lang.articles)
    if _is(tokens, behind, tuple(lang.fractions)):
        return behind + 1, lang.fractions[tokens[behind].norm]
    several = _cardinal_at(tokens, at + 1, lang)
    if several is not None and _is(tokens, several[0], tuple(lang.fractions)):
        return several[0] + 1, several[1] * lang.fractions[tokens[several[0]].norm]
    return None


def _decimals_at(tokens: Sequence[Token], at: int, lang: Language) -> SaidNumber | None:
    """ "point five", "point two five", "point seventy-five"; None where no digit follows."""
    digits = ""
    end = at + 1
    while end < len(tokens) and len(digits) < 6 and not tokens[end].gap.strip("-"):
        value = _one_word(tokens[end].norm, lang.code)
        if value is None or value > 99:
            break
        digits, end = _with_digit(digits, value), end + 1
    return SaidNumber(at, end, float(f"0.{digits}")) if digits else None


def _with_digit(digits: str, value: int) -> str:
    # "point seventy five" is .75: a unit behind a ten takes the place of its zero.
    if digits and digits[-1] == "0" and len(digits) == 2 and 0 < value < 10:
        return digits[:-1] + str(value)
    return digits + str(value)


def _fraction_at(tokens: Sequence[Token], at: int, lang: Language) -> SaidNumber:
    return SaidNumber(at, _past_article(tokens, at + 1, lang), lang.fractions[tokens[at].norm])


def _past_article(tokens: Sequence[Token], at: int, lang: Language) -> int:
    """The place behind "of a", "an" and the like."""
    return _past(tokens, _past(tokens, at, lang.of), lang.articles)


def _past(tokens: Sequence[Token], at: int, words: Sequence[str]) -> int:
    return at + 1 if _is(tokens, at, words) else at


def _is(tokens: Sequence[Token], at: int, words: Sequence[str]) -> bool:
    return at < len(tokens) and not tokens[at].gap.strip("-") and tokens[at].norm in words


def _cardinal_at(tokens: Sequence[Token], at: int, lang: Language) -> tuple[int, float] | None:
    """Where the longest cardinal from `at` ends, and its value."""
    end = at
    while end < len(tokens) and end - at < LONGEST_NUMBER and _joins(tokens, at, end, lang):
        end += 1
    while end > at:
        value = cardinal(" ".join(token.norm for token in tokens[at:end]), lang.code)
        if value is not None:
            return end, float(value)
        end -= 1
    return None


def _joins(tokens: Sequence[Token], at: int, end: int, lang: Language) -> bool:
    token = tokens[end]
    # A comma stands inside a number only after a thousand: "one thousand, two hundred".
    parted = token.gap.strip("-") not in ("", ",") or (
        token.gap == "," and tokens[end - 1].norm not in ("thousand", "mil", "mille", "tausend")
    )
    if end > at and parted:
        return False
    if token.norm in lang.and_part and lang.code == "en":
        # "ninety and six drops" are two; only hundreds and thousands go on with "and".
        return end > at and tokens[end - 1].norm in ("hundred", "thousand", "million")
    return is_cardinal(token.norm, lang.code) or (end > at and token.norm in lang.and_part)


def is_cardinal(word: str, code: str) -> bool:
    """Whether a word by itself is a cardinal number in the language."""
    return _one_word(word, code) is not None


def _one_word(word: str, code: str) -> int | None:
    return cardinal(word, code) if word[:1].isalpha() and len(word) < 60 else None


@lru_cache(maxsize=50_000)
def cardinal(words: str, code: str) -> int | None:
    """The whole number that `words` spell, or None.

    >>> cardinal("einundzwanzig", "de"), cardinal("centottantuno", "it"), cardinal("plum", "en")
    (21, 181, None)
    """
    if not supported(code).has_number_words:
        return None
    from text_to_num import text2num

    try:
        value = int(text2num(words, code))
        return value if value < MOST else None
    except ValueError:
        return _elided().get(words) if code == "it" and words.startswith(_ELIDING) else None


_ELIDING = (
    "cent", "duecent", "trecent", "quattrocent", "cinquecent", "seicent", "settecent",
    "ottocent", "novecent", "mille",
)  # fmt: skip


@cache
def _elided() -> dict[str, int]:
    # Italian drops a vowel between hundreds and tens in o- and u-; the parser does not know that.
    from num2words import num2words

    return {num2words(number, lang="it"): number for number in range(100, 2001)}
