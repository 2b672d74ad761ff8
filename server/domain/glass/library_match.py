"""Which entry of the library a written name means: exactly, nearly, or perhaps.

>>> matches("fresh lemon juice")[0].entry.key, matches("gin", abv_percent=44.0)[0].entry.key
('lemon-juice', 'gin-45')
>>> any(match.is_sure for match in matches("coconut water"))
False
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import cache

from server.domain.glass.library import LibraryEntry, entry_named, ingredient, library

SURE = 80.0
"""From this score (of 100) on a match is proposed at once; below it is only offered."""

_SAME = 97.0
"""The score of a name that is the entry's but for words that leave it what it is."""

_SOLUTIONS = ("acid", "salt", "water")
"""Kinds whose share in a solution is what they are."""

MOST_OFFERED = 5
_LEAST_OFFERED = 55.0

OTHER_NAMES = {
    "whiskey": "whisky-40", "scotch": "whisky-40", "bourbon": "corn-whisky-45",
    "rye": "rye-50", "rye whiskey": "rye-50", "cognac": "brandy-40", "brandy": "brandy-40",
    "rum": "rum-aged-40", "light rum": "rum-white-40", "gold rum": "rum-aged-40",
    "dark rum": "rum-aged-40", "tequila": "agave-40", "mezcal": "agave-smoked-45",
    "cachaca": "cane-spirit-40", "aquavit": "caraway-spirit-42", "absinthe": "anise-spirit-60",
    "triple sec": "orange-liqueur-40", "curacao": "orange-curacao-30",
    "amaretto": "almond-liqueur-28", "maraschino": "cherry-liqueur-32",
    "creme de cassis": "cassis-20", "creme de cacao": "cocoa-liqueur-25",
    "limoncello": "lemon-liqueur-30", "amaro": "gentian-amaro-28", "vermouth": "sweet-vermouth-16",
    "red vermouth": "sweet-vermouth-16", "sparkling wine": "sparkling-wine-12",
    "white wine": "white-wine-12", "red wine": "red-wine-13", "sherry": "dry-sherry-15",
    "port": "port-20", "beer": "lager-5", "cider": "cider-5", "bitters": "aromatic-bitters",
    "saline": "saline-20", "salt solution": "saline-20", "saline solution": "saline-20",
    "sea salt": "salt", "simple syrup": "syrup-1-1", "sugar syrup": "syrup-1-1",
    "syrup": "syrup-1-1", "rich syrup": "syrup-2-1", "rich simple syrup": "syrup-2-1",
    "cane syrup": "cane-syrup-2-1", "raw cane syrup": "cane-syrup-2-1", "almond syrup": "orgeat",
    "pomegranate syrup": "grenadine", "lemon": "lemon-juice", "lime": "lime-juice",
    "cranberry juice": "cranberry-juice", "passion fruit": "passion-fruit",
    "passion fruit puree": "passion-fruit", "tonic": "tonic-water", "soda": "soda-water",
    "sparkling water": "soda-water", "milk": "whole-milk", "cream": "cream-35",
    "heavy cream": "cream-35", "oat milk": "oat-drink", "almond milk": "almond-drink",
    "cream of coconut": "cream-of-coconut", "coffee": "filter-coffee", "tea": "black-tea",
    "cold brew": "cold-brew", "sugar": "white-sugar", "caster sugar": "white-sugar",
    "granulated sugar": "white-sugar", "sugar cube": "white-sugar", "powdered sugar": "icing-sugar",
    "brown sugar": "raw-cane-sugar", "demerara sugar": "raw-cane-sugar", "vinegar": "white-vinegar",
    "egg": "whole-egg", "aquafaba": "aquafaba", "mint": "mint", "lemon zest": "lemon-peel",
    "lemon twist": "lemon-peel", "orange zest": "orange-peel", "orange twist": "orange-peel",
    "grapefruit": "grapefruit-juice", "cinnamon stick": "cinnamon",
}  # fmt: skip
"""What people also write -> the key of the entry; general words, no brands."""

