"""Kinds of words around a flavour word: what speaks of taste, of work, of people, of elsewhere.

>>> kinds_of("grandmother"), kinds_of("hidden"), kinds_of("poured")
(('story', 'others'), (), ('act',))
"""

from collections.abc import Mapping
from functools import cache, lru_cache

from server.domain.claims.cues import english
from server.domain.claims.scene import GLIMPSES

_SAID = {
    "not": "no not never nothing without neither nor none nobody hardly barely isn't aren't don't "
    "doesn't won't can't cannot wasn't didn't couldn't wouldn't ain't free lacks",
    "me": "i i'm i've i'll i'd my me we we're we've our us",
    "you": "you you'll you're you've you'd your yours judges",
    "it": "it it's its this that that's these there there's they which what",
    "others": "he she him her his they their people someone everybody everyone father mother "
    "grandmother grandfather aunt uncle sister brother friend",
    "past": "was were had did came went said told made took gave got left grew ate drank knew saw "
    "found kept bought smelled tasted used wanted",
    "would": "would could might if should may perhaps maybe imagine suppose",
    "place": "in on at of from by with for to into onto over under through behind between after "
    "before like as than",
}
"""Kinds of small words, beside those that the rules tell apart (cues.toml)."""


@lru_cache(maxsize=20_000)
def kinds_of(word: str) -> tuple[str, ...]:
    """The kinds an English word is of; of unknown ones, the ending of a verb."""
    known = _by_word().get(word)
    if known is not None:
        return known
    return ("-ed",) if word.endswith("ed") else ("-ing",) if word.endswith("ing") else ()


@cache
def _by_word() -> Mapping[str, tuple[str, ...]]:
    cues = english()
    kinds = {
        "taste": cues.taste,
        "act": cues.action,
        "story": cues.story,
        "thing": cues.things,
        "noun of taste": cues.tasting_nouns,
        "copula": cues.copulas,
        "subject": cues.subjects,
        "degree": cues.degree,
        "owner": cues.owners,
        "container": cues.containers,
        "wish": cues.wishes,
        "naming": cues.naming,
        "plays": cues.plays,
        "softens": cues.softens,
        "removes": cues.removes | cues.takes,
        "glimpse": GLIMPSES,
        **{kind: frozenset(words.split()) for kind, words in _SAID.items()},
    }
    found: dict[str, tuple[str, ...]] = {}
    for kind, words in kinds.items():
        for word in words:
            found[word] = (*found.get(word, ()), kind)
    return found
