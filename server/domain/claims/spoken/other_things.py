"""Amounts that are said of something the recipe does not list: "400 ml of tomato water".

Such an amount is held against nothing, least of all against another ingredient that is called a
water too. What a name is made of decides: a word for a kind of thing ("water", "juice", "syrup")
names an ingredient only where nothing before it, or behind its "of", makes it another. English.

>>> from server.domain.base.tokens import tokens_of
>>> tokens = tokens_of("four hundred of clarified tomato water in a cloth")
>>> [tokens[at].norm for at in range(*named_behind(tokens, 2))]
['clarified', 'tomato', 'water']
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from server.domain.base.languages import stem
from server.domain.base.tokens import Token, tokens_of
from server.domain.claims.brews.brew_water import BREW_WATER, is_plain_water, speaks_of_brewing
from server.domain.claims.lexicon import Lexicon
from server.domain.claims.mentions import Mention
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import is_cardinal
from server.domain.claims.spoken.bare import SPIRITS
from server.domain.claims.taxonomy import Taxonomy
from server.domain.routine.drink import Drink

KINDS = frozenset(
    [
        "water", "juice", "syrup", "milk", "cream", "tea", "cordial", "liqueur", "tincture",
        "puree", "purée", "butter", "vinegar", "brandy", "infusion", "solution", "brine", "oil",
        "wine", "leaf", "leaves", "drink", "cider", "beer", "soda", "honey", "shrub", "jam",
        "peel", "zest", "seeds", "powder", "coffee", "bitters", "foam",
    ]
)  # fmt: skip
"""Words that name a kind of thing; which one it is, another word tells."""

_THINGS = frozenset({"fruit", "garden", "larder", "spice", "hearth", "ground", "brewed", "nut"})
"""Families of the taxonomy whose words are things that something is made of."""

_PLAIN = frozenset(
    [
        "it", "that", "this", "them", "these", "those", "each", "everything", "stuff", "liquid",
        "drink", "cocktail", "mix", "mixture", "base", "booze", "alcohol", "ethanol", "spirit",
        "spirits", "liquor", "sugar", "acid", "citrus", "one", "thing", "water", "ice", "coffee",
        "beans", "grounds", "fat", "protein", "caffeine", "rest", "same", "first", "second",
        "other", "both", "foam", "bubbles", "fizz", "sweetener", "sweetness", "acidity", "dilution",
        "melt", "serve", "brew", "yield", "dose", "which", "what", "you", "us", "me", "pressure",
        "batch",
    ]
)  # fmt: skip
"""Words that may stand for what the recipe lists by another name, or for the whole of it."""

_OWN_KINDS: dict[str, frozenset[str]] = {
    "spirit": SPIRITS, "liqueur": SPIRITS, "bitters": SPIRITS,
    "wine": frozenset({"wine", "sherry", "vermouth", "fizz", "bubbles", "sparkling"}),
    "juice": frozenset({"juice", "cordial", "puree", "purée"}),
    "syrup": frozenset({"syrup", "cordial"}),
    "dairy": frozenset({"milk", "cream", "dairy", "yoghurt", "butter"}),
    "egg": frozenset({"egg", "eggs", "white", "whites", "yolk", "yolks"}),
    "tea": frozenset({"tea", "brew"}),
    "coffee": frozenset({"coffee", "espresso", "brew", "shot"}),
    "soda": frozenset({"soda", "tonic", "ale", "lemonade", "cola"}),
    "water": frozenset({"water", "soda", "seltzer"}),
    "salt": frozenset({"salt", "saline", "brine"}),
}  # fmt: skip
"""Kind of a substance -> what one of it may be called, whatever its name."""

_ENDS = frozenset(
    [
        "and", "or", "in", "into", "on", "over", "with", "without", "for", "to", "from", "at", "by",
        "is", "are", "was", "were", "goes", "go", "per", "then", "so", "but", "because", "as",
        "through", "i", "we", "they", "he", "she", "next", "here", "all", "after", "before",
        "until", "while", "when", "there", "gets", "get", "has", "have", "had", "makes", "make",
        "gives", "brings", "stand", "stands", "too", "only", "now", "between", "instead", "please",
        "plus", "against", "than", "if", "not", "no", "that's", "it's", "there's", "i'm", "we're",
        "who", "where", "comes", "come", "will", "would", "can", "just", "also", "again", "like",
        "down", "up", "out", "off", "under", "behind", "later", "first", "last", "apiece",
        "straight",
    ]
)  # fmt: skip
"""Words that end what an amount is of."""

LONGEST = 5
"""Most words that name what an amount is of."""

_ARTICLES = frozenset({"the", "a", "an", "my", "our", "your", "some", "that", "this"})


@dataclass(frozen=True)
class OwnNames:
    """What a drink's recipe calls its things: stems of its names, by ingredient and together.

    `lists_water` tells whether it has water that is nothing else and no brew to take it,
    `has_brew` whether something is brewed, which takes water.
    """

    of_each: dict[str, frozenset[str]]
    every: frozenset[str]
    kinds: frozenset[str]
    lists_water: bool
    has_brew: bool


def own_names(drinks: Sequence[Drink]) -> OwnNames:
    """The names of the ingredients of drinks, and of what those taste of."""
    parts = tuple(
        (part.id, part.name, part.descriptors, part.substance and part.substance.kind,
         part.brew is not None)
        for drink in drinks
        for part in drink.ingredients
    )  # fmt: skip
    return _own_names(parts)


@lru_cache(maxsize=64)
def _own_names(parts: tuple[tuple[str, str, tuple[str, ...], str | None, bool], ...]) -> OwnNames:
    of_each: dict[str, frozenset[str]] = {}
    kinds: set[str] = set()
    has_water = False
    for part_id, name, descriptors, kind, _ in parts:
        named = tokens_of(name)
        has_water = has_water or is_plain_water(named, 0, len(named))
        said = " ".join((name, *descriptors))
        of_each[part_id] = frozenset(stem(token.norm, "en") for token in tokens_of(said))
        kinds |= _OWN_KINDS.get(kind or "", frozenset())
    has_brew = any(is_brewed for *_, is_brewed in parts)
    every = frozenset().union(*of_each.values())
    return OwnNames(of_each, every, frozenset(kinds), has_water and not has_brew, has_brew)


def named_behind(tokens: Sequence[Token], at: int) -> tuple[int, int]:
    """The words that name what an amount ending at `at` is of: first and end; alike if none."""
    first = at + (at < len(tokens) and tokens[at].norm == "of" and not tokens[at].gap)
    end = first
    while end < len(tokens) and end - first < LONGEST:
        token = tokens[end]
        parts = token.gap.strip("-'") if end > at else token.gap.strip("-")
        if parts or token.norm in _ENDS or _begins_number(token):
            break
        end += 1
    return first, end


def told_apart(
    tokens: Sequence[Token],
    text: str,
    quantities: Sequence[Quantity],
    mentions: Sequence[Mention],
    own: OwnNames,
    lexicon: Lexicon,
    sentence: tuple[int, int],
) -> tuple[dict[Quantity, str], Sequence[Mention]]:
    """Amounts of what no recipe of these drinks lists, with its name; and the mentions that are
    left: neither such a name, nor the "water" of "tomato water".
    """
    if lexicon.language != "en" or not any(each.kind == "amount" for each in quantities):
        return {}, mentions
    taxonomy = lexicon.taxonomy
    strange = {one for one in mentions if _is_other_kind(tokens, one, own, taxonomy)}
    found: dict[Quantity, str] = {}
    brews = not own.lists_water and speaks_of_brewing(tokens, sentence, own.has_brew)
    for quantity in quantities:
        water = _water_beside(tokens, quantity, mentions) if brews else None
        if water is not None:
            found[quantity] = BREW_WATER
            mentions = [one for one in mentions if not water[0] <= one.first < water[1]]
            continue
        named = _of_another(tokens, quantity, mentions, strange, own, taxonomy)
        if named is not None:
            first, end = named
            said = text[tokens[first].start : tokens[end - 1].end]
            found[quantity] = " ".join(said.split())
            mentions = [one for one in mentions if not first <= one.first < end]
    return found, [one for one in mentions if one not in strange]


def _begins_number(token: Token) -> bool:
    return token.is_number or is_cardinal(token.norm, "en")


def _water_beside(
    tokens: Sequence[Token], quantity: Quantity, mentions: Sequence[Mention]
) -> tuple[int, int] | None:
    """The plain water (first, end) that an amount is of: "480 ml of hot water", "water, 480"."""
    if quantity.kind != "amount":
        return None
    first, end = named_behind(tokens, quantity.end)
    while first < end and tokens[first].norm in _ARTICLES:
        first += 1
    if first == quantity.end and end < len(tokens) and _begins_number(tokens[end]):
        # "Dose eighty grams water eight hundred": the number behind it is the water's.
        return None
    if is_plain_water(tokens, first, end):
        return first, end
    for one in mentions:
        if 0 <= quantity.first - one.end <= 1 and is_plain_water(tokens, one.first, one.end):
            before = tokens[one.first - 1].norm if one.first and not tokens[one.first].gap else ""
            return (one.first, one.end) if before not in KINDS and end == first else None
    return None


def _is_other_kind(
    tokens: Sequence[Token], mention: Mention, own: OwnNames, taxonomy: Taxonomy
) -> bool:
    """ "tomato water", where the recipe's water is none of tomato."""
    names = _names(tokens, mention, own)
    before = mention.first - 1
    if names is None or before < 0 or tokens[mention.first].gap.strip("-"):
        return False
    return _is_thing(tokens[before].norm, names, taxonomy)


