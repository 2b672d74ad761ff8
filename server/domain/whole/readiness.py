"""Whether a routine is ready for the day: lines for plan, drinks, words, claims, rules and goal.

>>> [line.words for line in readiness(Open(spare_s=26.4))][:2]
['Drinks are in order', 'The words fit, 0:26 to spare']
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from server.domain.base.durations import format_clock
from server.domain.base.number_words import count
from server.domain.base.text import with_capital
from server.domain.routine.edits import plan_time
from server.domain.routine.plan import layout
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.whole.open_things import Open

EMPTY_FROM_S = 60.0
"""From here on a plan is taken as unfinished, not as short on purpose."""


@dataclass(frozen=True)
class Ready:
    """A line: whether it is so, in words; `about` names what it is about, for its link."""

    about: Literal["plan", "drinks", "words", "claims", "rules", "goal", "prepare"]
    is_so: bool
    words: str


def readiness(open_: Open) -> tuple[Ready, ...]:
    """What is in order for the day and what is not.

    The goal only where there is one, the plan only where it is longer than the slot or leaves
    minutes of it empty: that the words fit then says nothing.
    """
    return tuple(_lines(open_))


def _lines(open_: Open) -> Iterator[Ready]:
    told = plan_told(open_.beyond_slot_s)
    if told:
        yield Ready("plan", False, with_capital(told))
    yield _drinks(open_)
    yield _words(open_.spare_s, open_.empty_s)
    claims = open_.claims_to_settle
    told = f"{count(claims, 'claim') if claims else 'No claims'} to settle"
    yield Ready("claims", not claims, told)
    told = "Rules are invented: use your event’s"
    yield Ready("rules", not open_.rules_invented, told if open_.rules_invented else "Rules chosen")
    if open_.goal is not None:
        left = open_.goal.left
        told = f"{with_capital(open_.goal.words)}: {f'{left} to go' if left else 'reached'}"
        yield Ready("goal", not left, told)


def plan_told(beyond_slot_s: float) -> str:
    """That the plan is longer than the slot; "" where by less than half a second.

    >>> plan_told(37.0), plan_told(0.2)
    ('the plan is 0:37 longer than the slot', '')
    """
    over = format_clock(beyond_slot_s)
    return "" if over == format_clock(0) else f"the plan is {over} longer than the slot"


def beyond_slot_s(
    routine: Routine, rules: RuleSheet, segment_id: str = "", seconds: float = 0.0
) -> float:
    """By how much the plan is longer than the slot; 0 where it fits.

    A `segment_id` asks how it would be with that segment planned for so many seconds.
    """
    planned = plan_time(routine, segment_id, round(seconds)) if segment_id else routine
    return max(0.0, layout(planned).total_s - rules.slot_s)


def empty_s(routine: Routine, rules: RuleSheet) -> float:
    """What of the slot no segment fills; 0 where the plan ends within a minute of the target."""
    total_s = layout(routine).total_s
    return rules.slot_s - total_s if rules.target_s - total_s >= EMPTY_FROM_S else 0.0


def written_for_others(routine: Routine, rules: RuleSheet) -> tuple[tuple[str, int], ...]:
    """The drinks that are written for another number of serves than the rules ask for, with it.

    A recipe for one is none of them: it is made as often as there are judges.
    """
    return tuple(
        (drink.name, drink.serves)
        for drink in routine.drinks
        if drink.ingredients and drink.serves not in (1, rules.serves_per_drink)
    )


def for_others_words(drinks: Sequence[tuple[str, int]], asked: int) -> str:
    """That drinks are not written for as many as the rules ask for: on Today and the sheets."""
    if not drinks:
        return ""
    (name, serves), *others = drinks
    if others:
        return f"{len(others) + 1} drinks are not for the {count(asked, 'serve')} of your rules"
    return f"{name} is for {serves} serves, your rules say {asked}"


def unknown_words(parts: int) -> str:
    """Of how many parts of drinks not all is known: on Today, above the drinks and in each half."""
    return f"{count(parts, 'part')} not fully known"


def _drinks(open_: Open) -> Ready:
    if to_look_at := len(open_.drinks):
        return Ready("drinks", False, f"{count(to_look_at, 'drink')} to look at")
    if open_.for_others:
        return Ready("drinks", False, for_others_words(open_.for_others, open_.serves_asked))
    if open_.unknown_parts:
        return Ready("drinks", False, unknown_words(open_.unknown_parts))
    told = "No ingredients yet" if open_.no_parts else "Drinks are in order"
    return Ready("drinks", not open_.no_parts, told)


def _words(spare_s: float | None, empty_s: float) -> Ready:
    if spare_s is None:
        return Ready("words", False, "No words yet")
    if empty_s and spare_s >= 0:
        return Ready("plan", False, f"{format_clock(empty_s)} of the slot is still empty")
    time = format_clock(abs(spare_s))
    if time == "0:00":
        return Ready("words", True, "The words just fit")
    if spare_s < 0:
        return Ready("words", False, f"The words are {time} too long")
    return Ready("words", True, f"The words fit, {time} to spare")
