"""A spoken ratio or count against how the drink and its parts are made."""

from collections.abc import Iterable, Sequence

from server.domain.base.amounts import Amount
from server.domain.base.tokens import words_kept
from server.domain.claims.backing import Backing, Judgement
from server.domain.claims.compare_amounts import EXACTLY
from server.domain.claims.finds import Find
from server.domain.claims.spoken.around import clause_of
from server.domain.glass.brew import Brew, brewed
from server.domain.glass.syrup import Syrup, syrup_masses
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.tolerance import Tolerance

OF_BREWS = frozenset(
    {
        "brew",
        "brewed",
        "brewing",
        "brews",
        "coffee",
        "filter",
        "dose",
        "dosing",
        "grounds",
        "beans",
        "pour",
        "steep",
        "steeped",
        "espresso",
        "shot",
        "extract",
        "extraction",
    }
)
OF_SYRUPS = frozenset({"syrup", "sugar", "cook", "honey"})

UNCOUNTED = frozenset({"water", "ice"})
"""Kinds that people leave out when they count their ingredients."""


def ratio_judged(
    find: Find,
    drinks: Sequence[Drink],
    sentence: str,
    before: Sequence[str],
    tolerance: Tolerance,
) -> Judgement:
    """The state of a ratio: of two ingredients that are named, else of a brew or a syrup.

    `before` is what is named right before it: "the cardamom syrup's built two to one" tells how
    that is made, whatever two are named next.
    """
    said = f"You say {find.low:g} to {find.high:g}"
    low, high = find.low or 0.0, find.high or 1.0
    parts = {part.id: part for drink in drinks for part in drink.ingredients}
    pair = [parts[one] for one in (*find.ingredient_ids[:1], *find.against[:1]) if one in parts]
    made = [parts[one] for one in before if one in parts and (parts[one].brew or parts[one].syrup)]
    words = words_kept(sentence)
    named = made or [part for part in pair if part.brew or part.syrup]
    known = list(_own_ratios(named or list(parts.values()), words))
    own = _of_its_own(said, low / high, known, tolerance)
    is_pair = len(pair) == 2 and pair[0].id != pair[1].id and not _is_made_with_water(pair, words)
    if is_pair and (not made or made[0] in pair):
        judged = _of_pair(said, low / high, pair, tolerance)
        if judged.state != "contradicted" or (not made and _are_told(pair, find, sentence)):
            return judged
        every = own or _of_its_own(
            said, low / high, list(_own_ratios(parts.values(), words)), tolerance
        )
        return every or judged
    if own is not None:
        return own
    about = {what: held for what, held in known if _is_about(what, words) or named}
    if about:
        what, held = next(iter(about.items()))
        why = f"{said}, {what} is {_told(held)}: more than {_margin(tolerance)} off."
        return Judgement("contradicted", why)
    return Judgement("unbacked", f"{said}; nothing to hold it against.", is_checked=False)


def _of_its_own(
    said: str, ratio: float, known: Sequence[tuple[str, float]], tolerance: Tolerance
) -> Judgement | None:
    """A ratio that a brew or a syrup is made in; None where none is."""
    for what, held in known:
        is_brew = what.startswith("the brew")
        if _is_near(ratio, held, tolerance) or (is_brew and _is_near(1 / ratio, held, tolerance)):
            why = f"{said}; {what} is {_told(held)}, within {_margin(tolerance)}."
            return Judgement("backed", why)
    return None


def _are_told(pair: Sequence[Ingredient], find: Find, sentence: str) -> bool:
    """Whether both of a pair are named in the ratio's own clause."""
    words = clause_of(find, sentence).words | words_kept(find.phrase)
    return all(words & words_kept(part.name) for part in pair)


def _is_made_with_water(pair: Sequence[Ingredient], words: frozenset[str]) -> bool:
    """ "I warm the honey with water, two to one": what it is made of, not the soda beside it, nor
    the tonic water where water is all that is said.
    """
    is_water = [
        words & words_kept(part.name) == {"water"}
        or (part.substance is not None and part.substance.kind == "water")
        for part in pair
    ]
    return any(is_water) and any(part.syrup or part.brew for part in pair)


