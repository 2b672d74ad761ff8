"""What the page of the shopping shows."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from server.domain.base.number_words import count
from server.domain.base.numbers import write_number
from server.domain.prepare.needs import GROUND
from server.domain.prepare.shopping import Bought, Item, Shopping, days_to_buy
from server.domain.prepare.timetable import timetable
from server.domain.routine.preparing import Good, Preparation, Size
from server.domain.routine.routine import Routine
from server.web.frame.filters import weekday_words
from server.web.frame.forms import Form
from server.web.frame.local_zone import LOCAL
from server.web.frame.shown import RoutinePage
from server.web.prepare.days import at
from server.web.prepare.kit_view import apart_names, tints_of

LONG_DAYS = 30
"""What keeps longer than this may be bought at any time."""


@dataclass(frozen=True)
class ShoppingRow:
    """Something to buy as one line; `edit` opens how it is sold, `new_name` for what is not yet."""

    name: str
    whole_name: str
    tint: str
    buy: str
    detail: str
    need: str
    edit: str
    new_name: str


@dataclass(frozen=True, kw_only=True)
class ShoppingPage(RoutinePage, folder="shopping"):
    """The shopping of a routine."""

    headline: str
    beneath: str
    unsold: tuple[ShoppingRow, ...]
    """What it is not yet known of how it is sold: that is said once, above them."""
    rows: tuple[ShoppingRow, ...]
    made: tuple[ShoppingRow, ...]
    tasks: list[tuple[str, str]]
    edit: str
    form: Form


def headline_of(shopping: Shopping) -> str:
    """The answer of the page in one line."""
    count = len(shopping.items)
    if not count:
        return "Nothing to buy yet"
    words = f"{count} thing{'s' if count != 1 else ''} to buy"
    return f"{words}, {money(shopping.cost)} in all" if shopping.cost else words


def beneath_of(shopping: Shopping, given: Preparation) -> str:
    """For how many runs it is, and what one costs."""
    counts = (
        (given.practice_runs, "practice run"),
        (given.dress_runs, "dress run"),
        (given.events, "event"),
    )
    parts = [count(number, noun) for number, noun in counts if number]
    if not parts:
        return "For no runs: say how many are planned."
    each = shopping.cost_per_run
    return f"For {', '.join(parts)}" + (f": {money(each)} a run" if each else "")


@dataclass(frozen=True)
class NeededBy:
    """For when things are bought: the day on stage, and each task with the day it begins.

    Nobody buys before `today`.
    """

    today: date
    stage: date
    tasks: Mapping[str, tuple[str, date]]


def needed_by(routine: Routine, today: date) -> NeededBy | None:
    """For when things are bought; None where no time on stage is given, or it is past."""
    journey = routine.preparation.journey
    if journey.stage_ms is None or at(journey.stage_ms / 1000).date() < today:
        return None
    table = timetable(routine.preparation.tasks, journey, LOCAL)
    tasks = {each.task.id: (each.task.name, at(each.start_s).date()) for each in table.placed}
    return NeededBy(today, at(table.stage_s).date(), tasks)


def rows_of(
    items: tuple[Item, ...], routine: Routine, needed: NeededBy | None
) -> tuple[ShoppingRow, ...]:
    """Things to buy, those first of which something must still be said."""
    tints, names = tints_of(routine), apart_names([item.name for item in items])
    rows = [_row(item, names[item.name], tints, needed) for item in items]
    return tuple(sorted(rows, key=lambda row: not row.need))


def money(value: float) -> str:
    """A sum in whatever currency the person keeps: 12.50."""
    return f"{value:,.2f}"


def _row(item: Item, name: str, tints: Mapping[str, str], needed: NeededBy | None) -> ShoppingRow:
    good = item.good
    is_kept = good is not None and good.id != "from-recipe"
    amounts = [each.words for each in item.needed]
    if item.is_ground:
        amounts[0] = f"{amounts[0]} {GROUND}"
    parts = [f"{' + '.join(amounts)} needed"] if amounts else []
    if item.bought is not None:
        parts += _of_packs(item.bought)
    if good is not None and item.bought is not None:
        parts += _of_days(good, needed)
    return ShoppingRow(
        name=name,
        whole_name=item.name,
        tint=" ".join(tints[each] for each in item.drink_ids) or "no-drink",
        buy=" + ".join(f"{count} × {_size(size)}" for count, size in _packs(item.bought)),
        detail="; ".join(parts),
        need="" if item.is_unsold else item.why,
        edit=f"good-{good.id}" if good is not None and is_kept else "good-new",
        new_name="" if is_kept else item.name,
    )


def _packs(bought: Bought | None) -> tuple[tuple[int, Size], ...]:
    return bought.packs if bought is not None else ()


def _size(size: Size) -> str:
    return f"{write_number(size.amount.value)} {size.amount.words.split(' ', 1)[1]}"


def _of_packs(bought: Bought) -> list[str]:
    parts = [f"{bought.left_over.words} left over"] if bought.left_over.value else []
    if bought.cost is not None:
        parts.append(money(bought.cost))
    else:
        parts.append("no price known")
    if bought.unpriced:
        parts.append("a size without a price is passed over")
    if not bought.is_sure:
        parts.append("may go cheaper")
    return parts


def _of_days(good: Good, needed: NeededBy | None) -> list[str]:
    parts = []
    if good.each_run:
        parts.append("fresh for every run")
    if needed is not None:
        parts.append(_bought_on(good, needed))
    elif good.closed_days is not None:
        parts.append(f"keeps {good.closed_days} days closed")
    if good.opened_days is not None:
        parts.append(f"opened {good.opened_days} days")
    return parts


def _bought_on(good: Good, needed: NeededBy) -> str:
    """From which day to which it is bought for the stage, or for what is made ahead of it."""
    task = needed.tasks.get(good.task_id or "")
    name, day = task or ("the stage", needed.stage)
    days = days_to_buy(good, day)
    long_ago = days.latest - timedelta(days=LONG_DAYS)
    if days.latest < needed.today:
        span = f"by {weekday_words(days.latest)}, which is past"
    elif days.latest == needed.today:
        span = "today"
    elif days.earliest is None or days.earliest < long_ago or days.earliest <= needed.today:
        span = f"by {weekday_words(days.latest)}"
    elif days.earliest < days.latest:
        span = f"{weekday_words(days.earliest)} to {weekday_words(days.latest)}"
    else:
        span = f"on {weekday_words(days.latest)}"
    return f"for {f'“{name}”' if task else name} {span}"
