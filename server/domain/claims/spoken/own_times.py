"""Which spoken times are a drink's own: how long it is shaken, brewed, left to stand.

Not the minutes of the talk, what lies long ago, nor how long one tastes: "I have nine minutes",
"it took an hour", "the finish stays for a minute".

>>> from server.domain.base.tokens import tokens_of
>>> from server.domain.claims.quantities import quantities_in
>>> def read(text):
...     tokens = tokens_of(text)
...     span = (0, len(tokens))
...     return [one.low for one in quantities_in(tokens) if is_duration(tokens, one, span)]
>>> read("I shake it for ten seconds."), read("I've got ninety seconds to clean.")
([10.0], [])
>>> read("After ten minutes it is strong."), read("One to ten, and fourteen hours in there.")
([], [50400.0])
"""

from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.base.tokens import Token
from server.domain.claims.cues import english
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import is_cardinal

_RESTING = frozenset(
    {
        "aged", "ageing", "aging", "matured", "rested", "rest", "rests", "slept", "barrel", "cask",
        "casks", "oak", "infused", "macerated", "fermented", "old",
    }
)  # fmt: skip
_PEOPLE = frozenset({"i", "i'm", "i've", "my", "me", "he", "she", "his", "her"})
_FARM = frozenset(
    [
        "farm", "farmer", "farmers", "cherries", "harvest", "harvested", "picking", "picked",
        "mill", "beds", "tables", "patio", "parchment", "dried", "drying", "crop", "orchard",
        "roaster", "roasted", "roasting", "roast", "crack", "depulp", "anaerobic", "anaerobically"
    ]
)  # fmt: skip
_MAKING = frozenset(
    [
        "shake", "shaken", "shakes", "stir", "stirred", "brew", "brewed", "brews", "brewing",
        "steep", "steeps", "steeped", "infuse", "infuses", "infused", "rest", "rests", "rested",
        "stand", "stands", "chill", "chilled", "freeze", "boil", "boils", "simmer", "cook", "cooks",
        "heat", "blend", "bloom", "blooms", "wait", "sip", "drink", "taste", "serve", "keep",
        "keeps", "hold", "holds", "lasts", "strain", "pour", "foam", "churn", "whip",
        "cool", "aged", "age", "matured", "macerate", "slot", "clock", "culture", "cultured",
        "ferment", "ferments", "vide", "sitting", "incubate", "infusion", "steeping", "immersion",
        "grams", "gram", "ratio", "alcohol",
    ]
)  # fmt: skip
_LEAVING = frozenset(
    [
        "leave", "leaves", "left", "sit", "sits", "stays", "stay", "soak", "soaks", "soaked",
        "wait", "waits", "fridge", "freezer", "cellar", "jar", "filter", "filters", "drip",
        "drips", "dripped", "press", "dry", "takes", "set", "sets", "proof", "ready", "need",
        "needs", "after", "cold", "dark", "cloth", "through",
    ]
)  # fmt: skip
"""Without one of these or of making, hours are those of a day, not of a recipe."""
_LAIN = frozenset({"lie", "lies", "lay", "lain", "stood"})
"""The same of things; of people they tell a story."""
_TRAVEL = frozenset(
    [
        "boat", "train", "bus", "crossing", "journey", "ferry", "river", "walk", "drive", "road",
        "flight", "ship", "captain", "shift",
    ]
)  # fmt: skip

_TERSE = 6
"""A sentence of so few words is a step of a recipe: "One to ten, twelve hours, paper"."""

_YEAR_S = 31_557_600
_DAY_S = 86_400
_LONGEST_KEPT_S = 200 * _YEAR_S
_LONGEST_BREW_S = 14 * _DAY_S
_NEAR = 8
"""Tokens before and behind a time that are read with it, where no mark parts them."""

_STAYS = frozenset(
    {
        "aftertaste", "finish", "finishes", "finishing", "linger", "lingers", "decay", "inhale",
        "afterwards", "afterward", "tongue", "throat", "guaranteed", "remains", "ribs",
    }
)  # fmt: skip
"""Beside one of these a time is how long one tastes."""
_HANDS = _MAKING - {"sip", "drink", "taste", "keep", "keeps", "hold", "holds", "lasts", "stand",
                    "stands", "clock", "slot", "wait"}  # fmt: skip
