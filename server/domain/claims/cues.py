"""The cue words of English (cues.toml), as sets."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

Set = frozenset[str]


@dataclass(frozen=True)
class Cues:
    """Sets of words by what they tell about a flavour word near them; see cues.toml."""

    taste: Set
    taste_of_guests: Set
    guests: Set
    helping: Set
    colours: Set
    action: Set
    story: Set
    things: Set
    tasting_nouns: Set
    copulas: Set
    subjects: Set
    degree: Set
    links: Set
    after_adjective: Set
    determiners: Set
    owners: Set
    anything: Set
    removes: Set
    takes: Set
    softens: Set
    softens_off: Set
    plays: Set
    containers: Set
    wishes: Set
    naming: Set
    moments: Mapping[str, Set]
    heard: Mapping[str, str]
    ordinary: Set
    """Words that are never a slip of another: all of the above and lookalikes of flavours."""
    telling: Set
    acting: Set
    """Words of which one may be a cue of taste, or an act: most words are neither."""


@cache
def english() -> Cues:
    """The cues of English."""
    source = files(__package__).joinpath("cues.toml").read_text(encoding="utf-8")
    tables = tomllib.loads(source)
    moments = {name: frozenset(words) for name, words in tables.pop("moments").items()}
    heard = tables.pop("heard")
    lookalikes = frozenset(tables.pop("lookalikes")["words"])
    sets = {name: frozenset(words) for name, words in tables.items()}
    ordinary = lookalikes.union(*sets.values())
    return Cues(
        **sets, moments=moments, heard=heard, ordinary=ordinary,
        telling=sets["taste"] | sets["taste_of_guests"] | {"find", "of", "like", "note", "love"},
        acting=sets["action"] | {"have", "got", "i've"},
    )  # fmt: skip
