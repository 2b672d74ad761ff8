"""What a script is checked against, and the rows of its ledger."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from server.domain.base.amounts import Amount
from server.domain.claims.backing import Backing, Judgement, State
from server.domain.claims.facts import GlassFacts, KnownNumber, Tasting, facts_of
from server.domain.claims.finds import Find, FindKind, Passage
from server.domain.claims.negation import Polarity
from server.domain.claims.sayings import Saying, TimesOfSayings, saying
from server.domain.routine.drink import Drink
from server.domain.routine.own_words import Correction, OwnWord
from server.domain.routine.tolerance import USUAL, Tolerance

TO_SETTLE: frozenset[State] = frozenset({"contradicted", "unbacked", "unsaid", "unplanned"})
"""States in which what is said, what is in the glass and what is on the card do not agree."""


@dataclass(frozen=True)
class ScriptCase:
    """All that a script is checked against.

    `times` are known durations of the plan; `segments` maps a segment's id to its planned start
    and end in s; `declare_all` is whether the rule sheet demands that every ingredient is named.
    """

    passages: tuple[Passage, ...]
    drinks: tuple[Drink, ...]
    language: str = "en"
    facts: tuple[GlassFacts, ...] = ()
    times: tuple[KnownNumber, ...] = ()
    segments: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    tastings: tuple[Tasting, ...] = ()
    declare_all: bool = False
    own_words: tuple[OwnWord, ...] = ()
    corrections: tuple[Correction, ...] = ()
    tolerance: Tolerance = USUAL
    hands: tuple[Passage, ...] = ()
    """What the hands do in each segment: read for what is wrong, never a claim."""


@dataclass(frozen=True)
class LedgerRow:
    """One claim. `states` are all that hold of it, the most pressing first; `why` says each.

    `drink_id` is None where the script does not tell which drink is meant. `is_checked` is False
    for a number that there was nothing to hold against.
    """

    key: str
    kind: FindKind
    label: str
    states: tuple[State, ...]
    why: tuple[str, ...]
    drink_id: str | None = None
    polarity: Polarity = "has"
    is_planned: bool = False
    is_checked: bool = True
    is_doubtful: bool = False
    """Whether it may well be no claim: nowhere do the words around it tell for sure."""
    backings: tuple[Backing, ...] = ()
    sayings: tuple[Saying, ...] = ()
    clashes_with: tuple[str, ...] = ()
    word: str = ""
    """The descriptor by itself, without its denial; empty for numbers."""
    said: Amount | None = None
    """The amount that is said, where it is one."""
    number: tuple[float, str] | None = None
    """The one number that is said and its unit, where it is another (s, C or F, %, serves)."""
    held: KnownNumber | None = None
    """What a contradicted number should have been, where that is known."""
    in_hands: str = ""
    """The segment whose hands' text it stands in, where it is not of the talk."""

    @property
    def state(self) -> State:
        """The most pressing state."""
        return self.states[0]

    @property
    def is_repeated(self) -> bool:
        """Whether it is said more than once."""
        return len(self.sayings) > 1

    @property
    def is_untimely(self) -> bool:
        """Whether it is said only when the judges cannot taste it, or have drunk already."""
        return bool(self.sayings) and all(said.timing for said in self.sayings)

    @property
    def is_open(self) -> bool:
        """Whether it should be settled before the drink is declared to judges."""
        return self._is_wanting and not self.is_asked

    @property
    def is_asked(self) -> bool:
        """Whether it would have to be settled, and may be no claim: what it is, is asked first."""
        return self.is_doubtful and self._is_wanting and not self.is_planned

    @property
    def _is_wanting(self) -> bool:
        if self.in_hands:
            return False
        return self.is_checked and (self.state in TO_SETTLE or bool(self.clashes_with))


def drinks_of(case: ScriptCase, drink_id: str | None) -> tuple[Drink, ...]:
    """The drink that is meant, or all of them where the script does not tell."""
    return tuple(d for d in case.drinks if d.id == drink_id) or case.drinks


def facts_for(case: ScriptCase, drinks: Iterable[Drink]) -> tuple[GlassFacts, ...]:
    """What is known of each of these drinks."""
    return tuple(facts_of(case.facts, drink.id) for drink in drinks)


def row_key(drink_id: str | None, kind: str, label: str) -> str:
    """The key of a row: the same claim of the same drink keeps it through edits."""
    return f"{drink_id or '-'}:{kind}:{label}"


def judged_row(find: Find, label: str, judgement: Judgement) -> LedgerRow:
    """The row of something that was said and judged, before it is known how often it was said."""
    return LedgerRow(
        key=row_key(find.drink_id, find.kind, label),
        kind=find.kind,
        label=label,
        states=(judgement.state,),
        why=(judgement.why,),
        drink_id=find.drink_id,
        is_checked=judgement.is_checked,
        backings=judgement.backings,
    )


def said_rows(told: Iterable[tuple[Find, LedgerRow]], timetable: TimesOfSayings) -> list[LedgerRow]:
    """One row for each key, as it was told first; said again, it adds to the sayings of its row.

    What is said again and judged otherwise, "ten millilitres" of another thing, is another row.
    """
    rows: dict[tuple[str, tuple[State, ...]], LedgerRow] = {}
    sayings: dict[tuple[str, tuple[State, ...]], list[Saying]] = {}
    many: Counter[str] = Counter()
    for find, row in told:
        place = row.key, row.states
        if place not in rows:
            many[row.key] += 1
            number = many[row.key]
            rows[place] = replace(row, key=f"{row.key}:{number}") if number > 1 else row
        sayings.setdefault(place, []).append(saying(find, timetable))
    return [replace(row, sayings=tuple(sayings[place])) for place, row in rows.items()]
