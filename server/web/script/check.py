"""The claims check of a stored routine: its case, its ledger, and how a page speaks of them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from hashlib import sha256
from typing import TYPE_CHECKING

from server.domain.base.errors import NotFound
from server.domain.base.text import LONG_TEXT
from server.domain.claims.backing import STATES
from server.domain.routine.plan import Plan
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.store.database import refuse_while_writing
from server.web.drinks.view import glass_words
from server.web.frame.telling import told

if TYPE_CHECKING:
    from server.domain.claims.facts import GlassFacts
    from server.domain.claims.ledger import Ledger, Unnamed
    from server.domain.claims.rows import Case, Row

UNCHECKED = "unchecked"

STUBS: Mapping[str, str] = {
    "contradicted": "wrong",
    "unbacked": "needs",
    "weakly backed": "holds",
    "unplanned": "extra",
    "unsaid": "unsaid",
    "backed": "holds",
    UNCHECKED: "open",
}
"""State of a claim -> the stub that is drawn for it."""


WORDS: Mapping[str, str] = dict([*STATES.items(), (UNCHECKED, "Can’t check")])
"""State of a claim -> the word for it."""


@dataclass(frozen=True)
class Badge:
    """A state as it is shown: its key, the stub that is drawn for it, and a word."""

    key: str
    stub: str
    word: str

    @property
    def is_wanting(self) -> bool:
        """Whether it is for the person to settle."""
        return self.stub in ("wrong", "needs", "extra", "unsaid")


@dataclass(frozen=True)
class Checked:
    """A routine's case and what came of it; `untold` says what could not be worked out, and why."""

    case: "Case"
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
    from server.domain.claims.rows import Case

    facts, untold = _facts(routine)
    found, why = told("What the script claims", lambda: _found(routine, rules, facts))
    if found is None:
        return Checked(Case((), ()), NOTHING_CLAIMED, (*untold, why))
    return replace(found, untold=untold)


def _found(routine: Routine, rules: RuleSheet, facts: "Sequence[GlassFacts]") -> Checked:
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


def _facts(routine: Routine) -> "tuple[list[GlassFacts], tuple[str, ...]]":
    """What each drink's glass is, and for which drinks it cannot be told."""
    from server.domain.claims.glass_facts import facts_of_glass

    facts, untold = [], []
    for drink in routine.drinks:
        if not drink.ingredients:
            continue
        make = partial(facts_of_glass, drink, routine.segments, routine.standard_drink)
        known, why = told(glass_words(drink), make)
        if known is None:
            untold.append(why)
        else:
            facts.append(known)
    return facts, tuple(untold)


def with_texts(routine: Routine, texts: Mapping[str, str]) -> Routine:
    """The routine as if these texts (segment id -> text) were saved, but for those too long."""
    fitting = {key: text for key, text in texts.items() if len(text) <= LONG_TEXT}
    segments = (replace(each, said=fitting.get(each.id, each.said)) for each in routine.segments)
    return replace(routine, segments=tuple(segments))


def badge_key(row: "Row") -> str:
    """Under which state a row is listed: its own, or unchecked."""
    return row.state if row.is_checked or row.state != "unbacked" else UNCHECKED


def badge(key: str) -> Badge:
    """How a state, or "unchecked", is shown."""
    return Badge(key.replace(" ", "-"), STUBS[key], WORDS[key])


AT_ODDS = Badge("at-odds", "needs", "At odds")
"""For a claim that holds by itself, but not beside another that is said of the same drink."""


def badge_of(row: "Row") -> Badge:
    """The badge of a claim."""
    key = badge_key(row)
    return AT_ODDS if row.clashes_with and not badge(key).is_wanting else badge(key)


def row_id(row_key: str) -> str:
    """A row's key in a form that fits an address: the same claim keeps it through edits."""
    return f"claim-{sha256(row_key.encode()).hexdigest()[:12]}"


def claim_of(routine: Routine, rules: RuleSheet, claim_id: str) -> "Row":
    """The claim with that id as things stand. Raises NotFound where it is no longer made."""
    for row in checked(routine, rules).ledger.rows:
        if row_id(row.key) == claim_id:
            return row
    raise NotFound("This claim is no longer in the script. Load the page again.")


def sentence_id(segment_id: str, index: int) -> str:
    """The id of a sentence in the script."""
    return f"sentence-{segment_id}-{index}"
