"""What the claims check knows of a language: number speech, units, negation, stems.

>>> supported("en").percent[0], supported("de").of, support_note("en")
('percent', ('von',), '')
>>> support_note("other").startswith("Number words")
True
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from threading import Lock
from typing import Any, Literal

Words = tuple[str, ...]
_ENGLISH_TOO = frozenset(("chili",))
"""In a recipe of any language this is the pepper, not kilograms."""

Bound = Literal["exactly", "about", "under", "over"]
"""How a number is hedged."""


@dataclass(frozen=True)
class Language:
    """Word lists of one language; see languages.toml for what each is for."""

    code: str
    stemmer: str
    articles: Words
    after_article: Words
    point: Words
    and_part: Words
    minus: Words
    between: Words
    range_join: Words
    between_join: Words
    of: Words
    negators: Words
    negation_ends: Words
    sides_with_negator: Words
    abbreviations: Words
    percent: Words
    strength_words: Words
    degrees: Words
    celsius: Words
    fahrenheit: Words
    fractions: Mapping[str, float]
    counts: Mapping[str, float]
    amounts: Mapping[str, Words]
    durations: Mapping[str, Words]
    about: Mapping[Bound, Words]
    """Phrases that hedge the number behind them."""
    behind: Mapping[Bound, Words]
    """Phrases that bound the number before them."""
    compared: Mapping[str, Words]
    """Comparatives by the side they bound from ("more", "less"), and "than"."""
    ratio_join: Words
    equal_parts: Words
    mends: Words
    """What stands between a number and the one that is meant instead: "forty, no, fifty"."""
    unlike: Words = ()
    """Words whose stem is that of a taste they have nothing to do with: "bitte" is not bitter."""
    made_of: Words = ()
    """Ends of words for what is made of their beginning: "Birnensaft"."""

    @property
    def has_number_words(self) -> bool:
        """Whether number words and stems of this language are understood."""
        return bool(self.stemmer)


@cache
def supported(code: str) -> Language:
    """The language with that code; the bare rules for digits where it is not supported."""
    tables = _tables()
    known = code if code in tables else "other"
    return Language(code=known, **_frozen(tables[known]))


@cache
def units_of_other_languages() -> Mapping[str, str]:
    """Words for the units of a recipe in the languages but English -> the unit.

    >>> units_of_other_languages()["cucharadas"], units_of_other_languages()["teelöffel"]
    ('tbsp', 'tsp')
    """
    tables = [supported(code).amounts for code in _tables() if code != "en"]
    found = {word: unit for table in tables for unit, words in table.items() for word in words}
    return {word: unit for word, unit in found.items() if word not in _ENGLISH_TOO}


def support_note(code: str) -> str:
    """What is missing for a script in this language, in a sentence; empty where nothing is."""
    if not supported(code).has_number_words:
        return (
            "Number words and word forms of this language are not known here: only digits with "
            "their units, and your own descriptors as you wrote them, are found in the script."
        )
    if code != "en":
        return (
            "In this language number words, units, and your own descriptors are found in all "
            "their forms; the shipped list of descriptors is English only."
        )
    return ""


_STEMMING = Lock()


@lru_cache(maxsize=20_000)
def stem(word: str, code: str) -> str:
    """The stem of a lower-case word; the word itself where the language has no stemmer.

    >>> stem("bitteren", "de") == stem("bitter", "de"), stem("bitte", "de")
    (True, 'bitte')
    """
    language = supported(code)
    stemmer = _stemmer(language.stemmer)
    if stemmer is None or word in language.unlike:
        return word
    # A stemmer works in place, and requests are answered by several threads.
    with _STEMMING:
        return str(stemmer.stemWord(word))


def is_made_of(compound: str, word: str, code: str) -> bool:
    """Whether a lower-case compound is of what `word` names, in a language that joins them.

    >>> is_made_of("birnensaft", "birne", "de"), is_made_of("kirschwasser", "kirsche", "de")
    (True, True)
    >>> is_made_of("rosmarin", "rose", "de"), is_made_of("apfelsine", "apfel", "de")
    (False, False)
    """
    # What stands at the joint: nothing, "n" or "s" with or without an "e", or an ending less.
    joints = {word + joint for joint in ("", "n", "en", "s", "es")}
    joints |= {word.removesuffix("e"), word.removesuffix("en")}
    ends = supported(code).made_of
    return any(compound.endswith(end) and compound[: -len(end)] in joints for end in ends)


@cache
def _stemmer(name: str) -> Any:  # noqa: ANN401
    if not name:
        return None
    # Loaded with the first text that is read.
    import Stemmer

    return Stemmer.Stemmer(name)


@cache
def _tables() -> dict[str, Any]:
    source = files(__package__).joinpath("languages.toml").read_text(encoding="utf-8")
    return tomllib.loads(source)


def _frozen(table: Mapping[str, Any]) -> dict[str, Any]:
    return {
        key: tuple(value)
        if isinstance(value, list)
        else {inner: tuple(w) if isinstance(w, list) else w for inner, w in value.items()}
        if isinstance(value, dict)
        else value
        for key, value in table.items()
    }
