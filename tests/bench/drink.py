"""How fast a drink is worked out.

Drinks are dealt from the library with a fixed seed, so that their compositions differ and the
cache of compositions earns only what it would earn on a page. Times are processor time, so that a
busy machine does not count. The peer is the arithmetic of a card:
the additive rule over the same ingredients.
"""

import random
import time

from server.domain.base.amounts import Amount
from server.domain.glass.alcohol import Pour
from server.domain.glass.balance import balance
from server.domain.glass.library import library
from server.domain.glass.recipe import Recipe, RecipeLine
from server.domain.glass.steps import Agitate
from server.domain.glass.unit import unit_of
from tests.bench.figures import Figure, percentile
from tests.domain.shorthand import additive_abv_percent


def dealt(rng: random.Random, size: int) -> Recipe:
    """A drink of `size` ingredients that no other drink shares to the drop."""
    entries = [entry for entry in library() if entry.substance.kind not in ("garnish", "ice")]
    lines = []
    for place, entry in enumerate(rng.sample(entries, size)):
        dry = entry.substance.kind in ("sugar", "acid", "salt")
        unit = "g" if dry else rng.choice(["ml", "ml", "ml", "oz", "dash"])
        lines.append(RecipeLine(str(place), entry.name, Amount(rng.uniform(1, 60), unit),
                          entry.substance))  # fmt: skip
    return Recipe(tuple(lines), serves=4, steps=(Agitate("s", "shake"),))


def timed(drinks: list[Recipe]) -> list[float]:
    """Seconds for each drink."""
    taken = []
    for drink in drinks:
        start = time.process_time()
        balance(drink)
        taken.append(time.process_time() - start)
    return sorted(taken)


def floor_s(drinks: list[Recipe]) -> float:
    """Seconds for the additive rule over the same drinks."""
    start = time.process_time()
    for drink in drinks:
        additive_abv_percent(
            Pour(line.amount.volume_ml or line.amount.mass_g or 0.0,
                 line.substance.abv.value if line.substance and line.substance.abv else 0.0)
            for line in drink.ingredients
        )  # fmt: skip
    return time.process_time() - start


def measure(quick: bool) -> list[Figure]:
    """A drink of 20 ingredients, with and without anything cached, and a thousand usual ones."""
    rng = random.Random(20)
    large = [dealt(rng, 20) for _ in range(40 if quick else 200)]
    usual = [dealt(rng, rng.randint(3, 8)) for _ in range(100 if quick else 1000)]
    balance(large[0])
    unit_of.cache_clear()
    cold_s = timed(large[:1])[0]
    pages = timed(large)
    thousand_s = sum(timed(usual)) * 1000 / len(usual)
    floor = floor_s(usual) * 1000 / len(usual)
    return [
        Figure("20 ingredients, median", 1000 * percentile(pages, 50), "ms", aim="under 5"),
        Figure("20 ingredients, p99", 1000 * percentile(pages, 99), "ms", aim="under 5"),
        Figure("20 ingredients, nothing cached", 1000 * cold_s, "ms", aim="under 5"),
        Figure("1,000 drinks, beside the additive rule", thousand_s, "s", floor, "under 1 s"),
    ]
