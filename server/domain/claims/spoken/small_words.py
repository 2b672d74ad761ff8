"""Small words around a number that has no unit of its own, in all languages."""

from collections.abc import Sequence

OF = frozenset(["of", "vom", "von", "de", "del", "di", "da", "do", "d"])
ARTICLES = frozenset(
    [
        "the", "a", "an", "my", "our", "this", "that", "your", "each", "der", "die", "das", "dem",
        "den", "meinem", "la", "le", "les", "el", "los", "las", "il", "lo", "gli", "i", "o", "os",
        "as"
    ]
)  # fmt: skip
IS = frozenset(
    [
        "is", "are", "at", "was", "goes", "stands", "comes", "sits", "ist", "sind", "est", "sont",
        "es", "son", "è", "sono", "é", "são",
    ]
)  # fmt: skip
SHARED = frozenset(
    [
        "in", "out", "for", "each", "per", "all", "altogether", "total", "pro", "je", "pour",
        "por", "para",
    ]
)  # fmt: skip
TAKES = frozenset(
    [
        "get", "gets", "makes", "make", "is", "have", "so", "just", "only", "take", "takes", "use",
        "add", "with", "then", "and", "to", "says", "reads", "shows"
    ]
)  # fmt: skip
HEDGES = frozenset({"maybe", "about", "around", "roughly", "perhaps", "nearly", "almost"})
TO = frozenset({"at", "to", "is", "auf", "bei", "à", "a"})

_HOW_NEAR = frozenset({"about", "around", "roughly", "exactly", "just", "only", "nearly", "almost"})


def unhedged(words: Sequence[str]) -> list[str]:
    """The words before a number, but for those at their end that tell how near it is.

    >>> unhedged(["it", "sits", "for", "just", "about"])
    ['it', 'sits', 'for']
    """
    kept = list(words)
    while kept and kept[-1] in _HOW_NEAR:
        kept.pop()
    return kept
