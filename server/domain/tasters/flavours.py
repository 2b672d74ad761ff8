"""Words of flavour in other languages than English, arranged as the English ones are.

>>> german = flavours_for("de")
>>> german.family("reife Birne"), german.relation("Zitrone", "Zitronen"), german.resolve("sherbet")
('(fruit)', 'same', None)
"""

import tomllib
from functools import cache, lru_cache
from importlib.resources import files

from server.domain.base.languages import supported
from server.domain.claims.lexicon import taxonomy_for
from server.domain.claims.taxonomy import Taxonomy, Word, extended, shipped
from server.domain.routine.own_words import OwnWord


@lru_cache(maxsize=64)
def flavours_for(language: str, own: tuple[OwnWord, ...] = ()) -> Taxonomy:
    """The words from which decoys are drawn: English ones, those of the language, or own ones."""
    code = supported(language).code
    if code == "en" or code not in _flavours():
        return taxonomy_for(language, own)
    return extended(_arranged(code), own)


def knows_flavours(language: str) -> bool:
    """Whether decoys in a language can come from words known here."""
    code = supported(language).code
    return code == "en" or code in _flavours()


def _arranged(code: str) -> Taxonomy:
    """The words of a language below the families and groups of the English ones, kept silent."""
    english = shipped()
    words: dict[str, Word] = {}
    for name, (word, *others) in _flavours()[code].items():
        above = english.ancestors(name)
        for place, each in enumerate(above):
            parent = above[place + 1] if place + 1 < len(above) else None
            group = Word(f"({each})", parent and f"({parent})", is_silent=True)
            words.setdefault(group.name, group)
        words[word] = Word(word, f"({above[0]})", tuple(others))
    return Taxonomy(words, (), code)


@cache
def _flavours() -> dict[str, dict[str, list[str]]]:
    source = files(__package__).joinpath("flavours.toml").read_text(encoding="utf-8")
    return tomllib.loads(source)
