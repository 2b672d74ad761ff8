"""Words of flavour, aroma and texture, arranged family > group > word, and how two relate.

The arrangement and its words are data (taxonomy.toml), ours, and can be added to per routine. A
phrase that is not in it still finds its place by the known words it is made of: "ripe pear" is a
more particular "pear".

>>> taxonomy = shipped()
>>> taxonomy.relation("citrus", "orange"), taxonomy.relation("orange", "citrus")
('more general', 'more particular')
>>> taxonomy.relation("honeyed", "honey"), taxonomy.relation("ripe pear", "pear")
('same', 'more particular')
>>> taxonomy.relation("light-bodied", "syrupy"), taxonomy.relation("orange", "plum")
('opposite', 'none')
"""

import tomllib
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, field, replace
from functools import cache, cached_property, lru_cache
from importlib.resources import files
from typing import Literal

from server.domain.base.languages import stem
from server.domain.base.tokens import tokens_of
from server.domain.claims.words.made_forms import adjectives_of, grades_of
from server.domain.routine.own_words import OwnWord

Relation = Literal["same", "more general", "more particular", "opposite", "none"]
Stems = tuple[str, ...]


@dataclass(frozen=True)
class Word:
    """A word with the word, group or family right above it, and its other forms.

    `is_everyday` words count as tasting words only in the company of others. A `is_silent` one
    orders the list and is never said.
    """

    name: str
    parent: str | None
    forms: tuple[str, ...] = ()
    is_everyday: bool = False
    is_silent: bool = False
    exact: tuple[str, ...] = ()
    """Forms that are never guessed from a slip of spelling."""
    everyday: tuple[str, ...] = ()
    """Forms that count only in company, though the word itself may not need any."""
    made: tuple[str, ...] = ()
    """Forms that English makes of it, none of them listed: "melony", "figgy", "thinner"."""


@dataclass(frozen=True, eq=False)
class Taxonomy:
    """Words by name, and the pairs that exclude one another. Each is equal to itself alone.

    What is kept of words is asked for by their taxonomy thousands of times a text.
    """

    words: Mapping[str, Word]
    opposites: tuple[tuple[str, str], ...]
    language: str = "en"
    implied: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """A taste -> words of what has it by nature: honey is sweet, lemon is acidic."""

    @cached_property
    def by_stems(self) -> Mapping[Stems, str]:
        """Stems of each form -> the word it belongs to. A sayable word goes before a silent one."""
        found: dict[Stems, str] = {}
        for word in sorted(self.words.values(), key=lambda word: word.is_silent):
            for form in (word.name, *word.forms):
                found.setdefault(self.stems(form), word.name)
        for word in self.words.values():
            for form in word.made:
                found.setdefault(self.stems(form), word.name)
        return found

    def stems(self, phrase: str) -> Stems:
        """The stems of a phrase's words in this language, in order."""
        return _stems(phrase, self.language)

    def resolve(self, phrase: str) -> str | None:
        """The word of the taxonomy that a phrase is or is a form of; None for others."""
        return _placed(self, phrase)[0]

    def family(self, phrase: str) -> str | None:
        """The family a phrase belongs to, through the most particular word known in it."""
        above = self.ancestors(phrase)
        return above[-1] if above else self.resolve(phrase)

    def ancestors(self, phrase: str) -> tuple[str, ...]:
        """All that is more general than `phrase`, nearest first."""
        return _ancestors(self, phrase)

    def known_in(self, phrase: str) -> tuple[str, ...]:
        """The known words that an unknown phrase is made of, the last first."""
        return _placed(self, phrase)[1]

    def relation(self, claimed: str, other: str) -> Relation:
        """How the claimed phrase stands to another: the same, more general, more particular …"""
        return _relation(self, claimed, other)

    def is_opposite(self, one: str, other: str) -> bool:
        """Whether both cannot be true of the same drink, by themselves or by what they are of."""
        others = self.sides(other)
        return bool(others) and any(-side in others for side in self.sides(one))

    def sides(self, phrase: str) -> frozenset[int]:
        """The sides of pairs of opposites that a phrase is on; n and -n exclude each other."""
        return _sides(self, phrase)


# A routine's words are asked for again with every edit of its script: each answer is kept.
_kept = lru_cache(maxsize=50_000)


@_kept
def _stems(phrase: str, language: str) -> Stems:
    words = phrase.lower().split(" ")
    if phrase.isascii() and all(word.isalpha() for word in words):
        # Plain words, as most are, are their own tokens.
        return tuple(stem(word, language) for word in words)
    return tuple(stem(token.norm, language) for token in tokens_of(phrase))


@_kept
def _placed(taxonomy: Taxonomy, phrase: str) -> tuple[str | None, tuple[str, ...]]:
    """The word a phrase is, or else the words it is made of, its last one first."""
    stems = taxonomy.stems(phrase)
    exact = taxonomy.by_stems.get(stems)
    if exact:
        return exact, ()
    last, *others = _heads(stems, taxonomy.by_stems) or ("",)
    # "warm ginger" is a ginger; what it is to the touch is only by the way.
    telling = (name for name in others if top_of(taxonomy.words, name) != "touch")
    return None, tuple(name for name in (last, *telling) if name)


def top_of(words: Mapping[str, Word], name: str) -> str:
    """The family of a word by its name."""
    parent = words[name].parent
    return name if parent is None else top_of(words, parent)


@_kept
def _ancestors(taxonomy: Taxonomy, phrase: str) -> tuple[str, ...]:
    name, heads = _placed(taxonomy, phrase)
    above: list[str] = []
    for start in (taxonomy.words[name].parent,) if name else heads:
        while start is not None and start not in above:
            above.append(start)
            start = taxonomy.words[start].parent
    return tuple(above)