_NEUTRAL = frozenset((
    "fresh", "freshly", "squeezed", "pressed", "cold", "hot", "chilled", "warm", "cooled",
    "strained", "clear", "good", "house", "homemade", "home", "made", "large", "small", "strong",
    "organic", "local", "brewed", "ground", "of", "the", "a", "an", "some", "unaged",
    "unsweetened", "plain",
))  # fmt: skip
"""Words that leave an ingredient what it is."""

_FRESH = frozenset(("fresh", "freshly", "squeezed", "pressed"))
"""Those of them that also leave it as warm and as strong as it is."""

_ALTERED = re.compile(
    r"\b(?:\w*wash(?:ed)?|adjusted|(?:de)?alcoholi[sz]ed|(?:alcohol|sugar|caffeine|fat)[- ]free"
    r"|(?:non|no|low)[- ]?alcohol\w*|without|zero|decaf\w*|diet|light|skinny|diluted|reduc\w*"
    r"|alkoholfrei\w*|sans alcool|sin alcohol|analcolic\w*|sem álcool)\b",
    re.IGNORECASE,
)
"""Words beside the name of a thing that make another of it: alcohol-free gin is no gin."""

_PERCENT = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:%|g in 100 g)")

_ALIKE_WORD = 85.0
"""Of a name that is misspelt every word is this much alike: apple is no maple."""

_RATIO = re.compile(r"\b(\d+)\s*(?::|to)\s*(\d+)\b")
"""Sugar to water, as syrups are named by."""

_TOO_GENERAL = frozenset({"water", "ice", "salt", "milk", "sugar", "cream"})
"""Names that stand at the end of many other things' names: coconut water is no water."""


@dataclass(frozen=True)
class Match:
    """An entry that a name may mean, and how sure that is, of 100."""

    entry: LibraryEntry
    score: float

    @property
    def is_sure(self) -> bool:
        """Whether it may be proposed without being asked for."""
        return self.score >= SURE


def matches(name: str, abv_percent: float | None = None) -> tuple[Match, ...]:
    """The entries that `name` may mean, the likeliest first; of one strength the nearest."""
    wanted, ratio = _plain(name), _ratio(name)
    if not wanted:
        return ()
    turned = _turned(name)
    if turned is not None:
        found = matches(turned, abv_percent)
        # "Vermouth, dry" is dry vermouth; what is no such thing leaves in doubt what it is.
        if not found or not found[0].is_sure:
            return tuple(map(_doubted, matches(name.split(",")[0], abv_percent)))
        return found
    if ratio == ("2", "1") and OTHER_NAMES.get(_bare(wanted)) == "syrup-1-1":
        wanted = "rich syrup"
    also = _other_names().get(wanted) or _other_names().get(_bare(wanted))
    scored = [
        Match(entry, 100.0 if entry.key == also else _score(wanted, known))
        for entry, known in _plain_names()
    ]
    scored = [_doubted(each) if _is_another(name, ratio, each) else each for each in scored]
    likely = [match for match in scored if match.score >= _LEAST_OFFERED]
    likely.sort(key=lambda match: (-match.score, _apart(match.entry, abv_percent)))
    unique = {match.entry.key: match for match in reversed(likely)}
    return tuple(reversed(unique.values()))[:MOST_OFFERED]


def named_alike(name: str) -> LibraryEntry | None:
    """The one entry that is called so, but for what its name adds: "lemon juice" is the fresh one.

    None where a strength or a ratio is written, or where several entries are called so: which of
    them is meant is then the person's to say.
    """
    exact = entry_named(name)
    if exact is not None or any(letter.isdigit() for letter in name):
        return exact
    wanted = _without_fresh(_plain(name))
    found = {entry.key: entry for entry, known in _plain_names() if _without_fresh(known) == wanted}
    return next(iter(found.values())) if wanted and len(found) == 1 else None


def _without_fresh(plain: str) -> str:
    return " ".join(_singular(word) for word in plain.split() if word not in _FRESH)


def _ratio(name: str) -> tuple[str, ...]:
    found = _RATIO.search(name)
    return found.groups() if found else ()


