"""Words that are not in the drink: among them those of the drink are found, or are not.

Near ones are of the same group as a word of the drink (another citrus for orange), far ones of a
family that the drink has nothing of. What the drink holds by its recipe is no decoy, nor are tastes
and textures: a taster who ticks "sweet" may well be right. Some languages have few words of flavour
here (`flavours.toml`), others none: there the words of the other drinks stand in.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random
from typing import Literal

from server.domain.base.documents import Document
from server.domain.base.text import Name
from server.domain.claims.taxonomy import Taxonomy
from server.domain.routine.drink import Drink

Sort = Literal["stated", "near", "far", "own", "other"]

SORTS: dict[Sort, str] = {
    "stated": "on the card",
    "near": "near decoy",
    "far": "far decoy",
    "own": "your decoy",
    "other": "of another drink",
}
"""Sort of a word -> the words for it."""

MOST_DECOYS = 30

LEAST_LETTERS = 4
"""Shorter words stand within others by chance."""

_TOLD_BY_THE_GLASS = ("taste", "touch", "course")
"""Families of which a decoy might be true."""


@dataclass(frozen=True)
class AskedWord(Document):
    """A word on the tasters' cards, and why it stands there."""

    word: Name
    sort: Sort

    @property
    def is_decoy(self) -> bool:
        """Whether the drink is not said to have it."""
        return self.sort != "stated"


def words_for(
    drink: Drink,
    taxonomy: Taxonomy,
    decoys: int,
    own: Sequence[str],
    seed: int,
    drinks: Sequence[Drink] = (),
) -> tuple[AskedWord, ...]:
    """The words of a drink among decoys, in an order that tells nothing.

    `own` decoys come first, then near and far ones by turns, as many as there are, then words of
    the other `drinks` of the routine.
    """
    luck = Random(seed)  # noqa: S311  (nothing that has to stay secret)
    stated = list(dict.fromkeys(drink.descriptors))
    given = [word for word in dict.fromkeys(own) if word.casefold() not in _folded(stated)]
    chosen = [AskedWord(word, "own") for word in given[:decoys]]
    held = [*stated, *_held(drink)]
    pool = [name for name in taxonomy.words if _is_word(name, taxonomy)]
    luck.shuffle(pool)
    near, far = _near_and_far(pool, stated, taxonomy)
    waiting: dict[Sort, list[str]] = {"near": near, "far": far}
    while len(chosen) < decoys and any(waiting.values()):
        sort: Sort = "far" if not near or (far and len(chosen) % 2) else "near"
        name = waiting[sort].pop()
        if _is_foreign(name, [*held, *(each.word for each in chosen)], taxonomy):
            chosen.append(AskedWord(name, sort))
    for name in _of_others(drink, drinks, luck):
        if len(chosen) < decoys and _is_foreign(
            name, [*held, *(each.word for each in chosen)], taxonomy
        ):
            chosen.append(AskedWord(name, "other"))
    asked = [*(AskedWord(word, "stated") for word in stated), *chosen]
    luck.shuffle(asked)
    return tuple(asked)


def _folded(words: Sequence[str]) -> set[str]:
    return {word.casefold() for word in words}


def _held(drink: Drink) -> list[str]:
    """What the recipe gives by itself: what ingredients are called and what they bring."""
    names = [part.name for part in drink.ingredients]
    return [*names, *(word for part in drink.ingredients for word in part.descriptors)]


def _of_others(drink: Drink, drinks: Sequence[Drink], luck: Random) -> list[str]:
    """What stands on the cards of other drinks, and what their ingredients bring."""
    others = [each for each in drinks if each.id != drink.id]
    words = [word for each in others for word in each.descriptors]
    words += [word for each in others for part in each.ingredients for word in part.descriptors]
    words = list(dict.fromkeys(words))
    luck.shuffle(words)
    return words


def _is_word(name: str, taxonomy: Taxonomy) -> bool:
    """Whether it is a flavour by itself: neither a family, nor a group, nor silent."""
    above = taxonomy.ancestors(name)
    is_deep = len(above) > 1 and above[-1] not in _TOLD_BY_THE_GLASS
    return is_deep and not taxonomy.words[name].is_silent


def _near_and_far(
    pool: Sequence[str], stated: Sequence[str], taxonomy: Taxonomy
) -> tuple[list[str], list[str]]:
    families = {taxonomy.family(word) for word in stated}
    groups = {each for word in stated for each in taxonomy.ancestors(word)[:-1]}
    near = [name for name in pool if groups & set(taxonomy.ancestors(name))]
    far = [name for name in pool if taxonomy.family(name) not in families]
    same_family = [name for name in pool if name not in near and name not in far]
    # Of the same family, yet of another group: better than none, after those of the group.
    return [*same_family, *near], far


def _is_foreign(name: str, others: Sequence[str], taxonomy: Taxonomy) -> bool:
    """Whether it is none of these, no kind of one, not what one is a kind of; nor sounds so.

    "Pear drop" among the words of a drink with ripe pear would be no fair decoy, nor would
    "Orange" where it has "Orangenschale".
    """
    stems = set(taxonomy.stems(name))
    return not any(_is_within(name, other) for other in others) and all(
        taxonomy.relation(name, other) in ("none", "opposite")
        and not stems & set(taxonomy.stems(other))
        for other in others
    )


def _is_within(name: str, other: str) -> bool:
    """Whether one is a part of the other: some languages write words as one."""
    shorter, longer = sorted((name.casefold(), other.casefold()), key=len)
    return len(shorter) >= LEAST_LETTERS and shorter in longer