_KEPT = frozenset(
    {"there", "fridge", "freezer", "cold", "dark", "cellar", "jar", "filter", "water", "oven"}
)
_MOST_TASTED_S = 1_800
_MINE = frozenset({"have", "got", "i've", "we've", "you've"})
_WHO = frozenset({"i", "we", "you", "i've", "we've", "you've"})
_SPARE = frozenset({"remaining", "left", "past", "apart", "wide", "late", "early", "afterwards"})
_ENDED = frozenset({"under", "over", "early", "to"})


@dataclass(frozen=True)
class _Said:
    """A time and the words around it."""

    quantity: Quantity
    words: frozenset[str]
    """All words of its sentence."""
    near: frozenset[str]
    """Those of its clause."""
    before: Sequence[str]
    after: Sequence[str]
    follows: str
    """What stands right behind it: a mark, or nothing."""
    closes: bool = False
    """Whether a mark stands one word behind it, or nothing more."""


def is_duration(tokens: Sequence[Token], quantity: Quantity, span: tuple[int, int]) -> bool:
    """Whether a time in its sentence (first token, end) is one of the drink. English."""
    first, end = quantity.first, quantity.end
    said = _Said(
        quantity,
        frozenset(token.norm for token in tokens[span[0] : span[1]]),
        clause_words(tokens, quantity, span),
        [token.norm for token in tokens[max(span[0], first - 3) : first]],
        [token.norm for token in tokens[end : min(end + 3, span[1])]],
        tokens[end].gap if end < len(tokens) else "",
        end + 1 >= len(tokens) or bool(tokens[end + 1].gap.strip("-'")),
    )
    if _is_of_talk(said) or _is_tasted(said) or _is_courtesy(said) or _is_long_ago(said):
        return False
    is_brew = quantity.low < _LONGEST_BREW_S and _has_ratio(tokens, span)
    long = quantity.low >= 3_600 and not is_brew
    return not (long and _is_of_day(said))


def clause_words(
    tokens: Sequence[Token], quantity: Quantity, span: tuple[int, int]
) -> frozenset[str]:
    """The words of the clause that a quantity in its sentence (first token, end) stands in."""
    begin, end = quantity.first, quantity.end
    while begin > max(span[0], quantity.first - _NEAR) and not tokens[begin].gap.strip("-'"):
        begin -= 1
    while end < min(span[1], quantity.end + _NEAR) and not tokens[end].gap.strip("-'"):
        end += 1
    return frozenset(token.norm for token in tokens[begin:end])


def _has_ratio(tokens: Sequence[Token], span: tuple[int, int]) -> bool:
    """ "One to ten, and fourteen hours": a time beside a ratio is of a brew."""
    return any(
        tokens[at].norm == "to"
        and is_cardinal(tokens[at - 1].norm, "en")
        and is_cardinal(tokens[at + 1].norm, "en")
        for at in range(span[0] + 1, span[1] - 1)
    )


def _is_of_talk(said: _Said) -> bool:
    """ "I have nine minutes", "ninety seconds left": what is left of the slot."""
    before, after = said.before, said.after
    if not said.words.isdisjoint(_HANDS):
        return bool({"left", "remaining"} & set(after[:1]))
    owns = [word for word in before if word not in ("only", "about", "just", "exactly", "that")]
    is_mine = owns[-1:] != [] and owns[-1] in _MINE and not _WHO.isdisjoint(owns[-2:])
    if is_mine or before[-1:] in (["those"], ["these"], ["long"]):
        return True
    if before[-2:] in (["the", "first"], ["finished", "in"]):
        return True
    if after[:1] and (after[0] in _SPARE or after[:2] in (["in", "reserve"], ["of", "silence"])):
        return True
    if after in (["under"], ["over"]) or after[:2] == ["into", "my"]:
        return True
    return (before[-2:] == ["i", "did"] and after[:1] != ["of"]) or "?" in said.follows


