"""The shopping: what to buy for so many runs, in packs as they are sold, and when.

Amounts are those of the kit, reserve included, for every run; made things are bought as what they
are made from, which the person gives; brewed coffee by its dose, where that is known.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from server.domain.base.amounts import Amount
from server.domain.prepare.named_things import key_of
from server.domain.prepare.needs import IngredientNeed, ground_g, needs_per_run
from server.domain.prepare.open_packs import lasting_runs, packs_in_a_row
from server.domain.prepare.packs import Packs, cheapest
from server.domain.routine.preparing import Good, Preparation, Size
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet

UNSOLD = "Say how it is sold."
"""Why it cannot be told what to buy, where nobody has said in which packs it comes."""


@dataclass(frozen=True)
class Bought:
    """How something is bought: how many of each size, what is left over, what it costs.

    `cost` is None where no price is known; `unpriced` says that sizes without one were passed over.
    """

    packs: tuple[tuple[int, Size], ...]
    left_over: Amount
    cost: float | None
    unpriced: bool
    is_sure: bool


@dataclass(frozen=True)
class Item:
    """Something to buy: how much in all, how it is bought, and why it cannot be told how.

    `good` is None where the person has not yet said how it is sold; where it `is_ground`, the first
    of what is needed is ground coffee.
    """

    name: str
    needed: tuple[Amount, ...]
    good: Good | None
    bought: Bought | None
    why: str
    drink_ids: tuple[str, ...]
    is_ground: bool

    @property
    def is_unsold(self) -> bool:
        """Whether it is still to be said how it is sold: a page says that once for all such."""
        return self.why == UNSOLD


@dataclass(frozen=True)
class Days:
    """From which day to which something is bought; `earliest` is None where it keeps for good."""

    earliest: date | None
    latest: date


@dataclass(frozen=True)
class Shopping:
    """All that is bought for the runs, what is there already, and what it costs in all."""

    items: tuple[Item, ...]
    not_bought: tuple[Item, ...]
    runs: int
    cost: float

    @property
    def cost_per_run(self) -> float | None:
        """What a run costs; None for no runs."""
        return self.cost / self.runs if self.runs else None


def shopping_of(routine: Routine, rules: RuleSheet) -> Shopping:
    """What to buy for the practice runs, dress runs and events that are planned."""
    given = routine.preparation
    runs = given.runs
    goods = {key_of("ingredient", good.name): good for good in given.goods}
    items = []
    for need in needs_per_run(routine, rules):
        items.append(_item(need, goods.pop(need.key, None) or _from_cost(need), given))
    for key, good in goods.items():
        amounts = (good.per_run,) if good.per_run else ()
        items.append(_item(IngredientNeed(good.name, key, amounts), good, given))
    bought = tuple(each for each in items if not (each.good and each.good.not_bought))
    return Shopping(
        items=bought,
        not_bought=tuple(each for each in items if each.good and each.good.not_bought),
        runs=runs,
        cost=sum(each.bought.cost or 0.0 for each in bought if each.bought),
    )


def days_to_buy(good: Good, needed: date) -> Days:
    """On which days it is bought for the day it is `needed`, on stage or for what is made ahead of
    it: so that it keeps, and at the latest the day before; what keeps not even a day is bought on
    the day itself."""
    if good.closed_days is None:
        return Days(None, needed - timedelta(days=1))
    latest = needed if good.closed_days < 1 else needed - timedelta(days=1)
    return Days(needed - timedelta(days=good.closed_days), latest)


def _from_cost(need: IngredientNeed) -> Good | None:
    """A price that stands in the recipe already is the price of a pack.

    Not that of brewed coffee: there it is a price of what is drunk, as the glass reckons with it.
    """
    for part in need.parts:
        cost = part.substance.cost if part.substance else None
        if cost is not None and ground_g(part) is None:
            return Good("from-recipe", need.name, (Size(cost.amount, cost.price),))
    return None


def _item(need: IngredientNeed, good: Good | None, given: Preparation) -> Item:
    per_run = need.amounts
    runs = given.runs
    needed = tuple(_times(amount, runs) for amount in per_run)
    bought, why = None, ""
    if good is None or not good.sizes:
        why = "" if good and good.not_bought else UNSOLD
    elif not per_run:
        why = "Say how much of it a run takes."
    elif len(per_run) > 1 and need.is_ground:
        why = "Of one drink its dose is not known: give it in the recipe."
    elif len(per_run) > 1:
        why = "The recipes count it in different ways: give one of them another unit."
    elif runs and per_run[0].value:
        bought, why = _bought(per_run[0], good, runs, given.days_apart)
    return Item(need.name, needed, good, bought, why, need.drink_ids, need.is_ground)


def _bought(per_run: Amount, good: Good, runs: int, days_apart: int) -> tuple[Bought | None, str]:
    """The packs for all runs; of what is bought fresh, those of one run as often as there are.

    Of what does not keep from run to run once it is opened, what is thrown away is bought too.
    """
    unit, one_run = per_run.summed_as
    fitting = [size for size in good.sizes if size.amount.summed_as[0] == unit]
    if not fitting:
        return None, f"A run takes {per_run.words}: give the packs in such a unit too."
    priced = [size for size in fitting if size.price is not None]
    sizes = priced or fitting
    # Without any price the packs that leave least over are the best that can be told.
    worths = [
        (content, content if size.price is None else size.price)
        for size in sizes
        for content in [size.amount.summed_as[1]]
    ]
    times = runs if good.each_run else 1
    if good.each_run:
        packs = cheapest(one_run, worths)
    else:
        lasts = lasting_runs(good.opened_days, days_apart, runs)
        packs = _lasting(one_run, runs, lasts, worths)
    over = packs.holds * times - one_run * runs
    return (
        Bought(
            packs=tuple(
                (count * times, size)
                for count, size in zip(packs.counts, sizes, strict=True)
                if count
            ),
            left_over=Amount(_tidy(over), unit),
            cost=_cost(packs, times) if priced else None,
            unpriced=bool(priced) and len(priced) < len(fitting),
            is_sure=packs.is_sure,
        ),
        "",
    )


def _lasting(
    one_run: float, runs: int, lasts_runs: int, worths: Sequence[tuple[float, float]]
) -> Packs:
    """The cheapest packs for all runs where an opened one keeps over `lasts_runs` of them.

    Either one size throughout, or fresh packs of any sizes each time what is open has gone bad:
    the cheaper of the two, which is no proof that no other mix is cheaper still.
    """
    if lasts_runs >= runs:
        return cheapest(one_run * runs, worths)
    whole, rest = divmod(runs, lasts_runs)
    parts = [(whole, cheapest(one_run * lasts_runs, worths))]
    if rest:
        parts.append((1, cheapest(one_run * rest, worths)))
    together = Packs(
        tuple(sum(times * packs.counts[each] for times, packs in parts)
              for each in range(len(worths))),
        sum(times * packs.cost for times, packs in parts),
        sum(times * packs.holds for times, packs in parts),
        all(packs.is_sure for _, packs in parts),
    )  # fmt: skip
    alone = [
        _of_one_size(packs_in_a_row(one_run, content, runs, lasts_runs), each, worths)
        for each, (content, _) in enumerate(worths)
    ]
    return min([together, *alone], key=lambda packs: (packs.cost, packs.holds))


def _of_one_size(count: int, size: int, worths: Sequence[tuple[float, float]]) -> Packs:
    counts = tuple(count if each == size else 0 for each in range(len(worths)))
    content, price = worths[size]
    return Packs(counts, count * price, count * content)


def _cost(packs: Packs, times: int) -> float:
    return round(packs.cost * times, 2)


def _tidy(value: float) -> float:
    return min(max(0.0, round(value, 1)), 100_000.0)


def _times(amount: Amount, times: int) -> Amount:
    unit, value = amount.summed_as
    return replace(amount, value=min(math.ceil(round(value * times, 6)), 100_000), unit=unit)
