"""Everything to be looked for in a script, compiled once: descriptors and ingredients' names.

Words become one letter each (a letter per stem), so that one pass of an Aho-Corasick automaton
over the script finds the longest phrase at every place, whatever the inflections.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from server.domain.base.languages import stem, supported
from server.domain.base.tokens import tokens_of
from server.domain.claims.taxonomy import Stems, Taxonomy, Word, extended, for_language, top_of
from server.domain.claims.words.weighed import weighed_forms
from server.domain.routine.drink import Drink
from server.domain.routine.own_words import OwnWord

UNKNOWN, BREAK = "\x00", "\x01"
_FIRST_LETTER = 0x100

SHORTEST_SLIP = 6
"""Words with fewer letters have too many neighbours to be taken for a slip of another."""

LITERAL_FAMILIES = ("taste", "touch", "course")
"""Families of adjectives: of their everyday words only the very forms count, not the stems."""

_STRONG_ENDINGS = ("ness", "ity", "ency")

_PLAIN = {
    "aged", "fresh", "dry", "raw", "filter", "cold", "hot", "dark", "white", "red", "clear",
    "old", "new", "young", "washed", "natural", "large", "small", "double", "single", "unaged",
    "and", "of", "the", "with", "in", "on", "a", "house", "home", "made", "homemade", "solution",
    "brewed", "cooled", "warm", "green", "black", "light", "sweet", "toasted", "roasted", "vol",
    "abv", "each", "one", "two", "strip", "piece", "contains", "drink", "glass", "cup",
}  # fmt: skip
"""Words of an ingredient's name that do not stand for it by themselves."""


@dataclass(frozen=True)
class Entry:
    """What a phrase means: a descriptor, one or more ingredients, or either.

    `is_listed` phrases were written by the user as a descriptor. `needs_company` ones count as a
    descriptor only among other tasting words, `is_weighed` ones only where said plainly or learnt.
    `head` is the known word of a flavour that was put together from more ("grass" of "wet grass"),
    `made_of` all known words in it.
    """

    stems: Stems
    word: str | None = None
    needs_company: bool = False
    literal: str | None = None
    is_listed: bool = False
    ingredient_ids: tuple[str, ...] = ()
    family: str | None = None
    head: str | None = None
    made_of: tuple[str, ...] = ()
    is_weighed: bool = False


@dataclass(frozen=True)
class Lexicon:
    """The compiled phrases of one routine in one language."""

    taxonomy: Taxonomy
    language: str
    entries: tuple[tuple[Entry, ...], ...]
    letters: Mapping[str, str]
    automaton: object = field(repr=False)
    singles: Mapping[str, int] = field(default_factory=dict, repr=False)
    """Stem of each one-word form -> its place in `entries`."""
    by_initial: Mapping[str, Mapping[str, int]] = field(default_factory=dict, repr=False)
    """First letter -> the longer one-word forms as spelt -> their places, to compare slips with."""
    names: frozenset[str] = frozenset()
    """The single words that ingredients are called by, as they are spelt."""
    slips: dict[str, int | None] = field(default_factory=dict, repr=False, compare=False)
    """What was found out about words that are no form: each is compared once."""


def lexicon_for(
    drinks: Sequence[Drink], language: str = "en", own: Sequence[OwnWord] = ()
) -> Lexicon:
    """The lexicon of these drinks. Kept for drinks that name the same things."""
    names = tuple(
        (part.id, part.name, part.descriptors) for drink in drinks for part in drink.ingredients
    )
    listed = tuple(phrase for drink in drinks for phrase in drink.descriptors)
    return _compiled(names, listed, supported(language).code, tuple(own))


@lru_cache(maxsize=64)
def taxonomy_for(language: str, own: tuple[OwnWord, ...] = ()) -> Taxonomy:
    """The shipped words of the language with a routine's own."""
    return extended(for_language(language), own)


@lru_cache(maxsize=64)
def _compiled(
    names: tuple[tuple[str, str, tuple[str, ...]], ...],
    listed: tuple[str, ...],
    language: str,
    own: tuple[OwnWord, ...],
) -> Lexicon:
    from ahocorasick_rs import AhoCorasick, MatchKind

    known = _known(language, own)
    phrases = (*listed, *(phrase for _, _, descriptors in names for phrase in descriptors))
    found = dict(known.found)
    for entry in _entries_of_drinks(known.taxonomy, names, phrases):
        found[entry.stems] = (*found.get(entry.stems, ()), entry)
    letters = dict(known.letters)
    more = [*found][len(known.patterns) :]
    patterns = [*known.patterns, *(_spelt(stems, letters) for stems in more)]
    entries = tuple(found.values())
    new = _singles({stems: found[stems] for stems in more}, len(known.patterns))
    singles = {**known.singles, **new}
    return Lexicon(
        taxonomy=known.taxonomy,
        language=language,
        entries=entries,
        letters=letters,
        automaton=AhoCorasick(patterns, matchkind=MatchKind.LeftmostLongest) if patterns else None,
        singles=singles,
        names=frozenset(
            alias for _, name, _ in names for alias in aliases(name) if " " not in alias
        ),
        by_initial=_by_initial(phrases, singles, language, known.by_initial),
    )


@dataclass(frozen=True)
class _Known:
    """What the words of a taxonomy alone make of a lexicon: the same for all drinks."""

    taxonomy: Taxonomy
    found: Mapping[Stems, tuple[Entry, ...]]
    letters: Mapping[str, str]
    patterns: tuple[str, ...]
    singles: Mapping[str, int]
    by_initial: Mapping[str, Mapping[str, int]]