def _is_tasted(said: _Said) -> bool:
    """ "The finish stays for a minute", "after ten minutes it is strong"."""
    low, before, after = said.quantity.low, said.before, said.after
    if low <= 1:
        # "One second: savoury", "half a second wide": nobody makes anything for so long.
        return said.near.isdisjoint({"shake", "stir", "flame", "torch", "dip", "pulse"})
    if low > _MOST_TASTED_S:
        return False
    goes_on = before[-2:] in (["on", "for"], ["it", "for"]) and not said.near.isdisjoint(_GOES_ON)
    if goes_on or _is_behind_a_sip(said):
        return True
    if before[-1:] == ["lasts"] and low <= _LONGEST_LASTS_S:
        return True
    # "I finish both drinks in under ten minutes" is no finish.
    stays_on = _STAYS - {"finish"} if {"i", "we"} & said.words else _STAYS
    if not said.words.isdisjoint(stays_on) and said.near.isdisjoint(_HANDS):
        return True
    stays = "stays" in before or {"stay", "stays"} & said.near
    if stays and said.words.isdisjoint(_KEPT | _HANDS):
        return True
    is_after = "after" in before[-2:] and said.near.isdisjoint(_HANDS)
    is_seen = after[:1] != [] and after[0] in _CHANGES
    return is_after and (is_seen or after[:2] in (["the", "drink"], ["this", "drink"]))


def _is_behind_a_sip(said: _Said) -> bool:
    """ "The second, two seconds on, is bitter", "and then, ten seconds after, it's back"."""
    if said.after[:1] not in (["on"], ["after"]) or not said.near.isdisjoint(_HANDS):
        return False
    return said.closes or said.after[1:2] == ["is"]


_GOES_ON = frozenset({"goes", "go", "going", "live", "dwell", "stay"})
_LONGEST_LASTS_S = 10
"""Nobody says of an act that it "lasts" for so short a time; a scent does."""

_CHANGES = frozenset({"it", "it's", "you", "there", "there's", "becomes"})
"""Who or what is said to change behind "after ten minutes"."""


def _is_courtesy(said: _Said) -> bool:
    """ "One second, please", "just a minute"."""
    asks = {"please", "give", "wait", "just", "moment"}
    is_one = said.quantity.low in (1.0, 60.0) and said.quantity.bound in ("exactly", "about")
    return is_one and not said.words.isdisjoint(asks)


def _is_long_ago(said: _Said) -> bool:
    words, before, after = said.words, said.before, said.after
    if said.quantity.low > _LONGEST_KEPT_S or "could" in before:
        return True
    if {"ago", "away", "later", "earlier"} & set(after) or "years old" in " ".join(after):
        return True
    is_bound = said.quantity.bound in ("under", "over") or not said.near.isdisjoint(_HANDS)
    is_spanned = after[:1] != [] and after[0] in ("from", "before", "by", "between")
    is_spanned = is_spanned and not said.near & {"clock", "timer", "stopwatch", "shot"}
    kept = {"for", "takes", "take"} & set(before[-2:])
    if after[:2] != ["from", "now"] and is_spanned and not kept and not is_bound:
        return True
    if after[:1] == ["said"] or (before[-2:-1] in (["took"], ["cost"]) and before[-1] in _PEOPLE):
        return True
    gives = "me" in before and not {"give", "gave", "gives"}.isdisjoint(before)
    if {"next", "past", "last"} & set(before[-2:]) or gives:
        return said.quantity.bound == "exactly"
    if "instead" in after or words & {"practised", "practiced", "rehearsed"}:
        return True
    if "used" in words and words & (english().story | {"he", "she"}) and "to" in words:
        # "My uncle used to shake for an hour": a habit of somebody, long gone.
        return True
    return bool(words & _TRAVEL) and not words & _MAKING


def _is_of_day(said: _Said) -> bool:
    """Whether hours, days or more are those of people and of the farm, and of no recipe."""
    words, low = said.words, said.quantity.low
    is_terse = len(words) <= _TERSE and not words & (_PEOPLE | _TRAVEL)
    has_lain = words & _LAIN and words.isdisjoint(_PEOPLE | _WHO)
    if not is_terse and not has_lain and not words & (_RESTING | _MAKING | _LEAVING):
        return True
    if set(said.after) & _FARM or (words & _FARM and not said.near & (_LEAVING | _HANDS)):
        return True
    if low == _DAY_S and (not words & (_RESTING | _MAKING) or said.after[:1] == ["you"]):
        return True
    keeps = words & {"keep", "keeps", "lasts", "lees", "bottle"} and not words & _PEOPLE
    if low >= _YEAR_S / 12 and (
        not (words & _RESTING or keeps) or (words & _PEOPLE and "old" in words)
    ):
        return True
    return low >= 7 * _DAY_S and bool(words & english().story)
