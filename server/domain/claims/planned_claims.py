"""When a planned descriptor counts as said, and when two claims exclude each other."""

from typing import Protocol

from server.domain.claims.negation import Polarity
from server.domain.claims.taxonomy import Taxonomy


class Claimed(Protocol):
    """A word as it is claimed of a drink."""

    @property
    def word(self) -> str:
        """The descriptor."""

    @property
    def polarity(self) -> Polarity:
        """Whether it is said to be there."""


def covers(said: str, planned: str, taxonomy: Taxonomy) -> bool:
    """Whether saying one word fulfils a planned one.

    The same, a synonym or a more particular word does; so does the heart of a planned phrase:
    "pear" for "ripe pear". A more general word ("fruit" for "pear") does not.

    >>> from server.domain.claims.taxonomy import shipped
    >>> taxonomy = shipped()
    >>> [covers(said, "ripe pear", taxonomy) for said in ("pear", "ripe pear", "fruit", "plum")]
    [True, True, False, False]
    """
    relation = taxonomy.relation(said, planned)
    if relation == "more general":
        return _is_heart(said, planned, taxonomy)
    return relation in ("same", "more particular")


def _is_heart(said: str, planned: str, taxonomy: Taxonomy) -> bool:
    """Whether the planned phrase has the said word in it."""
    wanted, stems = taxonomy.stems(said), taxonomy.stems(planned)
    return any(stems[at : at + len(wanted)] == wanted for at in range(len(stems)))


def clashes(one: Claimed, other: Claimed, taxonomy: Taxonomy) -> bool:
    """Whether two claims of one drink cannot both be true: opposites, or said and denied."""
    if "some" in (one.polarity, other.polarity):
        return False
    if one.polarity == other.polarity:
        return one.polarity == "has" and taxonomy.is_opposite(one.word, other.word)
    has, lacks = (one, other) if one.polarity == "has" else (other, one)
    return taxonomy.relation(lacks.word, has.word) in ("same", "more general")
