"""The forms that set up a tasting."""

from collections.abc import Mapping, Sequence
from secrets import randbelow

from server.domain.base.errors import InvalidInput
from server.domain.base.text import LINE
from server.domain.glass.alcohol import Definition
from server.domain.routine.drink import Drink
from server.domain.routine.routine import Routine
from server.domain.tasters.alcohol_each import no_less
from server.domain.tasters.decoys import MOST_DECOYS
from server.domain.tasters.serving import MOST_PLACES, pair_sets, triangle_sets
from server.domain.tasters.sitting import GLASSES, GlassPour, Kind, Sitting, recipe_key
from server.domain.tasters.telling_apart import DifferenceAim, PairKind
from server.store.ids import new_id
from server.web.frame.filters import decimal, short_day
from server.web.frame.forms import Typed
from server.web.tasters.in_glass import alcohol_of

SHARES = {"0.5": "50 in 100 can tell", "0.4": "40 in 100", "0.3": "30 in 100", "0.2": "20 in 100"}
RISKS = {"0.05": "5 in 100", "0.01": "1 in 100", "0.1": "10 in 100"}
MISSES = {"0.2": "20 in 100", "0.1": "10 in 100", "0.05": "5 in 100"}
USUAL_DECOYS = 8


def texts_at_first(edit: str, routine: Routine) -> dict[str, str]:
    """The texts with which a form starts."""
    first = routine.drinks[0] if routine.drinks else None
    pour = {"glass_ml": "20", "most_drinks": "1"}
    if edit == "list":
        words = len(first.descriptors) if first else 0
        drink = {"drink": first.id if first else "", "decoys": str(words or USUAL_DECOYS)}
        return {**pour, **drink, "strength": "yes"}
    aim = {"pd": "0.5", "alpha": "0.05", "beta": "0.2"}
    return {**pour, **aim, "kind": "triangle", "tasters": "18"}


def versions_of(routine: Routine, sittings: Sequence[Sitting]) -> dict[str, tuple[str, Drink]]:
    """What can be held against what: the drinks of today, and earlier recipes that were tasted."""
    found = {drink.id: (drink.name, drink) for drink in routine.drinks}
    known = {recipe_key(drink) for drink in routine.drinks}
    for sitting in sittings:
        for place, drink in enumerate(sitting.drinks):
            if recipe_key(drink) not in known:
                known.add(recipe_key(drink))
                when = short_day(sitting.made_ms)
                found[f"{sitting.id}-{place}"] = (f"{drink.name}, as tasted on {when}", drink)
    return found


def list_from(typed: Typed, routine: Routine, now_ms: int) -> Sitting:
    """The blind list that a form describes. Raises InvalidInput with every fault."""
    # Loaded with the first list: the start does without.
    from server.domain.tasters.decoys import words_for
    from server.domain.tasters.flavours import flavours_for

    drink = next((each for each in routine.drinks if each.id == typed.text("drink")), None)
    if drink is None:
        typed.fault("drink", "Choose a drink.")
    decoys = typed.whole_number("decoys", 1, MOST_DECOYS)
    pour = _pour(typed, "list", [drink] if drink else [], routine.standard_drink)
    typed.check()
    if drink is None:
        raise InvalidInput.of("drink", "Choose a drink.")
    seed = randbelow(2**31)
    taxonomy = flavours_for(routine.language, routine.own_words)
    words = words_for(drink, taxonomy, decoys, typed.words("own"), seed, routine.drinks)
    return typed.built(
        lambda: Sitting(
            id=new_id(),
            routine_id=routine.id,
            kind="list",
            name=typed.text("name") or drink.name,
            made_ms=now_ms,
            seed=seed,
            drinks=(drink,),
            definition=routine.standard_drink,
            pour=pour,
            words=words,
            decoys_wanted=decoys,
            with_strength=typed.ticked("strength"),
        )
    )


def pairs_from(
    typed: Typed, routine: Routine, versions: Mapping[str, tuple[str, Drink]], now_ms: int
) -> Sitting:
    """The test of two versions that a form describes. Raises InvalidInput with every fault."""
    kind: PairKind = "preference" if typed.text("kind") == "preference" else "triangle"
    chosen = [versions.get(typed.text(field)) for field in ("first", "second")]
    for field, each in zip(("first", "second"), chosen, strict=True):
        if each is None:
            typed.fault(field, "Choose a version.")
    drinks = [each[1] for each in chosen if each is not None]
    if len(drinks) == 2 and recipe_key(drinks[0]) == recipe_key(drinks[1]):
        typed.fault("second", "Both are made alike: choose two that differ.")
    tasters = typed.whole_number("tasters", 1, MOST_PLACES)
    pour = _pour(typed, kind, drinks, routine.standard_drink)
    pd, alpha, beta = (typed.number(each, 0.001, 0.95) for each in ("pd", "alpha", "beta"))
    typed.check()
    seed = randbelow(2**31)
    sets = triangle_sets(tasters, seed) if kind == "triangle" else pair_sets(tasters, seed)
    return typed.built(
        lambda: Sitting(
            id=new_id(),
            routine_id=routine.id,
            kind=kind,
            name=typed.text("name") or " and ".join(each.name for each in drinks)[:LINE],
            made_ms=now_ms,
            seed=seed,
            drinks=tuple(drinks),
            definition=routine.standard_drink,
            pour=pour,
            sets=sets,
            aim=DifferenceAim(pd, alpha, beta),
        )
    )


def _pour(typed: Typed, kind: Kind, drinks: Sequence[Drink], definition: Definition) -> GlassPour:
    """How much is poured; more alcohol than the limit is a fault, unless it is spat out."""
    glass_ml = typed.number("glass_ml", 2, 300)
    most = typed.number("most_drinks", 0, 3)
    spat = typed.ticked("spat")
    if typed.failed("glass_ml", "most_drinks") or len(drinks) != (1 if kind == "list" else 2):
        return GlassPour()
    alcohol = alcohol_of(drinks, kind, glass_ml, definition)
    if alcohol.drinks > most and not spat:
        glasses = GLASSES[kind]
        fits = int(alcohol.most_ml(glass_ml, most))
        what = "A glass" if glasses == 1 else f"{glasses} glasses"
        holds = f"of {decimal(glass_ml)} ml hold{'s' if glasses == 1 else ''} up to"
        cure = f"Pour at most {fits} ml" if fits >= 2 else "Raise the limit"
        typed.fault(
            "glass_ml",
            f"{what} {holds} {decimal(no_less(alcohol.drinks), 1)} standard drinks "
            f"for each taster. {cure}, or let them spit it out.",
        )
    return GlassPour(glass_ml, most, spat)