def _is_of_other(
    tokens: Sequence[Token], mention: Mention, own: OwnNames, taxonomy: Taxonomy
) -> bool:
    """ "the juice of three tomatoes", where the recipe's is none of tomato."""
    names, at = _names(tokens, mention, own), mention.end
    if names is None or at + 1 >= len(tokens) or tokens[at].norm not in ("of", "from"):
        return False
    ahead = [t.norm for t in tokens[at + 1 : at + 4] if not t.gap.strip("-")]
    words = [word for word in ahead if word not in _ARTICLES][:2]
    return any(_is_thing(word, names, taxonomy) for word in words)


def _names(tokens: Sequence[Token], mention: Mention, own: OwnNames) -> frozenset[str] | None:
    """What the ingredients are called that a word for a kind may mean; None for other words."""
    is_kind = mention.end - mention.first == 1 and tokens[mention.first].norm in KINDS
    if not is_kind or not mention.ingredient_ids:
        return None
    none: frozenset[str] = frozenset()
    return none.union(*(own.of_each.get(one, none) for one in mention.ingredient_ids))


def _is_thing(word: str, names: frozenset[str], taxonomy: Taxonomy) -> bool:
    """Whether a word is the plain name of a thing that is in none of `names`."""
    known = taxonomy.resolve(word)
    if known is None or stem(word, "en") in names or taxonomy.family(known) not in _THINGS:
        return False
    return stem(known, "en") == stem(word, "en") and not set(known.split()) & names


