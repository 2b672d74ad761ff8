"""Where the phrases of a lexicon stand in a text, slips of spelling and hearing included."""

from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from server.domain.base.languages import stem
from server.domain.base.tokens import Token, places_of
from server.domain.claims.cues import english
from server.domain.claims.lexicon import (
    BREAK,
    LITERAL_FAMILIES,
    SHORTEST_SLIP,
    UNKNOWN,
    Entry,
    Lexicon,
)
from server.domain.claims.negation import Polarity

MOST_REMEMBERED = 50_000

LONG_WORD = 8
"""From this length on two wrong letters are forgiven, below one."""


@dataclass(frozen=True)
class Mention:
    """A phrase of the lexicon over the tokens `first` to `end` (exclusive).

    `descriptor` and `ingredient_ids` are what it may mean; both where it may be either. A scale
    with its degree ("acidity: high") says how it is claimed by `answer`, up to `told_to`.
    """

    first: int
    end: int
    descriptor: Entry | None
    ingredient_ids: tuple[str, ...]
    is_slip: bool = False
    answer: Polarity | None = None
    told_to: int = 0

    @property
    def is_only_ingredient(self) -> bool:
        """Whether it can only be the name of an ingredient."""
        return self.descriptor is None

    def is_any_of(self, words: Container[str]) -> bool:
        """Whether it is one of these words of taste, or is put together from one."""
        entry = self.descriptor
        if entry is None or entry.word in words:
            return entry is not None
        return any(one in words for one in entry.made_of)


def mentions_in(tokens: Sequence[Token], lexicon: Lexicon) -> list[Mention]:
    """The mentions among `tokens`, in order, longest phrase first at each place."""
    if lexicon.automaton is None or not tokens:
        return []
    text, places = _spelt(tokens, lexicon)
    matches = lexicon.automaton.find_matches_as_indexes(text)  # type: ignore[attr-defined]
    meant = (
        _meant(tokens, places[first], places[end - 1] + 1, lexicon.entries[entry])
        for entry, first, end in matches
    )
    found = [mention for mention in meant if mention is not None]
    taken = places_of(found)
    joined = _joined(tokens, taken, lexicon)
    halves = {at for mention in joined for at in (mention.first, mention.first + 1)}
    found = [mention for mention in found if mention.first not in halves] + joined
    taken |= places_of(found)
    found += _slips(tokens, taken, lexicon)
    return sorted(found, key=lambda mention: mention.first)


def _spelt(tokens: Sequence[Token], lexicon: Lexicon) -> tuple[str, list[int]]:
    """The text as the automaton reads it, and the token of each of its letters.

    A word is a letter, and a mark that parts phrases ("orange. Syrup") is one too.
    """
    letters: list[str] = []
    places: list[int] = []
    known = lexicon.letters
    for at, token in enumerate(tokens):
        if token.gap and _parts(token.gap):
            letters.append(BREAK)
            places.append(at)
        letters.append(known.get(stem(token.norm, lexicon.language), UNKNOWN))
        places.append(at)
    return "".join(letters), places


def _meant(
    tokens: Sequence[Token], first: int, end: int, entries: Iterable[Entry], *, slip: bool = False
) -> Mention | None:
    said = " ".join(token.norm for token in tokens[first:end])
    readings = [entry for entry in entries if entry.word and (slip or _is_form(entry, said))]
    ingredients = tuple(dict.fromkeys(i for entry in entries for i in entry.ingredient_ids))
    if not readings and not ingredients:
        return None
    # A word as it is spelt ("chilly") goes before one of the same stem ("chilli"), and a form that
    # stands by itself ("smoky") speaks louder than one that needs company.
    best = min(readings, key=lambda one: (one.literal is None, one.needs_company), default=None)
    if best is not None and best.is_weighed and ingredients:
        # "The sugar" of this drink is its sugar.
        best = None
    return Mention(first, end, best, ingredients, slip)


