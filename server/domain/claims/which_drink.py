"""Which drink a claim is about, where its segment is about none in particular."""

import re
from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from server.domain.base.tokens import tokens_kept, tokens_of
from server.domain.claims.finds import Find, Passage
from server.domain.routine.drink import Drink

ORDINALS = {
    "en": ("first", "second", "third", "fourth"),
    "de": ("erste", "zweite", "dritte", "vierte"),
    "fr": ("premier", "deuxième", "troisième", "quatrième"),
    "es": ("primero", "segundo", "tercero", "cuarto"),
    "it": ("primo", "secondo", "terzo", "quarto"),
    "pt": ("primeiro", "segundo", "terceiro", "quarto"),
}
"""Language -> what drinks are counted through with, in their order on stage."""

NOUNS = "drink|cocktail|serve|getränk|boisson|bebida|trago|cóctel|bevanda"
"""What a drink is called where it is counted: "My first drink"."""

NOT_A_DRINK = (
    "sip", "taste", "thing", "note", "impression", "step", "time", "half", "part", "wave", "place",
    "layer", "hit", "smell", "moment", "minute", "contact", "phase", "second",
)  # fmt: skip
"""What else is counted: "the first sip"."""

POINTS_AT = frozenset({"the", "my", "our", "your", "this", "that"})

_JOINTS = frozenset({"and", "but", "while", "whereas", "und", "et", "y", "e", "mais", "aber"})
_HEADS = frozenset(":–—")
_PARTS = frozenset(",;:–—")


def with_drinks(
    finds: Sequence[Find],
    passages: Iterable[Passage],
    drinks: Sequence[Drink],
    language: str = "en",
) -> tuple[Find, ...]:
    """The finds, those of no drink given the drink that their sentence tells.

    A drink's name before a colon tells it whatever the segment is about. A sentence tells it by the
    drink's name, or by its number: "The first is cold, the second is hot." Where it tells of
    several, each find is of the one named last before it, or else of the one in its own clause. A
    single drink needs no telling.
    """
    if len(drinks) == 1:
        only = drinks[0].id
        return tuple(replace(f, drink_id=only) if f.drink_id is None else f for f in finds)
    passages = tuple(passages)
    texts = {passage.segment_id: passage.text for passage in passages}
    of = {passage.segment_id: passage.drink_id for passage in passages}
    names = {drink.id: _plain(drink.name) for drink in drinks}
    told: dict[str, _Told] = {}
    found = []
    for find in finds:
        sentence = texts[find.segment_id][find.sentence_start : find.sentence_end]
        if find.drink_id is not None:
            # "Dusk: plum. Dawn: pear.": summed up in a segment that is about one of them.
            is_segments = find.drink_id == of.get(find.segment_id) and not find.ingredient_ids
            heading = _heading(sentence, names) if is_segments else None
            found.append(replace(find, drink_id=heading or find.drink_id))
            continue
        if sentence not in told:
            told[sentence] = _told(sentence, names, drinks, language)
        at = find.start - find.sentence_start
        found.append(replace(find, drink_id=_told_at(told[sentence], at)))
    return tuple(found)


def numbered(text: str, drinks: Sequence[Drink], language: str = "en") -> str | None:
    """The id of the one drink that a text counts: "My second drink is hot."; else None."""
    ordinals = ORDINALS.get(language, ())[: len(drinks)]
    # The last letter changes with the noun: "mein erster Drink", "la primera bebida".
    found = [
        drink.id
        for drink, word in zip(drinks, ordinals, strict=False)
        if re.search(rf"\b{word[:-1]}\w*\s+(?:{NOUNS})s?\b", text, re.IGNORECASE)
    ]
    return found[0] if len(found) == 1 else None


@dataclass(frozen=True)
class _Told:
    """Where a sentence names drinks (character, id), in order, and where its clauses begin."""

    named: Sequence[tuple[int, str]]
    clauses: Sequence[int]


def _told_at(told: _Told, at: int) -> str | None:
    """The drink that what stands at a character of the sentence is said of."""
    if not told.named:
        return None
    clause = bisect_right(told.clauses, at)
    inside = [one for one in told.named if bisect_right(told.clauses, one[0]) == clause]
    before = [one for one in told.named if one[0] <= at]
    if len({drink_id for _, drink_id in inside}) == 1:
        return inside[0][1]
    return (before or told.named)[-1 if before else 0][1]


def _told(
    sentence: str, names: Mapping[str, list[str]], drinks: Sequence[Drink], language: str
) -> _Told:
    tokens = tokens_kept(sentence)
    words = [token.norm for token in tokens]
    clauses = [
        token.start for token in tokens if not _PARTS.isdisjoint(token.gap) or token.norm in _JOINTS
    ]
    named = [
        (tokens[at].start, drink_id)
        for drink_id, name in names.items()
        for at in _places(words, name)
    ]
    if not named:
        ordinals = ORDINALS.get(language, ())[: len(drinks)]
        pairs = list(zip(words, [*words[1:], ""], strict=True))
        # "The first sip is cold, the second is sweet.": both of the sip.
        of_others = any(word in ordinals and after in NOT_A_DRINK for word, after in pairs)
        for at, (word, after) in enumerate(pairs):
            is_drink = after in ("drink", "cocktail") or not (of_others or _is_adverb(words, at))
            if word in ordinals and is_drink:
                named.append((tokens[at].start, drinks[ordinals.index(word)].id))
    return _Told(sorted(named), clauses)


def _heading(sentence: str, names: Mapping[str, list[str]]) -> str | None:
    """The drink whose name a sentence begins with, before a colon or a dash."""
    if _HEADS.isdisjoint(sentence):
        return None
    tokens = tokens_kept(sentence)
    words = [token.norm for token in tokens]
    for drink_id, name in names.items():
        behind = tokens[len(name) :][:1]
        if name and words[: len(name)] == name and behind and not _HEADS.isdisjoint(behind[0].gap):
            return drink_id
    return None


def _is_adverb(words: Sequence[str], at: int) -> bool:
    """ "First the cream, then the coffee": only what is pointed at is counted."""
    return words[at] in ORDINALS["en"] and words[at - 1 if at else 0] not in POINTS_AT


def _plain(name: str) -> list[str]:
    words = [token.norm for token in tokens_of(name)]
    return words[1:] if words[:1] == ["the"] and len(words) > 1 else words


def _places(words: Sequence[str], wanted: Sequence[str]) -> list[int]:
    size = len(wanted)
    starts = range(len(words) - size + 1) if size else ()
    return [at for at in starts if list(words[at : at + size]) == list(wanted)]
