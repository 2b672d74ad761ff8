"""A spoken mass against the dose, the water and the yield of a brew: "twenty in, sixty out"."""

import re
from collections.abc import Sequence

from server.domain.claims.backing import Judgement
from server.domain.claims.brews.brew_water import said_grams
from server.domain.claims.compare_amounts import within
from server.domain.claims.facts import KnownNumber
from server.domain.claims.finds import Find
from server.domain.claims.spoken.around import clause_of
from server.domain.claims.spoken.share import Share
from server.domain.glass.brew import brewed
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.tolerance import Tolerance

DOSE = frozenset({"dose", "grind", "ground", "grounds", "beans", "filter", "basket", "dry"})
WATER = frozenset({"water"})
YIELD = frozenset({"yield", "yields", "out", "beverage", "cup", "comes", "gives"})


def brew_mass_judged(
    find: Find,
    drinks: Sequence[Drink],
    sentence: str,
    near: str,
    share: Share,
    tolerance: Tolerance,
) -> Judgement | None:
    """A mass held against the dose, the water and the yield of a brew; None where it is of none.

    `near` are the words right behind it, which say what it is of ("#" is another number).
    """
    brews = [(part, drink) for drink in drinks for part in drink.ingredients if part.brew]
    masses = [each for part, drink in brews for each in _masses(part, drink.serves, share)]
    said = said_grams(find) if find.unit in ("g", "kg") else None
    if said is None or not masses:
        return None
    behind = sentence[find.end - find.sentence_start :]
    side = DOSE if _IN_AND_OUT.match(behind) else _named_behind(near.split())
    side = side or _named_ahead(find, sentence)
    named = [each for each in masses if side is not None and set(side) == set(each.about)]
    # What else its clause names may be of another mass: "300 g of water on 20 g of coffee".
    fitting = named or masses
    words = clause_of(find, sentence).words
    if side is None:
        named = [each for each in masses if words & set(each.about)]
    for number in fitting:
        slack = tolerance.amount_ratio * number.high
        if within(find, said, (number.low, number.high), slack):
            held = f"{_grams(number)} is {number.label}"
            why = f"You say {said[0]:g} g; {held}, within {tolerance.amount_percent:g} %."
            return Judgement("backed", why)
    if len({(number.ingredient_id, number.about) for number in named}) == 1:
        held = f"{named[0].label} is {_grams(named[0])}"
        why = f"You say {said[0]:g} g, {held}: more than {tolerance.amount_percent:g} % off."
        return Judgement("contradicted", why)
    return Judgement(
        "unbacked", f"You say {said[0]:g} g; nothing of the brew is that.", is_checked=False
    )


def _named_behind(near: Sequence[str]) -> frozenset[str] | None:
    """The side that the words behind a mass tell: "in", "out", "in the cup", "of water"."""
    words = [word for word in near if word not in _ARTICLES]
    first, second = (*words, "", "")[:2]
    if first == "in":
        return None if second == "#" else YIELD if second in _VESSELS else DOSE
    if first == "out":
        return YIELD
    # "Eighteen grams water three hundred": without an "of" the name is that of the next number.
    if near[-1:] == ["#"] and first != "of":
        return None
    told = near[2:] if near[:1] and near[0] in _PER and near[1:2] else near
    return next((side for side in (DOSE, WATER, YIELD) if not side.isdisjoint(told)), None)


def _named_ahead(find: Find, sentence: str) -> frozenset[str] | None:
    """ "Dose eighty grams, its yield is eighty": the side that is named before it."""
    for word in reversed(clause_of(find, sentence).before):
        for side in (DOSE, WATER, YIELD):
            if word in side - _FLEETING:
                return side
        if word not in _SMALL:
            return None
    return None


_IN_AND_OUT = re.compile(
    r" (?:grams? )?in,?(?: and)?(?: [\w-]+){1,3} (?:grams? )?out\b", re.IGNORECASE
)
"""Behind a dose: "twenty in, thirty-six out"."""

_ARTICLES = frozenset({"the", "my", "our", "your", "a", "each", "every", "this", "that"})
_PER = frozenset({"a", "per", "each", "every"})
_VESSELS = frozenset({"cup", "cups", "glass", "glasses", "jug", "beaker", "carafe", "server"})
_FLEETING = frozenset({"out", "cup", "comes", "gives", "filter", "dry", "grind"})
_SMALL = frozenset({"is", "are", "was", "of", "at", "about", "around", "exactly", "just", "the"})


def _grams(number: KnownNumber) -> str:
    low, high = f"{number.low:.0f}", f"{number.high:.0f}"
    return f"{low} g" if low == high else f"{low} to {high} g"


def _masses(part: Ingredient, serves: int, share: Share) -> list[KnownNumber]:
    """The masses of a brew: of all it makes, and of each where that may be meant."""
    if part.brew is None:
        return []
    worked_out = brewed(part.brew)
    # Who makes espressos speaks of one shot, though the recipe holds two.
    is_each = share == "one" or (share != "all" and part.brew.kind == "espresso")
    many = (1, serves) if is_each and serves > 1 else (1,)
    found = []
    for label, mass, about in (
        ("the dose", worked_out.dose_g, DOSE),
        ("the water", worked_out.water_g, WATER),
        ("the yield", worked_out.beverage_g, YIELD),
    ):
        if mass is None:
            continue
        for number in many:
            what = f"{label} of {part.name}" + (f", for each of {serves}" if number > 1 else "")
            low, high = mass.low / number, mass.high / number
            found.append(KnownNumber("amount", what, low, high, part.id, tuple(about)))
    return found