def _turned(name: str) -> str | None:
    """A name whose kind stands behind a comma, the usual way round; None where none does."""
    before, comma, after = re.split(r"[(;]", name, maxsplit=1)[0].partition(",")
    behind = [word for word in _plain(after).split() if word not in _NEUTRAL]
    if not comma or not behind or len(behind) > 2 or any(each.isdigit() for each in after):
        return None
    return f"{' '.join(behind)} {before}"


def _is_another(name: str, ratio: tuple[str, ...], match: Match) -> bool:
    """Whether more is written than the entry's name, and it makes it sweeter, weaker, another."""
    is_altered = match.score < _SAME and _ALTERED.search(name) is not None
    return is_altered or _differ(ratio, match) or _percents_differ(name, match)


def _differ(ratio: tuple[str, ...], match: Match) -> bool:
    """Whether another ratio is written than the entry has: such a syrup is sweeter or thinner."""
    held = _ratio(match.entry.name) if ratio else ()
    return bool(ratio) and held != ratio and (bool(held) or match.entry.substance.kind == "syrup")


def _percents_differ(name: str, match: Match) -> bool:
    """Whether another share is written than a solution has: 10 % of salt is not 20 %."""
    if match.entry.substance.kind not in _SOLUTIONS:
        return False
    written, held = _PERCENT.search(name), _PERCENT.search(match.entry.name)
    if written is None:
        # "Lactic acid": is it the bottle of 80 %, or thinned?
        is_acid = match.entry.substance.kind == "acid"
        return is_acid and (held is not None or "solution" in name.casefold())
    return held is None or float(written[1].replace(",", ".")) != float(held[1])


def _doubted(match: Match) -> Match:
    return Match(match.entry, min(match.score, SURE - 1))


def _score(wanted: str, known: str) -> float:
    """How alike two plain names are, of 100."""
    from rapidfuzz import fuzz

    if wanted == known:
        return 100.0
    mine, theirs = _bare(wanted), _bare(known)
    if mine == theirs:
        return _SAME
    alike: float = fuzz.token_sort_ratio(mine, theirs)
    words, held = mine.split(), theirs.split()
    pairs = zip(sorted(words), sorted(held), strict=False)
    is_misspelt = len(words) != len(held) or all(fuzz.ratio(*pair) >= _ALIKE_WORD for pair in pairs)
    if alike >= 90 and len(mine) > 4 and is_misspelt:
        return alike
    # "heather honey" is a honey: what a name ends with says what it is.
    if held and words[-len(held) :] == held and held[-1] not in _TOO_GENERAL:
        return 82.0
    return min(alike, SURE - 1)


def _apart(entry: LibraryEntry, abv_percent: float | None) -> float:
    strength = entry.substance.abv
    if abv_percent is None or strength is None:
        return 0.0
    return abs(strength.value - abv_percent)


def _plain(name: str) -> str:
    """A name without its strength, what stands in brackets or after a comma, and its accents."""
    before = re.split(r"[,(;]", name.replace("'", ""), maxsplit=1)[0]
    before = re.sub(r"\d+(?:[.,:]\d+)*\s*(?:%\s*fat|%|°|proof)?", " ", before)
    folded = unicodedata.normalize("NFKD", before.casefold())
    letters = "".join(each for each in folded if not unicodedata.combining(each))
    return " ".join(re.sub(r"[^\w ]|_", " ", letters).split())


def _bare(plain: str) -> str:
    kept = [_singular(word) for word in plain.split() if word not in _NEUTRAL]
    return " ".join(kept) or plain


def _singular(word: str) -> str:
    if word in ("bitters", "cassis", "molasses") or word.endswith(("ss", "us")):
        return word
    return "leaf" if word == "leaves" else word.removesuffix("s") if len(word) > 3 else word


@cache
def _other_names() -> dict[str, str]:
    return {**OTHER_NAMES, **{_bare(name): key for name, key in OTHER_NAMES.items()}}


@cache
def _plain_names() -> tuple[tuple[LibraryEntry, str], ...]:
    found = [(entry, _plain(re.sub(r" by (mass|volume)$", "", entry.name))) for entry in library()]
    return (*found, *((ingredient(key), _plain(name)) for name, key in _SHORT.items()))


_SHORT = {"mint leaf": "mint", "chickpea water": "aquafaba"}
