"""How fast a drink is worked out: run with `python -m tests.bench.drink`.

Drinks are dealt from the library with a fixed seed, so that their compositions differ and the
cache of compositions earns only what it would earn on a page. Times are processor time, so that a
busy machine does not count; wall time is told beside it. The floor is the arithmetic of a card:
the additive rule over the same ingredients.
"""

import random
import sys
import time

from server.domain.amounts import Amount
from server.domain.glass.alcohol import Pour, additive_abv_percent
from server.domain.glass.balance import balance
from server.domain.glass.library import library
from server.domain.glass.recipe import Line, Recipe
from server.domain.glass.steps import Agitate
from server.domain.glass.unit import unit_of

LIMIT_PAGE_MS, LIMIT_THOUSAND_S = 5.0, 1.0


def dealt(rng: random.Random, size: int) -> Recipe:
    """A drink of `size` ingredients that no other drink shares to the drop."""
    entries = [entry for entry in library() if entry.substance.kind not in ("garnish", "ice")]
    lines = []
    for place, entry in enumerate(rng.sample(entries, size)):
        dry = entry.substance.kind in ("sugar", "acid", "salt")
        unit = "g" if dry else rng.choice(["ml", "ml", "ml", "oz", "dash"])
        lines.append(Line(str(place), entry.name, Amount(rng.uniform(1, 60), unit),
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


def main() -> int:
    rng = random.Random(20)
    large = [dealt(rng, 20) for _ in range(200)]
    usual = [dealt(rng, rng.randint(3, 8)) for _ in range(1000)]
    balance(large[0])
    unit_of.cache_clear()
    cold = timed(large[:1])[0]
    pages = timed(large)
    wall = time.perf_counter()
    thousand = timed(usual)
    wall = time.perf_counter() - wall
    page_ms = 1000 * pages[len(pages) // 2]
    worst_ms = 1000 * pages[int(len(pages) * 0.99)]
    print(f"20 ingredients: {page_ms:.2f} ms median, {worst_ms:.2f} ms p99, "
          f"{1000 * cold:.2f} ms with nothing cached (limit {LIMIT_PAGE_MS:g} ms)")  # fmt: skip
    print(f"1,000 drinks of 3 to 8: {sum(thousand):.2f} s, {1000 / sum(thousand):,.0f} drinks/s, "
          f"{sum(thousand):.2f} ms per drink (limit {LIMIT_THOUSAND_S:g} s); {wall:.2f} s by the "
          "clock on the wall")  # fmt: skip
    print(f"the additive rule alone over these: {floor_s(usual):.3f} s")
    return 0 if page_ms < LIMIT_PAGE_MS and sum(thousand) < LIMIT_THOUSAND_S else 1


if __name__ == "__main__":
    sys.exit(main())