@lru_cache(maxsize=64)
def _known(language: str, own: tuple[OwnWord, ...]) -> _Known:
    taxonomy = taxonomy_for(language, own)
    found: dict[Stems, tuple[Entry, ...]] = {}
    for entry in _taxonomy_entries(taxonomy):
        found[entry.stems] = (*found.get(entry.stems, ()), entry)
    letters: dict[str, str] = {}
    singles = _singles(found, 0)
    spoken = (word for word in taxonomy.words.values() if not word.is_silent)
    forms = (form for word in spoken for form in (word.name, *word.forms) if form not in word.exact)
    return _Known(
        taxonomy,
        found,
        letters,
        tuple(_spelt(stems, letters) for stems in found),
        singles,
        _by_initial(forms, singles, language, {}),
    )


def _spelt(stems: Stems, letters: dict[str, str]) -> str:
    for one in stems:
        letters.setdefault(one, chr(_FIRST_LETTER + len(letters)))
    return "".join(letters[one] for one in stems)


def _entries_of_drinks(
    taxonomy: Taxonomy,
    names: Sequence[tuple[str, str, tuple[str, ...]]],
    phrases: Sequence[str],
) -> Iterable[Entry]:
    for phrase in dict.fromkeys(phrases):
        stems = taxonomy.stems(phrase)
        known = taxonomy.resolve(phrase)
        if stems and known is None:
            family = taxonomy.family(phrase)
            yield Entry(
                stems,
                phrase.strip(),
                len(stems) == 1 and stems[0] in _PLAIN,
                is_listed=True,
                family=family,
            )
    for ingredient_id, name, _ in names:
        for alias in aliases(name):
            yield Entry(taxonomy.stems(alias), ingredient_ids=(ingredient_id,))


def _taxonomy_entries(taxonomy: Taxonomy) -> tuple[Entry, ...]:
    entries: dict[Entry, None] = {}
    weighed = weighed_forms()
    for name, word in taxonomy.words.items():
        if word.is_silent:
            continue
        family = top_of(taxonomy.words, name)
        own_stems = taxonomy.stems(name)
        for form in (name, *word.forms, *word.made):
            stems = taxonomy.stems(form)
            is_everyday = word.is_everyday or form in word.everyday
            is_other = own_stems != stems and form.endswith("ed")
            is_made = form.endswith("ing") and family not in LITERAL_FAMILIES
            # "perfumed" tells of the taste, "perfume" of a bottle; "frosting" is no frost.
            # Where two words have one stem ("burning", "burn"), each is its own form alone.
            is_literal = (
                (is_everyday and family in LITERAL_FAMILIES)
                or is_other
                or is_made
                or taxonomy.by_stems[stems] != name
            )
            is_needy = is_everyday and not _tells_by_itself(form, word, family)
            is_weighed = is_everyday and weighed.get(form) == name
            literal = form if is_literal or is_weighed else None
            entry = Entry(stems, name, is_needy, literal, family=family, is_weighed=is_weighed)
            entries[entry] = None
    known = {entry.literal or "" for entry in entries}
    more = weighed.items() if taxonomy.language == "en" else ()
    for form, name in more:
        if form not in known:
            above = top_of(taxonomy.words, name) if name in taxonomy.words else None
            other = Entry(taxonomy.stems(form), name, True, form, family=above, is_weighed=True)
            entries[other] = None
    return tuple(entries)


_TELLING_ENDINGS = ("y", "ier", "ed", "ness", "ic", "al", "ish", "ous")
"""Of forms that tell of a taste by themselves ("smoky"), where the word does not ("smoke")."""


def _tells_by_itself(form: str, word: Word, family: str | None) -> bool:
    """Whether a form of an everyday word needs no company."""
    if form in word.everyday:
        return False
    if family in LITERAL_FAMILIES:
        return form.endswith(_STRONG_ENDINGS)
    return form != word.name and form.endswith(_TELLING_ENDINGS)


_OF = {
    "of", "with", "from", "de", "d", "di", "da", "do", "del", "della", "du", "des", "au", "aux",
    "à", "von",
}  # fmt: skip
"""An alias does not begin with one of these: "de almendra" is said of a taste, too."""


@lru_cache(maxsize=4_000)
def aliases(name: str) -> tuple[str, ...]:
    """What an ingredient may be called: its name, the end of it, and its telling words.

    >>> aliases("Heather honey syrup, three parts honey to one part water")
    ('heather honey syrup', 'honey syrup', 'heather honey', 'heather', 'honey', 'syrup')
    """
    words: list[str] = []
    for token in tokens_of(name):
        if (words and token.gap.strip("-'")) or token.is_number:
            break
        words.append(token.norm)
    endings = [
        " ".join(words[start:]) for start in range(len(words) - 1) if words[start] not in _OF
    ]
    starts = [" ".join(words[:end]) for end in range(2, len(words))]
    single = [word for word in words if word not in _PLAIN and len(word) > 2]
    return tuple(dict.fromkeys((*endings, *starts, *(single or words))))


def _singles(found: Mapping[Stems, Sequence[Entry]], first: int) -> dict[str, int]:
    return {
        stems[0]: place
        for place, (stems, group) in enumerate(found.items(), first)
        if len(stems) == 1 and any(entry.word is not None for entry in group)
    }


def _by_initial(
    forms: Iterable[str],
    singles: Mapping[str, int],
    language: str,
    known: Mapping[str, Mapping[str, int]],
) -> dict[str, Mapping[str, int]]:
    """`known` with the longer ones of these forms."""
    more: dict[str, dict[str, int]] = {}
    for form in (form.strip().lower() for form in forms):
        place = singles.get(stem(form, language)) if form.isalpha() else None
        if place is not None and len(form) >= SHORTEST_SLIP:
            more.setdefault(form[0], {})[form] = place
    return {
        **known,
        **{initial: {**known.get(initial, {}), **new} for initial, new in more.items()},
    }
