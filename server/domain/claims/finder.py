"""The claims in a script, found without tagging.

>>> passage = Passage("s", "Forty mils of rum. You'll find plum, but no bitterness.")
>>> finds = find_claims([passage], ())
>>> [(f.kind, f.phrase, f.polarity) for f in finds if f.kind != "ingredient"]
[('amount', 'Forty mils', 'has'), ('descriptor', 'plum', 'has'),
 ('descriptor', 'bitterness', 'lacks')]
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import replace

from server.domain.base.tokens import Sentence, places_of
from server.domain.claims.attach import attached, pair_of, whose_warmths
from server.domain.claims.beside.idioms import without_turns
from server.domain.claims.exclusions import is_claimed, is_image
from server.domain.claims.finds import Find, Passage, numbered
from server.domain.claims.free import absences as free
from server.domain.claims.free.absences import ONLY, Absence
from server.domain.claims.handling.ice_water import FROM_ICE, ice_water_of
from server.domain.claims.learnt.second_look import told_in
from server.domain.claims.lexicon import lexicon_for
from server.domain.claims.mentions import Mention, mentions_in
from server.domain.claims.placed.placed_finds import absence_finds, quantity_find, word_finds
from server.domain.claims.placed.placed_text import (
    Here,
    OfDrinks,
    Read,
    of_drinks,
    read_apart,
    stems_of,
)
from server.domain.claims.quantities import Quantity
from server.domain.claims.scene import Scene
from server.domain.claims.spoken.other_things import told_apart
from server.domain.claims.spoken.pieces import pieces
from server.domain.claims.spoken.running import tell_stories
from server.domain.claims.spoken.spoken_text import Spoken
from server.domain.claims.words.compounds import with_compounds
from server.domain.claims.words.part_names import without_part_names
from server.domain.claims.words.scales import with_answers
from server.domain.routine.drink import Drink
from server.domain.routine.own_words import OwnWord

MOST_FINDS = 1000
"""So many claims and names are looked at; a script of ten minutes has a hundred."""


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
    by_id = {drink.id: (drink,) for drink in drinks}
    # Passages are about few drinks: what is asked of those is found out once.
    about: dict[str, OfDrinks] = {}
    found: list[Find] = []
    for passage in passages:
        key = passage.drink_id if passage.drink_id in by_id else ""
        if key not in about:
            about[key] = of_drinks(by_id.get(key, tuple(drinks)), lexicon)
        found += _finds_in(read_apart(passage, lexicon, about[key]), MOST_FINDS + 1 - len(found))
    return tuple(
        replace(find, occurrence=count) if count else find
        for find, count in zip(found, numbered(found), strict=True)
    )


def _finds_in(read: Read, most: int) -> list[Find]:
    mentions = mentions_in(read.tokens, read.lexicon)
    if read.is_english:
        mentions = without_turns(mentions, read.words)
        listed = read.about.listed
        mentions = with_compounds(read.tokens, mentions, listed, unmarked=read.is_unmarked)
        mentions = with_answers(read.tokens, mentions, unmarked=read.is_unmarked)
        mentions = without_part_names(read.tokens, mentions, read.about.recipes.drinks, listed)
        mentions = free.without_free(read.tokens, mentions)
    spoken = Spoken(read.tokens, read.lexicon.language, read.about.recipes)
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


def _within(parts: Sequence[Mention], first: int, end: int) -> list[Mention]:
    """Those of ordered parts that lie in a stretch of tokens, whole."""
    begin = bisect_left(parts, first, key=lambda part: part.first)
    stop = bisect_left(parts, end, key=lambda part: part.first)
    return [part for part in parts[begin:stop] if part.end <= end]


def _sentence_finds(
    read: Read,
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
    here = Here(sentence, stems_of(read, first, end))
    absent = absence_finds(read, here, absences, mentions)
    busy = places_of((*quantities, *(one for one in absences if one.word != ONLY)))
    ratios = [quantity for quantity in quantities if quantity.kind == "ratio"]
    inside = [m for m in mentions if any(one.first <= m.first < one.end for one in ratios)]
    mentions = [m for m in mentions if busy.isdisjoint(range(m.first, m.end))]
    others, mentions = told_apart(
        read.tokens,
        read.passage.text,
        quantities,
        mentions,
        read.about.own_names,
        read.lexicon,
        span,
    )
    if read.is_english:
        others = {**others, **ice_water_of(read.tokens, quantities, mentions, span)}
    owners = {
        quantity: owner if quantity in others else spoken.meant_by(quantity, owner)
        for quantity, owner in attached(read.tokens, quantities, mentions, others).items()
    }
    owners |= whose_warmths(read.tokens, first, quantities, mentions)
    held = [mention for mention in owners.values() if mention is not None]
    if any(find.kind == "only" for find in absent):
        held += [mention for mention in mentions if mention.ingredient_ids]
    paired = sorted((*mentions, *inside), key=lambda one: one.first)
    held += [one for each in ratios for one in pair_of(read.tokens, each, paired)]
    measured = frozenset(mention.first for mention in held)
    scene = Scene(
        read.tokens, read.words, first, end, mentions, measured, read.about.listed,
        read.lexicon.names, read.passage.text, is_told, runs_on,
    )  # fmt: skip
    found = [
        find
        for told in told_in(scene, read.lexicon.language)
        for find in word_finds(read, here, span, told)
    ]
    for quantity in quantities:
        if free.is_denied_at(absences, quantity.first):
            continue
        other = others.get(quantity, "")
        if is_image(read.tokens, quantity, other, spoken.recipes.units):
            continue
        if other == FROM_ICE or is_claimed(read.tokens, quantity, span, read.lexicon.language):
            owner = owners.get(quantity)
            found.append(quantity_find(read, here, quantity, owner, other, paired))
    return sorted((*found, *absent), key=lambda find: (find.start, find.end))
