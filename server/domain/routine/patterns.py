"""An empty pattern of segments: something to rehearse within minutes, before a word is written."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise

from server.domain.base.errors import InvalidInput
from server.domain.base.ids import Id
from server.domain.base.text import LINE
from server.domain.routine.planned import Spread
from server.domain.routine.routine import Routine, Segment

EDGE = 0.05
"""Share of the time that a welcome takes, and a close. Common practice, no source."""

OF_A_DRINK = (("introduce", 0.25), ("make", 0.5), ("serve", 0.25))
"""What is done about a drink -> its share of that drink's time. Common practice, no source."""

MOST_DRINKS = 6

USUAL_DRINKS = 2
"""How many a routine is taken to have that names none yet. Common practice, no source."""


def drinks_offered(routine: Routine) -> int:
    """For how many drinks a pattern is offered: those that are there."""
    return min(len(routine.drinks), MOST_DRINKS) or USUAL_DRINKS


def pattern(
    total_s: float, drinks: int, named: Sequence[str] = ()
) -> tuple[tuple[str, float], ...]:
    """Names and seconds of the segments of so many drinks, `total_s` in all (to a second each).

    The first drinks are called as they are `named`. Raises InvalidInput for a number of drinks
    that no slot has.
    """
    if not 1 <= drinks <= MOST_DRINKS:
        raise InvalidInput.of("drinks", f"Between 1 and {MOST_DRINKS} drinks.")
    shares = [("Welcome", EDGE)]
    for number in range(1, drinks + 1):
        of = f"drink {number}" if drinks > 1 else "the drink"
        if number <= len(named):
            of = _short(named[number - 1])
        shares += [
            (f"{doing.capitalize()} {of}", share * (1 - 2 * EDGE) / drinks)
            for doing, share in OF_A_DRINK
        ]
    shares.append(("Close", EDGE))
    ends_s = [0.0]
    for _, share in shares:
        ends_s.append(ends_s[-1] + share * total_s)
    rounded_s = [round(end_s) for end_s in ends_s]
    lasts_s = (float(end - start) for start, end in pairwise(rounded_s))
    return tuple((name, seconds) for (name, _), seconds in zip(shares, lasts_s, strict=True))


def with_pattern(
    routine: Routine, total_s: float, drinks: int, new_id: Callable[[], Id]
) -> Routine:
    """The routine with the segments of a pattern. Raises InvalidInput where it has some already."""
    if routine.segments:
        raise InvalidInput.of("drinks", "This routine has segments already.")
    named = pattern(total_s, drinks, [drink.name for drink in routine.drinks])
    about = [drink.id for drink in routine.drinks[:drinks] for _ in OF_A_DRINK]
    # Before the first drink is the welcome; behind the last that has a name nothing is about one.
    ids = (None, *about, *[None] * (len(named) - len(about) - 1))
    segments = tuple(
        Segment(id=new_id(), name=name, duration=Spread(seconds), drink_id=drink_id)
        for (name, seconds), drink_id in zip(named, ids, strict=True)
    )
    return replace(routine, segments=segments)


def _short(name: str) -> str:
    """The name of a drink as far as it has room behind what is done with it."""
    room = LINE - max(len(doing) for doing, _ in OF_A_DRINK) - 1
    return name[:room].rstrip()
