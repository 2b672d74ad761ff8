"""What is open in a routine, as plain values: the pages gather them, `next_steps` orders them.

Chances are parts of 1, times seconds on the elapsed clock, ids those of the routine, its runs and
the rows of its ledger.
"""

from dataclasses import dataclass
from typing import Literal

from server.domain.claims.backing import State


@dataclass(frozen=True)
class OpenClaim:
    """A claim to settle; `word` as the card has it ("rosehip"), or the number as it is said.

    `why` is the reason of a contradiction as the ledger gives it; `cures` are id and words of what
    settles one at a touch (`claims.cures`). `segment_id` is where it is said first, or the segment
    about its drink where it could be said. `is_said` tells a word of the script from one that only
    stands on the card.
    """

    id: str
    state: State
    word: str
    why: str = ""
    drink: str = ""
    at_s: float | None = None
    segment_id: str | None = None
    cures: tuple[tuple[str, str], ...] = ()
    is_said: bool = True


@dataclass(frozen=True)
class Grown:
    """A segment that took longer than planned in the last `runs` runs, one after the other.

    `takes_s` is what it takes now, `chance_lost` by how much the chance to finish inside the slot
    is smaller than with the segment as planned. `has_words` tells whether words can be cut;
    `beyond_slot_s` is by how much the plan would be longer than the slot with `takes_s` in it.
    """

    segment_id: str
    name: str
    planned_s: float
    takes_s: float
    runs: int
    chance_lost: float = 0.0
    has_words: bool = True
    beyond_slot_s: float = 0.0

    @property
    def over_s(self) -> float:
        """By how much it is longer than planned."""
        return self.takes_s - self.planned_s


@dataclass(frozen=True)
class Wordy:
    """A segment whose words take longer than is planned for it, and how many are too many.

    `beyond_slot_s` is by how much the plan would be longer than the slot with `takes_s` in it.
    """

    segment_id: str
    name: str
    planned_s: float
    takes_s: float
    words_over: int
    chance_lost: float = 0.0
    beyond_slot_s: float = 0.0

    @property
    def over_s(self) -> float:
        """By how much the words are longer than planned."""
        return self.takes_s - self.planned_s


@dataclass(frozen=True)
class Unheard:
    """What a watcher ticked as left out or said wrong in the last run; `when` names that run."""

    run_id: str
    when: str
    missed: tuple[str, ...] = ()
    wrong: tuple[str, ...] = ()


@dataclass(frozen=True)
class OpenRemark:
    """A watcher's remark that nobody has called done; `runs_ago` is 0 for the last run."""

    run_id: str
    id: str
    words: str
    who: str = ""
    at_s: float | None = None
    runs_ago: int = 0


@dataclass(frozen=True)
class LateProcess:
    """A process that may not be ready when it is needed, at `needed_s`.

    `earlier_id` and `earlier_name` are the segment after which it would better start, where there
    is one.
    """

    process_id: str
    name: str
    chance_ready: float
    needed_s: float
    has_fallback: bool = False
    earlier_id: str | None = None
    earlier_name: str = ""


@dataclass(frozen=True)
class PendingRun:
    """A run that waits for a word: one never ended, or one that may count or not and why.

    `name` is as it stands within a sentence: "the run of 20 Nov".
    """

    run_id: str
    name: str
    kind: Literal["open", "doubtful"]
    why: str = ""


@dataclass(frozen=True)
class ToSay:
    """Sentences to be said by heart today, and the minutes that takes.

    `open_part` is the part of all sentences that do not sit; `lost` how many were left out on
    stage; `days` how far away the stage is, None where no day is set.
    """

    sentences: int
    minutes: int
    open_part: float = 1.0
    lost: int = 0
    days: int | None = None


@dataclass(frozen=True)
class Unfound:
    """A word on the card of a drink that none of so many tasters found, in which tasting."""

    sitting_id: str
    drink: str
    word: str
    tasters: int


@dataclass(frozen=True)
class GoalAhead:
    """The goal in words ("3 runs in a row between 9:40 and 9:58") and how many runs are left."""

    words: str
    left: int
    with_claims: bool = False


@dataclass(frozen=True)
class Open:
    """All that is open. `spare_s` is the slot less what the plan takes with its words.

    It is None without words; `drinks` has a line for each drink that is not in order, `no_parts` is
    that no drink has an ingredient, `unknown_parts` counts those not fully known, once of one
    nothing is known but name and amount.
    `beyond_slot_s` is by how much the plan is longer than the slot, `empty_s` what of the slot no
    segment fills, where that is a minute or more. `serves_asked` are the serves that the rules ask
    for, `for_others` the drinks that are written for another number, with it.
    `claims_to_settle` counts all that the ledger has to settle; `claims` are those of them that
    are a step by themselves. `drinkless_segment_id` is the first segment with words where there are
    several drinks and no segment says which of them it is about.
    """

    claims: tuple[OpenClaim, ...] = ()
    claims_to_settle: int = 0
    grown: tuple[Grown, ...] = ()
    wordy: tuple[Wordy, ...] = ()
    unheard: Unheard | None = None
    remarks: tuple[OpenRemark, ...] = ()
    processes: tuple[LateProcess, ...] = ()
    runs: tuple[PendingRun, ...] = ()
    rules_invented: bool = False
    rule_sheet_id: str = ""
    goal: GoalAhead | None = None
    drinks: tuple[str, ...] = ()
    unknown_parts: int = 0
    no_parts: bool = False
    spare_s: float | None = None
    beyond_slot_s: float = 0.0
    empty_s: float = 0.0
    serves_asked: int = 0
    for_others: tuple[tuple[str, int], ...] = ()
    to_say: ToSay | None = None
    unfound: tuple[Unfound, ...] = ()
    drinkless_segment_id: str | None = None