def _of_pair(
    said: str, ratio: float, pair: Sequence[Ingredient], tolerance: Tolerance
) -> Judgement:
    sizes = [_size(part.amount) for part in pair]
    one, other = pair
    if sizes[0] is None or sizes[1] is None or sizes[0][0] != sizes[1][0] or not sizes[1][1]:
        why = f"{said}; {one.name} and {other.name} cannot be compared."
        return Judgement("unbacked", why, is_checked=False)
    held = sizes[0][1] / sizes[1][1]
    backing = Backing(one.name, str(one.amount), "same", one.id)
    told = f"the recipe has {one.amount} of {one.name} to {other.amount} of {other.name}"
    if _is_near(ratio, held, tolerance):
        return Judgement("backed", f"{said}; {told}, within {_margin(tolerance)}.", (backing,))
    return Judgement(
        "contradicted", f"{said}, {told}: more than {_margin(tolerance)} off.", (backing,)
    )


def _size(amount: Amount) -> tuple[str, float] | None:
    if amount.volume_ml is not None:
        return "volume", amount.volume_ml
    return ("mass", amount.mass_g) if amount.mass_g is not None else (amount.unit, amount.value)


def _own_ratios(parts: Iterable[Ingredient], words: frozenset[str]) -> Iterable[tuple[str, float]]:
    """What a brew or a syrup is made in, as one number: dose to water, sugar to water."""
    for part in parts:
        if part.brew is not None:
            yield from _brew_ratios(part, part.brew)
        if part.syrup is not None and part.syrup.water > 0:
            yield f"the syrup of {part.name}", _syrup_ratio(part.syrup)


def _brew_ratios(part: Ingredient, brew: Brew) -> Iterable[tuple[str, float]]:
    worked_out = brewed(brew)
    if worked_out.dose_g is None:
        return
    for what, mass in (("water", worked_out.water_g), ("beverage", worked_out.beverage_g)):
        if mass is not None and mass.low == mass.high and mass.value > 0:
            yield f"the brew of {part.name}, dose to {what},", worked_out.dose_g.value / mass.value


def _syrup_ratio(syrup: Syrup) -> float:
    masses = syrup_masses(syrup)
    return masses.sugar_g / masses.water_g if syrup.by == "mass" else syrup.sugar / syrup.water


def _is_about(what: str, words: frozenset[str]) -> bool:
    return bool(words & (OF_BREWS if what.startswith("the brew") else OF_SYRUPS))


def _is_near(said: float, held: float, tolerance: Tolerance) -> bool:
    return abs(said - held) <= tolerance.amount_ratio * held


def _told(ratio: float) -> str:
    return f"{ratio:.3g} to 1" if ratio >= 1 else f"1 to {1 / ratio:.3g}"


def _margin(tolerance: Tolerance) -> str:
    return f"{tolerance.amount_percent:g} %"


def count_judged(find: Find, drinks: Sequence[Drink]) -> Judgement:
    """The state of a count: ingredients against the recipe; what hands do is not on record."""
    number = int(find.low or 0)
    said = f"You say {number} {find.unit}s"
    if find.unit != "ingredient" or not drinks:
        return Judgement("unbacked", f"{said}; nothing to hold it against.", is_checked=False)
    for drink in drinks:
        whole = len(drink.ingredients)
        counted = sum(map(_counts, drink.ingredients))
        bubbly = sum(map(_is_bubbly, drink.ingredients))
        if number in (whole, counted + bubbly):
            return Judgement("backed", f"{said}; the recipe has {number}, counted exactly.")
        if number == counted:
            why = f"{said}; the recipe has {whole}, with its soda: whether you count it is open."
            return Judgement("unbacked", why, is_checked=False)
    has = " or ".join(dict.fromkeys(str(len(drink.ingredients)) for drink in drinks))
    return Judgement("contradicted", f"{said}, the recipe has {has}: {EXACTLY}.")


def _is_bubbly(part: Ingredient) -> bool:
    """Whether it is a water that is more than water: some count it, some do not."""
    return not _counts(part) and not words_kept(part.name).isdisjoint(_BUBBLY)


_BUBBLY = frozenset({"soda", "sparkling", "seltzer", "carbonated", "blossom", "rose"})


def _counts(part: Ingredient) -> bool:
    return part.substance is None or part.substance.kind not in UNCOUNTED