def _of_another(
    tokens: Sequence[Token],
    quantity: Quantity,
    mentions: Sequence[Mention],
    strange: set[Mention],
    own: OwnNames,
    taxonomy: Taxonomy,
) -> tuple[int, int] | None:
    """The words (first, end) that an amount is said of where the recipe lists nothing such.

    `mentions` are those of the sentence, `strange` the foreign ones among them.
    """
    if quantity.kind != "amount":
        return None
    first, end = named_behind(tokens, quantity.end)
    inside = [one for one in mentions if first <= one.first and one.end <= end]
    strange = strange | {one for one in inside if _is_of_other(tokens, one, own, taxonomy)}
    if any(one.ingredient_ids and one not in strange for one in inside):
        return None
    if any(one in strange for one in inside):
        return first, end
    before = [one for one in strange if 0 <= quantity.first - one.end <= 1]
    if before and end == first:
        return before[0].first - 1, before[0].end
    words = [tokens[at].norm for at in range(first, end) if tokens[at].norm not in _ARTICLES]
    if first == quantity.end or not words:
        return None
    stems = {stem(word, "en") for word in words}
    if stems & own.every or (words[-1] in _PLAIN and len(words) == 1) or words[0] in _PLAIN:
        return None
    if any(_is_thing(word, own.every, taxonomy) for word in words):
        return first, end
    return None if set(words) & (own.kinds | _PLAIN) else (first, end)
