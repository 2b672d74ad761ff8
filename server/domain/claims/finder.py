"""The claims in a script, found without tagging.

>>> passage = Passage("s", "Forty mils of rum. You'll find plum, but no bitterness.")
>>> finds = find_claims([passage], ())
>>> [(f.kind, f.phrase, f.polarity) for f in finds if f.kind != "ingredient"]
[('amount', 'Forty mils', 'has'), ('descriptor', 'plum', 'has'),
 ('descriptor', 'bitterness', 'lacks')]
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from server.domain.base.languages import stem
from server.domain.base.tokens import Sentence, Token, places_of, sentences_of, tokens_of
from server.domain.claims.attach import attached, pair_of, whose_warmths
from server.domain.claims.beside.idioms import without_turns
from server.domain.claims.context import Role
from server.domain.claims.exclusions import is_claimed, is_image
from server.domain.claims.finds import Find, FindKind, Passage, numbered
from server.domain.claims.free import absences as free
from server.domain.claims.free.absences import ONLY, Absence
from server.domain.claims.free.only import is_of_recipe
from server.domain.claims.learnt.mention_told import Told
from server.domain.claims.learnt.second_look import told_in
from server.domain.claims.lexicon import Lexicon, lexicon_for
from server.domain.claims.mentions import Mention, mentions_in
from server.domain.claims.quantities import Quantity
from server.domain.claims.scene import Scene
from server.domain.claims.spoken.other_things import OwnNames, own_names, told_apart
from server.domain.claims.spoken.pieces import is_unmarked, pieces
from server.domain.claims.spoken.running import tell_stories
from server.domain.claims.spoken.spoken_text import Spoken
from server.domain.claims.spoken.unmarked_words import with_apostrophes
from server.domain.claims.tasting.moments import moment_near
from server.domain.claims.words.compounds import with_compounds
from server.domain.claims.words.part_names import without_part_names
from server.domain.claims.words.scales import with_answers
from server.domain.routine.drink import Drink
from server.domain.routine.own_words import OwnWord

MOST_FINDS = 1000
"""So many claims and names are looked at; a script of ten minutes has a hundred."""


@dataclass(frozen=True)
class _Read:
    """A passage taken apart."""

    passage: Passage
    tokens: Sequence[Token]
    words: Sequence[str]
    sentences: Sequence[Sentence]
    lexicon: Lexicon
    listed: frozenset[str]
    own_ingredients: frozenset[str]
    own_names: OwnNames
    drinks: Sequence[Drink] = ()
    is_unmarked: bool = False


class _Here(NamedTuple):
    """The sentence that is read, and the stems of the piece of it at hand."""

    sentence: Sentence
    words: str


def find_claims(
    passages: Iterable[Passage],
    drinks: Sequence[Drink],
    language: str = "en",
    own: Sequence[OwnWord] = (),
) -> tuple[Find, ...]:
    """The claims and named ingredients of all passages, in the order they are said.

    Where there are more than `MOST_FINDS`, one more than that: enough to see it.
    """
    lexicon = lexicon_for(drinks, language, own)
    by_id = {drink.id: drink for drink in drinks}
    found: list[Find] = []
    for passage in passages:
        drink = by_id.get(passage.drink_id or "")
        read = _read(passage, lexicon, (drink,) if drink else tuple(drinks))
        found += _finds_in(read, MOST_FINDS + 1 - len(found))
    return tuple(
        replace(find, occurrence=count) if count else find
        for find, count in zip(found, numbered(found), strict=True)
    )


def _read(passage: Passage, lexicon: Lexicon, drinks: Sequence[Drink]) -> _Read:
    resolve = lexicon.taxonomy.resolve
    phrases = [phrase for drink in drinks for phrase in drink.descriptors]
    tokens = tokens_of(passage.text)
    if lexicon.language == "en":
        tokens = with_apostrophes(tokens, passage.text)
    return _Read(
        passage=passage,
        tokens=tokens,
        words=[token.norm for token in tokens],
        sentences=sentences_of(passage.text, lexicon.language),
        lexicon=lexicon,
        listed=frozenset(resolve(phrase) or phrase.strip() for phrase in phrases),
        own_ingredients=frozenset(part.id for drink in drinks for part in drink.ingredients),
        own_names=own_names(drinks),
        drinks=drinks,
        is_unmarked=is_unmarked(passage.text),
    )


def _finds_in(read: _Read, most: int) -> list[Find]:
    mentions = mentions_in(read.tokens, read.lexicon)
    if _is_english(read):
        mentions = without_turns(mentions, read.words)
        mentions = with_compounds(read.tokens, mentions, read.listed, unmarked=read.is_unmarked)
        mentions = with_answers(read.tokens, mentions, unmarked=read.is_unmarked)
        mentions = without_part_names(read.tokens, mentions, read.drinks, read.listed)
    spoken = Spoken(read.tokens, read.lexicon.language, read.drinks)
    firsts = [token.start for token in read.tokens]
    found: list[Find] = []
    for sentence in read.sentences:
        first = bisect_right(firsts, sentence.start - 1)
        end = bisect_right(firsts, sentence.end - 1)
        clauses = pieces(read.tokens, first, end, unmarked=read.is_unmarked)
        told = tell_stories(read.words, clauses, read.lexicon.language)
        runs_on = read.is_unmarked or len(clauses) > 1
        for number, span in enumerate(clauses):
            inside = _within(mentions, *span)
            counted = spoken.of(span, inside) if spoken.has_any(span) else []
            absent = free.absences_in(read.tokens, span, read.lexicon.language)
            if inside or counted or absent:
                found += _sentence_finds(
                    read, sentence, span, inside, counted, absent, told[number], runs_on, spoken
                )  # fmt: skip
            spoken.note(span, inside)
        if len(found) >= most:
            break
    return found[:most]


def _is_english(read: _Read) -> bool:
    return read.lexicon.language == "en"


def _within(parts: Sequence[Mention], first: int, end: int) -> list[Mention]:
    """Those of ordered parts that lie in a stretch of tokens, whole."""
    begin = bisect_left(parts, first, key=lambda part: part.first)
    stop = bisect_left(parts, end, key=lambda part: part.first)
    return [part for part in parts[begin:stop] if part.end <= end]


def _sentence_finds(
    read: _Read,
    sentence: Sentence,
    span: tuple[int, int],
    mentions: Sequence[Mention],
    quantities: Sequence[Quantity],
    absences: Sequence[Absence],
    is_told: bool,
    runs_on: bool,
    spoken: Spoken,
) -> list[Find]:
    first, end = span
    here = _Here(sentence, _stems(read, first, end))
    absent = _absence_finds(read, here, absences, mentions)
    busy = places_of((*quantities, *(one for one in absences if one.word != ONLY)))
    mentions = [m for m in mentions if not busy & set(range(m.first, m.end))]
    others, mentions = told_apart(
        read.tokens, read.passage.text, quantities, mentions, read.own_names, read.lexicon, span
    )
    owners = {
        quantity: owner if quantity in others else spoken.meant_by(quantity, owner)
        for quantity, owner in attached(read.tokens, quantities, mentions, others).items()
    }
    owners |= whose_warmths(read.tokens, first, quantities, mentions)
    held = [mention for mention in owners.values() if mention is not None]
    if any(find.kind == "only" for find in absent):
        held += [mention for mention in mentions if mention.ingredient_ids]
    ratios = [quantity for quantity in quantities if quantity.kind == "ratio"]
    held += [one for each in ratios for one in pair_of(read.tokens, each, mentions)]
    measured = frozenset(mention.first for mention in held)
    scene = Scene(
        read.tokens, read.words, first, end, mentions, measured, read.listed,
        read.lexicon.names, read.passage.text, is_told, runs_on,
    )  # fmt: skip
    found = [
        find
        for told in told_in(scene, read.lexicon.language)
        for find in _word_finds(read, here, span, told)
    ]
    for quantity in quantities:
        if free.is_denied_at(absences, quantity.first):
            continue
        other = others.get(quantity, "")
        if is_image(read.tokens, quantity, other, spoken.units):
            continue
        if is_claimed(read.tokens, quantity, span, read.lexicon.language):
            find = _quantity_find(read, here, quantity, owners.get(quantity), other)
            found.append(_with_pair(read, find, quantity, mentions))
    return sorted((*found, *absent), key=lambda find: (find.start, find.end))


def _word_finds(read: _Read, here: _Here, span: tuple[int, int], told: Told) -> Iterator[Find]:
    """What a word is: a descriptor, the name of an ingredient, perhaps the one beside the other."""
    mention, entry = told.mention, told.mention.descriptor
    is_name = told.role is Role.INGREDIENT or (entry is None and told.role is not Role.NOTHING)
    if not (is_name or told.role is Role.CLAIM or told.doubt):
        return
    bare = _bare(read, here, "descriptor", mention.first, max(mention.end, mention.told_to))
    bare = replace(bare, is_slip=mention.is_slip)
    if is_name:
        ids = _candidates(mention, read.own_ingredients)
        yield replace(bare, kind="ingredient", ingredient_ids=ids)
    if entry is not None and (told.role is Role.CLAIM or told.doubt):
        yield replace(
            bare,
            kind="descriptor" if told.role is Role.CLAIM else "perhaps",
            word=entry.word,
            polarity=told.polarity,
            moment=moment_near(read.words, span, mention) if _is_english(read) else "",
            is_doubtful=bool(told.doubt),
        )


def _quantity_find(
    read: _Read,
    here: _Here,
    quantity: Quantity,
    owner: Mention | None,
    other: str,
) -> Find:
    bare = _bare(read, here, quantity.kind, quantity.first, quantity.end)
    return replace(
        bare,
        low=quantity.low,
        high=quantity.high,
        unit=quantity.unit,
        also=quantity.also,
        bound=quantity.bound,
        ingredient_ids=() if owner is None else _candidates(owner, read.own_ingredients),
        is_slip=quantity.is_slip,
        of_other=other,
    )


def _absence_finds(
    read: _Read, here: _Here, absences: Sequence[Absence], mentions: Sequence[Mention]
) -> list[Find]:
    found = []
    for absence in absences:
        before = [one for one in mentions if one.ingredient_ids and one.end <= absence.first]
        if absence.word == "sugar" and before:
            # "The cream has no sugar in it": said of an ingredient.
            continue
        bare = _bare(read, here, "free", absence.first, absence.end)
        if absence.word != ONLY:
            found.append(replace(bare, word=absence.word, polarity="lacks"))
        elif is_of_recipe(read.words, (absence.first, absence.end), mentions):
            named = [_candidates(one, read.own_ingredients) for one in mentions]
            ids = tuple(dict.fromkeys(one for group in named for one in group))
            found.append(replace(bare, kind="only", ingredient_ids=ids))
    return found


def _with_pair(read: _Read, find: Find, quantity: Quantity, mentions: Sequence[Mention]) -> Find:
    """A ratio with the two ingredients it is of."""
    if quantity.kind != "ratio":
        return find
    pair = pair_of(read.tokens, quantity, mentions)
    ids = [_candidates(one, read.own_ingredients) for one in pair]
    return replace(
        find,
        ingredient_ids=ids[0] if ids else (),
        against=ids[1] if len(ids) > 1 else (),
    )


def _bare(read: _Read, here: _Here, kind: FindKind, first: int, end: int) -> Find:
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
        words=_stems(read, first, end),
        sentence_words=here.words,
        drink_id=read.passage.drink_id,
    )


def _stems(read: _Read, first: int, end: int) -> str:
    language = read.lexicon.language
    return " ".join(stem(token.norm, language) for token in read.tokens[first:end])


def _candidates(mention: Mention, own: frozenset[str]) -> tuple[str, ...]:
    """The ingredients a name may mean, those of the drink at hand where there are any."""
    here = tuple(one for one in mention.ingredient_ids if one in own)
    return here or mention.ingredient_ids
