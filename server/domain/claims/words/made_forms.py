"""Forms that English makes of a word by rule: adjectives of names, grades and -ness of adjectives.

The rules are those of any English grammar: a final "e" or "y" gives way, a single consonant behind
a single short vowel is doubled, and adjectives of more than two syllables are compared by "more".

>>> adjectives_of("melon"), adjectives_of("fig"), adjectives_of("jasmine")
(('melonny', 'melony'), ('figgy',), ('jasminy', 'jasminey'))
>>> grades_of("malty"), grades_of("thin"), grades_of("dense")
(('maltier', 'maltiness'), ('thinner', 'thinness'), ('denser', 'denseness'))
>>> grades_of("mellow"), grades_of("supple"), grades_of("astringent"), grades_of("numb")
(('mellower', 'mellowness'), ('suppler', 'suppleness'), (), ('numbness',))
"""

import re

_VOWELS = "aeiou"
_NOUN_OR_ADVERB = re.compile(r".*((?<!u)ity|ancy|ency|berry|(?<!o)ily|ingly)$").match

_NOT_OF_TASTE = frozenset(
    {
        "apply", "matey", "maty", "macy", "rummy", "dilly", "chary", "quincy", "saky", "meady",
        "wooly", "figy", "nuty", "corny", "rosy", "party", "barky", "musty", "sandy", "marly",
        "tary", "tarty", "datey", "daty", "musky", "flinty", "cakey", "jelly", "sagey", "sagy",
        "windy", "pearly", "hempy", "lilacy", "number", "flatter", "sourer", "finery", "goodness",
        "tinny", "busy", "seedy", "sunny", "stony", "mousy", "mousey", "bally", "piny", "bunny",
        "pansy", "daisy", "ginny", "bloody", "barny", "forestry", "gummy", "ropy", "lamby",
        "bakery", "husky", "heady", "beady", "lacy", "hivy", "sleeker", "steelier", "fiery",
        "candier", "crasser", "fitter", "witness", "likeness", "duck", "ducky", "bready",
        "cosier", "fulness", "hardness", "hotness", "tiny",
        "driness", "vegetably", "vegetabley",
        "longer", "longness", "shorter", "stinger", "stingness", "heater", "heatness",
        "glower", "glowness", "biter", "biteness", "sedimenter", "gravier", "graviness",
    }
)  # fmt: skip
"""What such a form means in common speech."""


def adjectives_of(noun: str) -> tuple[str, ...]:
    """The adjectives in -y that English makes of the name of a thing."""
    return tuple(form for form in _named_after(noun) if form not in _NOT_OF_TASTE)


def _named_after(noun: str) -> tuple[str, ...]:
    if len(noun) < 3 or noun.endswith(("y", "ing", "ed", "ic", "al", "ous", "a", "i", "u")):
        return ()
    if noun.endswith("o"):
        return (f"{noun}ey",)
    if noun.endswith("e"):
        return (f"{noun[:-1]}y", f"{noun}y")
    is_short = noun[-1] in "bdgmnpt" and noun[-2] in _VOWELS and noun[-3] not in _VOWELS
    return (f"{noun}{noun[-1]}y", f"{noun}y") if is_short else (f"{noun}y",)


def grades_of(adjective: str) -> tuple[str, ...]:
    """How an adjective is compared, and the name of what it tells."""
    is_adjective = len(adjective) > 2 and adjective.isalpha() and not _NOUN_OR_ADVERB(adjective)
    made = _graded(adjective) if is_adjective else ()
    return tuple(form for form in made if form not in _NOT_OF_TASTE)


def _graded(adjective: str) -> tuple[str, ...]:
    if adjective.endswith("y") and adjective[-2] not in _VOWELS:
        return (f"{adjective[:-1]}ier", f"{adjective[:-1]}iness")
    if adjective.endswith("y"):
        return ()
    if adjective.endswith(("ed", "ing", "ic", "al", "ous", "ent", "ant", "ish", "like", "ive")):
        return ()
    sounds = len(re.findall(r"[aeiouy]+", adjective.removesuffix("e")))
    if adjective.endswith("le"):
        sounds += 1
    if sounds > 1 and not adjective.endswith(("ow", "le", "er")):
        return ()
    if adjective.endswith("e"):
        return (f"{adjective}r", f"{adjective}ness")
    is_short = adjective[-1] in "bdgmnpt" and adjective[-2] in _VOWELS
    is_short = is_short and adjective[-3] not in _VOWELS
    return (f"{adjective}{adjective[-1] if is_short else ''}er", f"{adjective}ness")
