"""What the first pages that compute need, loaded in the background soon after the start.

The taxonomy, stemmers and number libraries take most of a second to load, NumPy half of one.
Whoever opens a script, a plan or what the runs say should not wait for that, and neither should
the start.
"""

from importlib import import_module
from threading import Timer

from server.domain.base.amounts import Amount
from server.domain.people.commonest import commonest
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.routine import LANGUAGES, Routine, Segment, Spread
from server.domain.routine.rules import RuleSheet
from server.web.drinks.checked import checked

AFTER_S = 1.5
"""How long after the start: the first page has been asked for and answered by then."""


def warm_up_soon(*, has_people: bool) -> Timer:
    """Begin in a while, on a thread that keeps nothing from ending; the timer can be cancelled."""
    timer = Timer(AFTER_S, warm_up, kwargs={"has_people": has_people})
    timer.daemon = True
    timer.start()
    return timer


def warm_up(*, has_people: bool) -> None:
    """Check a small script once in each language; load what plan and runs are computed with."""
    drink = Drink("d", "Dusk", ingredients=(Ingredient("i", "Plum cordial", Amount(45, "ml")),))
    said = "Forty millilitres of plum cordial, at 50 degrees. You will find plum, no bitterness."
    for language in LANGUAGES:
        segment = Segment("s", "Serve", Spread(20.0), said=said, drink_id="d")
        routine = Routine(
            "r", "Warming up", "x", language=language, drinks=(drink,), segments=(segment,)
        )
        checked(routine, RuleSheet("x", "Rules"))
    if has_people:
        commonest()
    for name in ("server.domain.risk.forecast", "server.domain.drift.analysis"):
        import_module(name)
