"""What the clause around a flavour word speaks of: its verb, and what stands before that.

"The lime tastes of …" speaks of one thing that is there, "a margarita is …" of any, "it's …" of
the drink; what follows is a claim of the first and the last alone.

>>> from server.domain.base.tokens import tokens_of
>>> said = tokens_of("The lime is sharp; a margarita is sharp, and it's long.")
>>> [list(of_the_clause(said, at, 0, "no part"))[2] for at in (3, 7, 10)]
['about this', 'about any', 'about it']
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from server.domain.base.tokens import Token

_VERBS = {
    "is", "are", "was", "were", "isn't", "aren't", "wasn't", "be", "tastes", "taste", "smells",
    "smell", "feels", "feel", "gives", "give", "brings", "bring", "has", "have", "hasn't",
    "haven't", "comes", "come", "goes", "go", "stays", "stay", "turns", "turn", "gets", "get",
    "adds", "add", "carries", "carry", "makes", "make", "opens", "open", "leaves", "leave",
    "ends", "end", "finishes", "finish", "starts", "start", "reads", "sits", "sit", "stands",
    "stand", "shows", "show", "drinks", "drink", "becomes", "become", "remains", "remain",
    "lasts",
}  # fmt: skip
_JOINED = ("'s", "'re")
"""A verb that is one word with its subject: "it's"."""

_ENDS = {
    "and", "but", "or", "so", "because", "since", "while", "when", "if", "though", "although",
    "that", "which", "who",
}  # fmt: skip
"""Words before which another clause ended."""

_KINDS = {
    **dict.fromkeys(("i", "we"), "me"),
    **dict.fromkeys(("there", "here"), "there"),
    **dict.fromkeys(("a", "an", "any", "some", "every", "most"), "any"),
    **dict.fromkeys(("the", "this", "that", "these", "my", "our", "your"), "this"),
    **dict.fromkeys(("he", "she", "his", "her", "who"), "others"),
    "you": "you",
}
_ALONE = {"it", "this", "that", "they", "these"}
_FARTHEST, _LONGEST = 13, 6
"""Words before the flavour among which the verb is looked for; words of a subject."""


@dataclass(frozen=True)
class _Clause:
    verb: str
    subject: Sequence[str]
    far: int


def of_the_clause(tokens: Sequence[Token], first: int, begin: int, part: str) -> Iterator[str]:
    """Names of the verb before the word at `first` and of its subject, in a sentence from `begin`.

    `part` tells whether the word is an ingredient of the drink.
    """
    clause = _clause_before(tokens, first, begin)
    if clause is None:
        yield "no verb before"
        return
    subject = clause.subject
    told = subject[0] if subject else "none"
    kind = _kind_of(subject)
    yield f"verb {clause.verb}"
    yield f"verb {_apart(clause.far)} away"
    yield f"about {kind}"
    yield f"about {kind}, {clause.verb}"
    yield f"about {kind}, {part}"
    yield f"about {kind} of {min(len(subject), 4)}"
    yield f"subject begins {told}"
    yield f"subject ends {subject[-1] if subject else 'none'}"


def _clause_before(tokens: Sequence[Token], first: int, begin: int) -> _Clause | None:
    for at in range(first - 1, max(begin, first - _FARTHEST) - 1, -1):
        word = tokens[at].norm
        if word in _VERBS or word.endswith(_JOINED):
            return _Clause(word, _subject(tokens, at, begin), first - at)
    return None


def _subject(tokens: Sequence[Token], verb: int, begin: int) -> list[str]:
    """The words before a verb as far as its clause goes."""
    found = [tokens[verb].norm.partition("'")[0]] if tokens[verb].norm.endswith(_JOINED) else []
    at = verb
    while at > begin and len(found) < _LONGEST and not tokens[at].gap.strip(" '-"):
        at -= 1
        if tokens[at].norm in _ENDS:
            break
        found.insert(0, tokens[at].norm)
    return found


def _kind_of(subject: Sequence[str]) -> str:
    if not subject:
        return "none"
    if len(subject) == 1 and subject[0] in _ALONE:
        return "it"
    return _KINDS.get(subject[0], "bare")


def _apart(words: int) -> str:
    return "1" if words == 1 else "2-3" if words <= 3 else "4-7" if words <= 7 else "8-"
