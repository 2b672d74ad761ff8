"""What is not loaded at the start, loaded in the background soon after it.

First the pages that a presenter opens first, each made once; then the other rooms, and what other
pages need that compute. The taxonomy, stemmers and number libraries take most of a second to load,
NumPy half of one. Whoever opens a script, a plan or what the runs say should not wait for that, and
neither should the start.
"""

import gc
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import partial
from importlib import import_module
from itertools import chain
from threading import Event, Thread
from typing import Protocol

AFTER_S = 0.2
"""How long after the start: the first page has been asked for by then, or soon will be."""

QUIET_S, PATIENCE_S, BETWEEN_S = 0.1, 30.0, 0.02
"""A step waits until nothing was asked for so long, though not for ever; so long between two.

Where something is asked for all the time many mark, and each step makes hundreds of their marks
late. What somebody asks for meanwhile is loaded for them.
"""

ENDS_WITHIN_S = 2.0
"""A step that is under way when the app stops is waited for so long."""

OFTEN_S = 0.0005
"""How soon a thread that loads lets others go on: Python's own 5 ms would make a mark late."""

WORK = ("server.domain.risk.forecast", "server.domain.drift.analysis")


class Rooms(Protocol):
    """What is loaded room by room."""

    def load_next(self) -> bool:
        """Load one more; whether there was one."""

    def quiet_s(self) -> float:
        """How long nothing has been asked for."""


Step = Callable[[], object]


class WarmUp:
    """The thread that loads the rest; it keeps nothing from ending, and can be called off."""

    def __init__(
        self,
        rooms: Rooms,
        first: Callable[[], Iterable[Step]] = tuple,
        *,
        with_people: bool = False,
    ) -> None:
        self._rooms = rooms
        self._first = first
        self._with_people = with_people
        self._called_off = Event()
        self._thread = Thread(target=self._run, name="warming up", daemon=True)

    def begin(self) -> None:
        """Begin in a while."""
        self._thread.start()

    def cancel(self) -> None:
        """Begin nothing more."""
        self._called_off.set()

    def join(self, timeout: float) -> bool:
        """Wait for the end; whether it came."""
        self._thread.join(timeout)
        return not self._thread.is_alive()

    def _run(self) -> None:
        if self._called_off.wait(AFTER_S):
            return
        self._do(self._first())
        while self._may_go_on() and self._load_next():
            pass
        steps: list[Step] = [partial(import_module, name) for name in WORK]
        if self._with_people:
            steps.append(_load_commonest)
        self._do(chain(steps, checks()))
        if gc.get_freeze_count():
            # As at the start: what is loaded by now stays for good.
            gc.freeze()

    def _do(self, steps: Iterable[Step]) -> None:
        for step in steps:
            if self._may_go_on():
                with _giving_way():
                    step()

    def _load_next(self) -> bool:
        with _giving_way():
            return self._rooms.load_next()

    def _may_go_on(self) -> bool:
        """Wait until nobody asks for anything; whether there is anything to go on with."""
        waited_s = BETWEEN_S
        if self._called_off.wait(BETWEEN_S):
            return False
        while self._rooms.quiet_s() < QUIET_S and waited_s < PATIENCE_S:
            waited_s += QUIET_S
            if self._called_off.wait(QUIET_S):
                return False
        return True


def checks() -> Iterator[Step]:
    """Checks of a small script, one in each language: they load what scripts are checked with."""
    from server.domain.base.amounts import Amount
    from server.domain.routine.drink import Drink, Ingredient
    from server.domain.routine.routine import LANGUAGES, Routine, Segment, Spread
    from server.domain.routine.rules import RuleSheet
    from server.web.drinks.checked import checked

    drink = Drink("d", "Dusk", ingredients=(Ingredient("i", "Plum cordial", Amount(45, "ml")),))
    said = "Forty millilitres of plum cordial, at 50 degrees. You will find plum, no bitterness."
    for language in LANGUAGES:
        segment = Segment("s", "Serve", Spread(20.0), said=said, drink_id="d")
        routine = Routine(
            "r", "Warming up", "x", language=language, drinks=(drink,), segments=(segment,)
        )
        yield partial(checked, routine, RuleSheet("x", "Rules"))


def _load_commonest() -> None:
    """The commonest passwords: whoever chooses one should not wait for them."""
    from server.domain.people.commonest import commonest

    commonest()


@contextmanager
def _giving_way() -> Iterator[None]:
    """Let other threads go on sooner than usual."""
    usual_s = sys.getswitchinterval()
    sys.setswitchinterval(OFTEN_S)
    try:
        yield
    finally:
        sys.setswitchinterval(usual_s)
