"""Which drink a claim is about, where its segment is about none in particular."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

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

NOT_A_DRINK = ("sip", "taste", "thing", "note", "impression", "step", "time")


def with_drinks(
    finds: Sequence[Find],
    passages: Iterable[Passage],
    drinks: Sequence[Drink],
    language: str = "en",
) -> tuple[Find, ...]:
    """The finds, those of no drink given the drink that their sentence tells.

    A sentence tells it by the drink's name, or by its number: "The second is cold." A single
    drink needs no telling.
    """
    if len(drinks) == 1:
        only = drinks[0].id
        return tuple(replace(f, drink_id=only) if f.drink_id is None else f for f in finds)
    texts = {passage.segment_id: passage.text for passage in passages}
    names = {drink.id: _plain(drink.name) for drink in drinks}
    told: dict[str, str | None] = {}
    found = []
    for find in finds:
        sentence = texts[find.segment_id][find.sentence_start : find.sentence_end]
        if find.drink_id is None and sentence not in told:
            told[sentence] = _told(sentence, names, drinks, language)
        found.append(find if find.drink_id else replace(find, drink_id=told[sentence]))
    return tuple(found)


def _told(
    sentence: str, names: Mapping[str, list[str]], drinks: Sequence[Drink], language: str
) -> str | None:
    words = [token.norm for token in tokens_kept(sentence)]
    named = [drink_id for drink_id, name in names.items() if _has(words, name)]
    if len(named) == 1:
        return named[0]
    pairs = list(zip(words, [*words[1:], ""], strict=True))
    for number, ordinal in enumerate(ORDINALS.get(language, ())[: len(drinks)]):
        if any(word == ordinal and after not in NOT_A_DRINK for word, after in pairs):
            return drinks[number].id
    return None


def _plain(name: str) -> list[str]:
    words = [token.norm for token in tokens_of(name)]
    return words[1:] if words[:1] == ["the"] and len(words) > 1 else words


def _has(words: Sequence[str], wanted: Sequence[str]) -> bool:
    size = len(wanted)
    return size > 0 and any(list(words[at : at + size]) == list(wanted) for at in range(len(words)))
