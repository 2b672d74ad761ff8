"""The claims check of a stored routine: its case and its ledger, the same for drinks and script."""

from dataclasses import dataclass, replace
from functools import lru_cache, partial
from typing import TYPE_CHECKING

from server.domain.routine.plan import Plan
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.store.database import refuse_while_writing
from server.web.drinks.view import glass_words
from server.web.frame.telling import told

if TYPE_CHECKING:
    from server.domain.claims.facts import GlassFacts
    from server.domain.claims.ledger import Ledger, Unnamed
    from server.domain.claims.rows import ScriptCase

CHECKS_KEPT = 16
"""States of routines whose check is kept; some 0.15 MB each with the demo."""


@dataclass(frozen=True)
class Checked:
    """A routine's case and what came of it; `untold` says what could not be worked out, and why."""

    case: "ScriptCase"
    ledger: "Ledger"
    untold: tuple[str, ...] = ()

    @property
    def open_points(self) -> int:
        """How many things should be settled before the drinks are declared."""
        return sum(row.is_open for row in self.ledger.rows) + len(self.undeclared)

    @property
    def undeclared(self) -> "tuple[Unnamed, ...]":
        """Ingredients that the script must name and does not."""
        return self.ledger.unnamed if self.case.declare_all else ()


def checked(routine: Routine, rules: RuleSheet) -> Checked:
    """The claims check of a routine under a rule sheet.

    A drink whose glass cannot be told is checked without it; what cannot be checked has no rows.
    """
    refuse_while_writing("Words are checked")
    # Loaded with the first check, or by the warm-up: the start does without.
    from server.domain.claims.ledger import NOTHING_CLAIMED
    from server.domain.claims.rows import ScriptCase

    facts, untold = _facts(routine)
    found, why = told("What the script claims", lambda: _found(routine, rules, facts))
    if found is None:
        return Checked(ScriptCase((), ()), NOTHING_CLAIMED, (*untold, why))
    return replace(found, untold=untold)


@lru_cache(maxsize=CHECKS_KEPT)
def _found(routine: Routine, rules: RuleSheet, facts: "tuple[GlassFacts, ...]") -> Checked:
    """The same routine is checked once for all pages that show something of it."""
    from server.domain.claims.cases import case_of
    from server.domain.claims.glass_facts import tastings
    from server.domain.claims.ledger import ledger

    case = case_of(
        Plan(routine, rules),
        facts=facts,
        tastings=tastings(routine),
        declare_all=rules.declare_all,
        own_words=routine.own_words,
        corrections=routine.corrections,
    )
    return Checked(case, ledger(case))


def _facts(routine: Routine) -> "tuple[tuple[GlassFacts, ...], tuple[str, ...]]":
    """What each drink's glass is, and for which drinks it cannot be told."""
    from server.domain.claims.glass_facts import facts_of_glass

    facts, untold = [], []
    for drink in routine.drinks:
        if not drink.ingredients:
            continue
        make = partial(
            facts_of_glass, drink, routine.segments, routine.standard_drink, routine.processes
        )
        known, why = told(glass_words(drink), make)
        if known is None:
            untold.append(why)
        else:
            facts.append(known)
    return tuple(facts), tuple(untold)
