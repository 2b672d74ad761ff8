"""Short forms written without their apostrophe: "theres", "dont", "its dry".

Captions and hurried typing leave it out; every rule reads the form with it.

>>> from server.domain.base.tokens import tokens_of
>>> text = "its dry and theres no smoke in its tail"
>>> [token.norm for token in with_apostrophes(tokens_of(text), text)][:5]
["it's", 'dry', 'and', "there's", 'no']
"""

from collections.abc import Sequence

from server.domain.base.tokens import Token

_ALWAYS = {
    "theres": "there's", "thats": "that's", "whats": "what's", "heres": "here's",
    "wheres": "where's", "whos": "who's", "dont": "don't", "doesnt": "doesn't", "didnt": "didn't",
    "isnt": "isn't", "arent": "aren't", "wasnt": "wasn't", "werent": "weren't", "havent": "haven't",
    "hasnt": "hasn't", "hadnt": "hadn't", "wouldnt": "wouldn't", "couldnt": "couldn't",
    "shouldnt": "shouldn't", "youll": "you'll", "youre": "you're", "youve": "you've",
    "youd": "you'd", "ive": "i've", "im": "i'm", "theyre": "they're", "theyve": "they've",
    "weve": "we've", "itll": "it'll", "thatll": "that'll", "hes": "he's", "shes": "she's",
    "cant": "can't", "wont": "won't", "aint": "ain't", "lets": "let's",
}  # fmt: skip
_OWNED = frozenset(
    [
        "nose", "aroma", "smell", "taste", "flavour", "flavor", "finish", "body", "texture", "tail",
        "own", "way", "place", "colour", "color", "name", "edge", "edges", "head", "heart", "time",
        "sugar", "acid", "acidity", "sweetness", "bitterness", "strength", "best", "side", "skin",
        "foam", "fizz", "bubbles", "weight", "warmth", "peel", "leaf", "leaves", "juice",
    ]
)  # fmt: skip
"""Behind "its" these belong to something: "its finish"."""


def with_apostrophes(tokens: Sequence[Token], text: str) -> list[Token]:
    """The tokens, each short form of English as it is spelt; places in the text are kept.

    "its" is "it is" only in a text that has no apostrophe at all, and not before what it may own.
    """
    is_bare = "'" not in text and "’" not in text
    read = list(tokens)
    for at, token in enumerate(tokens):
        if token.norm in _ALWAYS:
            read[at] = token._replace(norm=_ALWAYS[token.norm])
        elif token.norm == "its" and is_bare:
            after = tokens[at + 1].norm if at + 1 < len(tokens) else ""
            if after and after not in _OWNED:
                read[at] = token._replace(norm="it's")
    return read
