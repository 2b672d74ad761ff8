"""What is done for as long as a time is told: brewed, steeped, left, shaken, stirred, …

A time is held against another only where what is done agrees: "let it rest half a minute" tells
nothing of a shot of thirty seconds. English; our own list of common words.

>>> act_of(("and", "i", "stir", "it", "for"), ()), act_of(("the", "shot", "runs"), ())
('stir', 'brew')
>>> act_of(("the", "rest", "takes"), ()), acts_named("Brew the coffee")
('', frozenset({'brew'}))
"""

from collections.abc import Mapping, Sequence

from server.domain.base.tokens import words_kept

ACTS: Mapping[str, str] = {
    word: act
    for act, words in {
        "brew": (
            "brew brews brewed brewing extraction extract extracts extracted shot shots espresso"
            " pull pulls pulled pulling drip drips dripped dripping percolates percolated run runs"
            " ran running contact immersion turbo"
        ),
        "steep": (
            "steep steeps steeped steeping infuse infuses infused infusing infusion macerate"
            " macerates macerated soak soaks soaked soaking draw draws"
        ),
        "stand": "stand stands stood standing sit sits sat sitting leave leaves left stay stays"
        " stayed lie lies lay lain",
        "rest": "rest rests rested resting wait waits waited waiting settle settles settled pause"
        " mingle mingles mingled marry marries married meld melds",
        "shake": "shake shakes shook shaken shaking tin tins shaker",
        "stir": "stir stirs stirred stirring swirl swirls swirled swirling",
        "steam": "steam steams steamed steaming froth froths",
        "heat": "heat heats heated heating warms warmed warming boil boils boiled boiling simmer"
        " simmers simmered simmering cook cooks cooked cooking",
        "chill": "chill chills chilling cools cooled cooling freeze freezes freezing",
        "filter": "filtered filtering strain strains strained straining drain drains drained"
        " clarify clarifies clarified",
        "bloom": "bloom blooms bloomed blooming preinfusion",
        "grind": "grind grinds grinding",
        "blend": "blend blends blended blending whip whips whipping whisk whisks whisked",
        "roast": "roasts roasting toasts toasting torch torches torched",
        "smoke": "smokes smoking",
        "ferment": "ferment ferments fermented fermenting culture cultured",
        "pour": "pour pours pouring",
        "drink": "drink drinks sip sips taste tastes lasts linger lingers",
    }.items()
    for word in words.split()
}
"""Word -> the act it tells of; forms that are as often how a thing is ("roasted") are left out."""

_DO_NOT_TELL: Mapping[str, tuple[frozenset[str], frozenset[str]]] = {
    "rest": (frozenset({"the"}), frozenset({"of"})),
    "left": (frozenset({"the", "my", "your", "is", "what's", "have"}), frozenset({"hand", "side"})),
    "leaves": (frozenset({"the", "tea", "mint", "of", "dried"}), frozenset()),
    "sit": (frozenset({"you", "to"}), frozenset({"down", "here", "there"})),
    "sitting": (frozenset(), frozenset({"down", "here", "there", "in"})),
    "drink": (frozenset({"the", "this", "a", "your", "oat", "each", "long", "my"}), frozenset()),
    "drinks": (frozenset({"the", "these", "your"}), frozenset()),
    "draw": (frozenset({"a", "the"}), frozenset()),
    "culture": (frozenset({"a", "the"}), frozenset()),
}
"""Word -> what stands right before, or right behind it, where it tells of no act."""

_FILTERS = frozenset({"it", "this", "that", "through", "everything"})
"""Behind "filter" these tell that something is strained; else it is a kind of brew."""


def act_of(before: Sequence[str], behind: Sequence[str]) -> str:
    """What is done for a time, by the words of its clause: the nearest before it, else behind."""
    words = (*before, "", *behind)
    at = len(before)
    order = (*range(at - 1, -1, -1), *range(at + 1, len(words)))
    return next((act for place in order if (act := _act_at(words, place))), "")


def acts_named(name: str) -> frozenset[str]:
    """The acts that the name of a process or a figure tells of."""
    return frozenset(ACTS[word] for word in words_kept(name) if word in ACTS)


def _act_at(words: Sequence[str], at: int) -> str:
    word = words[at]
    before = words[at - 1] if at else ""
    behind = words[at + 1] if at + 1 < len(words) else ""
    if word == "filter":
        return "filter" if behind in _FILTERS else "brew"
    not_before, not_behind = _DO_NOT_TELL.get(word, (frozenset(), frozenset()))
    return "" if before in not_before or behind in not_behind else ACTS.get(word, "")