def _parts(gap: str) -> bool:
    return gap.strip("-'’\"“”*_") != ""


def _is_form(entry: Entry, said: str) -> bool:
    if entry.literal is not None:
        return said.replace("-", " ") == entry.literal.replace("-", " ")
    return not (entry.needs_company and entry.family in LITERAL_FAMILIES)


_SMALL = frozenset({"all", "the", "not", "and", "but", "for", "its", "with", "one", "you", "are"})
"""Words that are no half of another: "all spice" is not allspice."""


SHORTEST_HALF = 3
"""Letters of half a word, at the least: two of them make the shortest word that has slips."""


def _joined(tokens: Sequence[Token], taken: set[int], lexicon: Lexicon) -> list[Mention]:
    """ "nut meg": a word that was written as two."""
    found = []
    for at, (left, right) in enumerate(pairwise(tokens)):
        if (
            len(left.norm) < SHORTEST_HALF
            or len(right.norm) < SHORTEST_HALF
            or left.norm in _SMALL
            or _parts(right.gap)
            or left.is_number
            or right.is_number
        ):
            continue
        whole = left.norm + right.norm
        place = lexicon.singles.get(stem(whole, lexicon.language)) if whole.isalpha() else None
        # Where one half is itself known ("sea salt") the whole must be the better reading.
        if place is None or (at in taken and at + 1 in taken):
            continue
        mention = _meant(tokens, at, at + 2, lexicon.entries[place], slip=True)
        if mention is not None:
            found.append(mention)
    return found


def _slips(tokens: Sequence[Token], taken: set[int], lexicon: Lexicon) -> list[Mention]:
    """Words that are a letter or two away from a descriptor, and no ordinary word themselves."""
    found = []
    misheard = english().heard
    for at, token in enumerate(tokens):
        is_long = len(token.norm) >= SHORTEST_SLIP
        if (not is_long and token.norm not in misheard) or at in taken:
            continue
        heard = _misheard(tokens, at, lexicon) if token.norm in misheard else None
        if heard is not None:
            found.append(heard)
        if heard is not None or not is_long or token.is_number:
            continue
        if stem(token.norm, lexicon.language) in lexicon.letters:
            # "chills": a form of a known word that was looked at and not taken.
            continue
        place = _nearest(token.norm, lexicon)
        mention = (
            None if place is None else _meant(tokens, at, at + 1, lexicon.entries[place], slip=True)
        )
        if mention is not None:
            found.append(mention)
    return found


def _misheard(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> Mention | None:
    """ "notes of pair": what a recogniser writes for a word of the same sound, in its place."""
    cues = english()
    meant = cues.heard[tokens[at].norm]
    if lexicon.language != "en" or at < 2 or tokens[at - 1].norm != "of":
        return None
    place = lexicon.singles.get(stem(meant, lexicon.language))
    if place is None or tokens[at - 2].norm not in cues.taste:
        return None
    return _meant(tokens, at, at + 1, lexicon.entries[place], slip=True)


def _nearest(word: str, lexicon: Lexicon) -> int | None:
    """The entries of the descriptor that `word` is a slip of, if any."""
    if word in lexicon.slips:
        return lexicon.slips[word]
    if len(lexicon.slips) > MOST_REMEMBERED:
        lexicon.slips.clear()
    place = None if word in english().ordinary else _compared(word, lexicon)
    lexicon.slips[word] = place
    return place


def _compared(word: str, lexicon: Lexicon) -> int | None:
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    near = lexicon.by_initial.get(word[0])
    if not near:
        return None
    spelt = word.removesuffix("s")
    most = 2 if len(spelt) >= LONG_WORD else 1
    best = process.extractOne(spelt, near.keys(), scorer=OSA.distance, score_cutoff=most)
    if best is None or (best[1] > 1 and len(best[0]) < LONG_WORD):
        return None
    return near[str(best[0])]
