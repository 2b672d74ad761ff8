"""What is found at a place of a text, as a `Find`: with its words, its sentence and its drink."""

from collections.abc import Iterator, Sequence
from typing import TypedDict, Unpack

from server.domain.base.languages import Bound
from server.domain.claims.attach import pair_of
from server.domain.claims.context import Role
from server.domain.claims.finds import Find, FindKind, Moment
from server.domain.claims.free.absences import ONLY, Absence
from server.domain.claims.free.only import is_of_recipe
from server.domain.claims.learnt.mention_told import Told
from server.domain.claims.mentions import Mention
from server.domain.claims.negation import Polarity
from server.domain.claims.placed.placed_text import Here, Read, stems_of
from server.domain.claims.quantities import Quantity
from server.domain.claims.tasting.moments import moment_near


class _More(TypedDict, total=False):
    word: str | None
    polarity: Polarity
    moment: Moment
    low: float
    high: float
    unit: str
    also: tuple[float, ...]
    bound: Bound
    ingredient_ids: tuple[str, ...]
    against: tuple[str, ...]
    is_slip: bool
    is_doubtful: bool
    of_other: str


def word_finds(read: Read, here: Here, span: tuple[int, int], told: Told) -> Iterator[Find]:
    """What a word is: one of taste, the name of an ingredient, perhaps the one beside the other."""
    mention, entry = told.mention, told.mention.descriptor
    first, end = mention.first, max(mention.end, mention.told_to)
    if told.role is Role.INGREDIENT or (entry is None and told.role is Role.CLAIM):
        ids = _candidates(mention, read.about.own_ingredients)
        yield _find(
            read, here, "ingredient", first, end, ingredient_ids=ids, is_slip=mention.is_slip
        )
    if entry is not None and (told.role is Role.CLAIM or told.doubt):
        yield _find(
            read, here, "descriptor" if told.role is Role.CLAIM else "perhaps", first, end,
            word=entry.word,
            polarity=told.polarity,
            moment=moment_near(read.words, span, mention) if read.is_english else "",
            is_slip=mention.is_slip,
            is_doubtful=bool(told.doubt),
        )  # fmt: skip


def quantity_find(
    read: Read,
    here: Here,
    quantity: Quantity,
    owner: Mention | None,
    other: str,
    mentions: Sequence[Mention],
) -> Find:
    """A number with the ingredient it is of; a ratio with the two ingredients it is of."""
    own = read.about.own_ingredients
    pair: Sequence[tuple[str, ...]] = [() if owner is None else _candidates(owner, own)]
    if quantity.kind == "ratio":
        pair = [_candidates(one, own) for one in pair_of(read.tokens, quantity, mentions)]
    return _find(
        read, here, quantity.kind, quantity.first, quantity.end,
        low=quantity.low,
        high=quantity.high,
        unit=quantity.unit,
        also=quantity.also,
        bound=quantity.bound,
        ingredient_ids=pair[0] if pair else (),
        against=pair[1] if len(pair) > 1 else (),
        is_slip=quantity.is_slip,
        of_other=other,
    )  # fmt: skip


def absence_finds(
    read: Read, here: Here, absences: Sequence[Absence], mentions: Sequence[Mention]
) -> list[Find]:
    """What is said not to be in a drink, and that it has nothing but what is named."""
    found = []
    for absence in absences:
        first, end = absence.first, absence.end
        before = [one for one in mentions if one.ingredient_ids and one.end <= first]
        if absence.word == "sugar" and before:
            # "The cream has no sugar in it": said of an ingredient.
            continue
        if absence.word != ONLY:
            more: _More = {"word": absence.word, "polarity": "lacks"}
            found.append(_find(read, here, "free", first, end, **more))
        elif is_of_recipe(read.words, (first, end), mentions):
            named = [_candidates(one, read.about.own_ingredients) for one in mentions]
            ids = tuple(dict.fromkeys(one for group in named for one in group))
            found.append(_find(read, here, "only", first, end, ingredient_ids=ids))
    return found


def _find(
    read: Read, here: Here, kind: FindKind, first: int, end: int, **more: Unpack[_More]
) -> Find:
    text = read.passage.text
    start, stop = read.tokens[first].start, read.tokens[end - 1].end
    return Find(
        segment_id=read.passage.segment_id,
        kind=kind,
        start=start,
        end=stop,
        phrase=text[start:stop],
        sentence_index=here.sentence.index,
        sentence_start=here.sentence.start,
        sentence_end=here.sentence.end,
        words=stems_of(read, first, end),
        sentence_words=here.words,
        drink_id=read.passage.drink_id,
        **more,
    )


def _candidates(mention: Mention, own: frozenset[str]) -> tuple[str, ...]:
    """The ingredients a name may mean, those of the drink at hand where there are any."""
    here = tuple(one for one in mention.ingredient_ids if one in own)
    return here or mention.ingredient_ids