@_kept
def _sides(taxonomy: Taxonomy, phrase: str) -> frozenset[int]:
    place = {taxonomy.resolve(phrase), *taxonomy.ancestors(phrase)}
    pairs = list(enumerate(taxonomy.opposites, 1))
    left = (number for number, (one, _) in pairs if one in place)
    right = (-number for number, (_, other) in pairs if other in place)
    return frozenset((*left, *right))


@_kept
def _relation(taxonomy: Taxonomy, claimed: str, other: str) -> Relation:
    mine = taxonomy.resolve(claimed) or claimed
    theirs = taxonomy.resolve(other) or other
    if mine == theirs or taxonomy.stems(claimed) == taxonomy.stems(other):
        return "same"
    if mine in taxonomy.ancestors(other):
        return "more general"
    if theirs in taxonomy.ancestors(claimed):
        return "more particular"
    return "opposite" if taxonomy.is_opposite(claimed, other) else "none"


def _heads(stems: Stems, known: Mapping[Stems, str]) -> tuple[str, ...]:
    """The known words inside an unknown phrase, the last first; the longest reading of each."""
    heads: list[str] = []
    end = len(stems)
    while end > 0:
        for start in range(end):
            name = known.get(stems[start:end])
            if name is not None and end - start < len(stems):
                heads.append(name)
                end = start + 1
                break
        end -= 1
    return tuple(heads)


@cache
def shipped() -> Taxonomy:
    """The taxonomy as it is shipped, in English."""
    source = files(__package__).joinpath("taxonomy.toml").read_text(encoding="utf-8")
    tables = tomllib.loads(source)
    relations = tables.pop("relations")
    marks = {key: set(tables.pop(key)["words"]) for key in ("everyday", "silent", "exact")}
    words: dict[str, Word] = {}
    for family, groups in tables.items():
        for word in _family_words(family, groups):
            words.setdefault(word.name, word)
    return Taxonomy(
        words=_with_made_forms(_marked(words, **marks)),
        opposites=tuple((left, right) for left, right in relations["opposites"]),
        implied={taste: tuple(things) for taste, things in relations["implied"].items()},
    )


def _with_made_forms(words: Mapping[str, Word]) -> dict[str, Word]:
    """The words with what English makes of them: "melony" of melon, "thinner" of thin."""
    taken = {form for word in words.values() for form in (word.name, *word.forms)}
    grown = {}
    for name, word in words.items():
        made = () if word.is_silent else _made_forms(word, top_of(words, name), taken)
        grown[name] = replace(word, made=made) if made else word
    return grown


def _made_forms(word: Word, family: str, taken: Set[str]) -> tuple[str, ...]:
    """Adjectives of a thing; what is felt, and every adjective in -y, is compared."""
    is_thing = family not in _FELT
    made = list(adjectives_of(word.name)) if is_thing and word.name.isalpha() else []
    told = (word.name, *word.forms) if family == "taste" else word.forms
    told = tuple(
        form for form in told if form[-1] == "y" and not (form[-2:] == "ly" and form[:-2] in taken)
    )
    for form in told if is_thing or family == "taste" else (word.name, *told):
        # "smokiness" is known by the stem of "smoky"; what is felt is known as it is spelt.
        made += [grade for grade in grades_of(form) if not is_thing or grade.endswith("er")]
    return tuple(form for form in dict.fromkeys(made) if form not in taken)


_FELT = ("taste", "touch", "course")


def _family_words(family: str, groups: Mapping[str, object]) -> Iterable[Word]:
    for group, content in groups.items():
        if isinstance(content, list):
            yield Word(family, None, tuple(content))
            continue
        entries: dict[str, list[str]] = dict(content)  # type: ignore[call-overload]
        yield Word(group, family, tuple(entries.pop("*")))
        for path, forms in entries.items():
            *above, name = (part.strip() for part in path.split(">"))
            yield Word(name, above[-1] if above else group, tuple(forms))


def _marked(
    words: Mapping[str, Word], everyday: set[str], silent: set[str], exact: set[str]
) -> dict[str, Word]:
    return {
        name: Word(
            name,
            word.parent,
            word.forms,
            name in everyday,
            name in silent,
            tuple(form for form in (name, *word.forms) if form in exact),
            tuple(form for form in word.forms if form in everyday),
        )
        for name, word in words.items()
    }


def extended(base: Taxonomy, own: Sequence[OwnWord]) -> Taxonomy:
    """`base` with a routine's own words. A word of the same name replaces the shipped one.

    A word whose `kind_of` is not known stands alone.
    """
    if not own:
        return base
    words = dict(base.words)
    for item in own:
        known = Taxonomy({**words}, (), base.language)
        parent = known.resolve(item.kind_of) if item.kind_of else None
        old = words.get(item.word)
        above = parent if parent != item.word else None
        words[item.word] = Word(
            item.word,
            above or (old.parent if old else None),
            (*item.synonyms, *(old.forms if old else ())),
        )
    pairs = [(item.word, item.opposite_of) for item in own if item.opposite_of]
    grown = Taxonomy(words, base.opposites, base.language)
    more = tuple((word, grown.resolve(other) or other) for word, other in pairs)
    return Taxonomy(words, base.opposites + more, base.language, base.implied)


@cache
def for_language(language: str) -> Taxonomy:
    """The shipped words for English; for other languages an empty list to be filled."""
    return shipped() if language == "en" else Taxonomy({}, (), language)
