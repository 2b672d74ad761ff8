"""Turns of speech whose words of taste tell of no drink: "a sweet tooth", "in a nutshell".

>>> from server.domain.base.tokens import tokens_of
>>> words = [token.norm for token in tokens_of("My aunt had a sweet tooth and paid in lemons.")]
>>> sorted(idiom_places(words))
[4, 5]
"""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from importlib.resources import files

from server.domain.claims.mentions import Mention

_ANY = "*"


def idiom_places(words: Sequence[str]) -> set[int]:
    """The places of the words that belong to such a turn, in English."""
    known = _by_beginning()
    places: set[int] = set()
    for at, word in enumerate(words):
        behind = known.get(word)
        if behind is None:
            continue
        after = words[at + 1] if at + 1 < len(words) else ""
        for phrase in (*behind.get(after, ()), *behind.get(_ANY, ())):
            said = words[at : at + len(phrase)]
            if len(said) == len(phrase) and all(
                one in (_ANY, other) for one, other in zip(phrase, said, strict=True)
            ):
                places.update(range(at, at + len(phrase)))
    return places


def without_turns(mentions: Sequence[Mention], words: Sequence[str]) -> list[Mention]:
    """The mentions, those within such a turn no descriptor any more."""
    places = idiom_places(words)
    told = (one if one.first not in places else replace(one, descriptor=None) for one in mentions)
    return [one for one in told if one.descriptor or one.ingredient_ids]


@cache
def _by_beginning() -> Mapping[str, Mapping[str, tuple[tuple[str, ...], ...]]]:
    """First word -> the next one, or any -> the turns that begin so: "cold" begins thirty."""
    source = files(__package__).joinpath("idioms.toml").read_text(encoding="utf-8")
    found: dict[str, dict[str, tuple[tuple[str, ...], ...]]] = {}
    for phrase in dict.fromkeys(tomllib.loads(source)["phrases"]):
        words = tuple(phrase.split())
        behind = found.setdefault(words[0], {})
        after = words[1] if len(words) > 1 else _ANY
        behind[after] = (*behind.get(after, ()), words)
    return found
