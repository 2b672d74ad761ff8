"""The forms of the shopping: how something is sold, and for how many runs is bought."""

from dataclasses import replace

from server.domain.base.amounts import parse_amount
from server.domain.base.errors import InvalidInput
from server.domain.base.numbers import read_number, write_number
from server.domain.routine.edits import part_of
from server.domain.routine.preparing import Good, Preparation, Size
from server.domain.routine.routine import Routine
from server.web.frame.editing import NEW
from server.web.frame.forms import Typed
from server.web.frame.guard import Values

RUNS = "runs"
GOOD = "good-"
COUNTS = ("practice_runs", "dress_runs", "events")


def good_from(typed: Typed, good_id: str) -> Good:
    """How something is sold, as a form describes it; raises InvalidInput with every fault."""
    no_sizes: tuple[Size, ...] = ()
    sizes = typed.take(lambda: _sizes(typed.text("sizes")), no_sizes)
    text = typed.text("per_run")
    per_run = typed.take(lambda: parse_amount(text, "per_run"), None) if text else None
    closed, opened = (
        typed.whole_number(name, 0, 3650) if typed.text(name) else None
        for name in ("closed", "opened")
    )
    return typed.built(
        lambda: Good(
            id=good_id,
            name=typed.text("name"),
            sizes=sizes,
            per_run=per_run,
            closed_days=closed,
            opened_days=opened,
            each_run=typed.ticked("each_run"),
            not_bought=typed.ticked("not_bought"),
            task_id=typed.choice("task"),
        )
    )


def with_runs(typed: Typed, given: Preparation) -> Preparation:
    """What is prepared, for as many runs as a form says."""
    practice, dress, events = (typed.whole_number(name, 0, 1000) for name in COUNTS)
    apart = given.days_apart
    if typed.text("days_apart"):
        apart = typed.whole_number("days_apart", 0, 365)
    typed.check()
    return replace(given, practice_runs=practice, dress_runs=dress, events=events, days_apart=apart)


def shopping_values(routine: Routine, edit: str, name: str = "") -> Values:
    """The texts with which the open form starts; a new one with the name of what is bought."""
    given = routine.preparation
    if edit == RUNS:
        return {count: str(getattr(given, count)) for count in (*COUNTS, "days_apart")}
    good_id = edit.removeprefix(GOOD)
    if good_id == NEW:
        return {"name": name}
    good = part_of(given.goods, good_id)
    return {
        "name": good.name,
        "sizes": "\n".join(map(_size_text, good.sizes)),
        "per_run": good.per_run.words if good.per_run else "",
        "closed": "" if good.closed_days is None else str(good.closed_days),
        "opened": "" if good.opened_days is None else str(good.opened_days),
        "each_run": "yes" if good.each_run else "",
        "not_bought": "yes" if good.not_bought else "",
        "task": good.task_id or "",
    }


def _size_text(size: Size) -> str:
    price = "" if size.price is None else f" = {write_number(size.price)}"
    return f"{size.amount.words}{price}"


def _sizes(text: str) -> tuple[Size, ...]:
    return tuple(_size(line.strip()) for line in text.splitlines() if line.strip())


def _size(line: str) -> Size:
    """A line such as "700 ml = 39"; the price may be missing."""
    amount, _, price = line.partition("=")
    try:
        read = parse_amount(amount.strip(), "sizes")
    except InvalidInput as error:
        words = f"“{line[:40]}”: write a line for each size, such as 700 ml = 39."
        raise InvalidInput.of("sizes", words) from error
    return Size(read, read_number(price.strip(), "sizes") if price.strip() else None)
