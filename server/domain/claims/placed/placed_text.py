"""A passage taken apart into words and sentences, beside what is asked of its drinks."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from server.domain.base.languages import stem
from server.domain.base.tokens import Sentence, Token, sentences_of, tokens_of
from server.domain.claims.finds import Passage
from server.domain.claims.lexicon import Lexicon
from server.domain.claims.spoken.other_things import OwnNames, own_names
from server.domain.claims.spoken.pieces import is_unmarked
from server.domain.claims.spoken.spoken_text import Recipes, recipes_of
from server.domain.claims.spoken.unmarked_words import with_apostrophes
from server.domain.routine.drink import Drink


@dataclass(frozen=True)
class OfDrinks:
    """What is asked of the drinks that a passage may be about."""

    recipes: Recipes
    listed: frozenset[str]
    own_ingredients: frozenset[str]
    own_names: OwnNames


@dataclass(frozen=True)
class Read:
    """A passage taken apart."""

    passage: Passage
    tokens: Sequence[Token]
    words: Sequence[str]
    stems: Sequence[str]
    sentences: Sequence[Sentence]
    lexicon: Lexicon
    about: OfDrinks
    is_unmarked: bool = False

    @property
    def is_english(self) -> bool:
        """Whether the rules of English hold."""
        return self.lexicon.language == "en"


class Here(NamedTuple):
    """The sentence that is read, and the stems of the piece of it at hand."""

    sentence: Sentence
    words: str


def of_drinks(drinks: Sequence[Drink], lexicon: Lexicon) -> OfDrinks:
    """What is asked of these drinks by a passage about them."""
    resolve = lexicon.taxonomy.resolve
    phrases = [phrase for drink in drinks for phrase in drink.descriptors]
    return OfDrinks(
        recipes=recipes_of(drinks),
        listed=frozenset(resolve(phrase) or phrase.strip() for phrase in phrases),
        own_ingredients=frozenset(part.id for drink in drinks for part in drink.ingredients),
        own_names=own_names(drinks),
    )


def read_apart(passage: Passage, lexicon: Lexicon, about: OfDrinks) -> Read:
    """The words and sentences of a passage."""
    tokens = tokens_of(passage.text)
    if lexicon.language == "en":
        tokens = with_apostrophes(tokens, passage.text)
    words = [token.norm for token in tokens]
    return Read(
        passage=passage,
        tokens=tokens,
        words=words,
        stems=[stem(word, lexicon.language) for word in words],
        sentences=sentences_of(passage.text, lexicon.language),
        lexicon=lexicon,
        about=about,
        is_unmarked=is_unmarked(passage.text),
    )


def stems_of(read: Read, first: int, end: int) -> str:
    """The stems of the tokens from `first` to `end`."""
    return " ".join(read.stems[first:end])
