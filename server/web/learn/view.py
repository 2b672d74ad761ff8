"""What the page of learning shows: the day's sayings, the tape of what sits, the plan."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.base.number_words import count
from server.domain.base.numbers import write_number
from server.domain.learn.cost import StumbleCost
from server.domain.learn.days_ahead import LearningPlan
from server.domain.learn.own_memory import LEAST_REVIEWS, OwnMemory
from server.domain.learn.today import Sayings, Standing
from server.domain.routine.plan import layout
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.web.frame.filters import short_day, weekday_words
from server.web.frame.forms import Form
from server.web.frame.shown import RoutinePage
from server.web.frame.tape import TapeScale, drink_classes, span_of
from server.web.learn.gather import Learning

MOST_STUMBLES = 5
"""Sentences that do not sit and are named."""

DAYS_SHOWN = 14


@dataclass(frozen=True)
class SegmentRow:
    """A segment of the script: how many of its sentences sit, and what is to be said of it today.

    `x` and `width` place it on the tape in percent, `sits` and `said` are parts of its height:
    what sits, and above it what was said by heart and does not sit yet.
    """

    id: str
    number: int
    name: str
    kind: str
    x: float
    width: float
    count: int
    sitting: int
    today: int
    sits: float
    said: float

    @property
    def words(self) -> str:
        """How it sits, in words."""
        if self.sitting == self.count:
            return "all known" if self.count > 1 else "known"
        return f"{self.sitting} of {self.count} known"


@dataclass(frozen=True)
class Stumble:
    """A sentence that was said by heart and does not sit: where it stands, and why it is named."""

    segment_id: str
    number: int
    text: str
    why: str


@dataclass(frozen=True)
class PlanDay:
    """A day of the plan in words."""

    day: str
    back: int
    new: int
    minutes: int


@dataclass(frozen=True, kw_only=True)
class LearnPage(RoutinePage, folder="learn"):
    """How the script sits, and what to say today."""

    headline: str
    verdict: str
    is_late: bool
    needed: int | None
    today: Sayings
    segments: tuple[SegmentRow, ...]
    end: float
    tape_words: str
    stumbles: tuple[Stumble, ...]
    cost: str
    memory: str
    days: tuple[PlanDay, ...]
    minutes: int
    stage: str
    sitting: int
    count: int
    edit: str
    asks_for_day: bool
    form: Form


def headline_of(learning: Learning) -> str:
    """The answer of the page in one line."""
    found = learning.session
    if not learning.standings:
        return "Nothing to learn yet"
    if found.count:
        return f"{count(found.count, 'sentence')} to say today, {count(found.minutes, 'minute')}"
    if learning.sitting == len(learning.standings):
        return "Every sentence is known by heart"
    if found.waiting or any(each.is_new for each in learning.standings):
        return f"Enough for today: {learning.sitting} of {len(learning.standings)} sentences known"
    return f"Nothing to say today: {learning.sitting} of {len(learning.standings)} sentences known"


def verdict_of(learning: Learning, plan: LearningPlan | None) -> str:
    """What the plan to the day comes to, in a sentence."""
    if not learning.standings:
        return "Write what you say; it is learnt here sentence by sentence."
    if learning.stage is None:
        return "No day on stage is set: with one, everything comes back in time for it."
    when = weekday_words(learning.stage)
    if plan is None:
        over = "is today" if learning.stage == learning.day else "is past"
        return f"The day on stage, {when}, {over}. What is due comes back all the same."
    minutes, known = count(learning.aim.minutes, "minute"), in_hundred(plan.outcome.known)
    if plan.outcome.is_enough:
        return f"At {minutes} a day {known} in 100 sentences are known on {when}."
    told = f"at {minutes} a day only {known} in 100 sentences are known on {when}"
    if plan.needed is None:
        return f"Too late to learn all of it: {told}, and no day has minutes enough."
    return f"Too little time: {told}; {plan.needed} minutes a day would do."


def memory_words(own: OwnMemory) -> str:
    """Whose memory decides when sentences come back, in a sentence or two."""
    model = "When it comes back follows a published model of memory, fitted to"
    if own.is_own:
        first, growth = write_number(own.learner.first), write_number(own.learner.growth)
        return (
            f"{model} you: {own.reviews} sentences that came back tell that yours last {first} "
            f"times as long at first as most people’s, and that this grows {growth} times as fast. "
            "The plan is a forecast."
        )
    many = f"{model} many people, not to you: the plan is a forecast."
    if own.reviews < LEAST_REVIEWS:
        return f"{many} It is fitted to you once {LEAST_REVIEWS} sentences have come back."
    return f"{many} Fitted to the {own.reviews} that came back, it foretold your own no better."


def in_hundred(part: float) -> int:
    """A part in whole hundredths, never all of them where it is not."""
    return min(round(100 * part), 99) if part < 1 else 100


def segments_of(
    routine: Routine, rules: RuleSheet, learning: Learning
) -> tuple[tuple[SegmentRow, ...], float]:
    """The segments in which something is said, placed on the tape, and where the slot ends."""
    placed = layout(routine)
    scale = TapeScale(span_of(rules, placed.total_s))
    kinds = drink_classes(routine)
    known = {each.sentence.words: each for each in learning.standings}
    due = {each.sentence.words for each in (*learning.session.back, *learning.session.new)}
    rows = []
    for number, each in enumerate(placed.segments, 1):
        of_it = [
            known[one.words] for one in learning.sentences if one.segment_id == each.segment.id
        ]
        if not of_it:
            continue
        sitting = sum(one.sits(learning.day) for one in of_it)
        said = sum(not one.is_new for one in of_it)
        rows.append(
            SegmentRow(
                each.segment.id,
                number,
                each.segment.name,
                kinds[each.segment.id],
                *scale.stretch(each.start_s, each.end_s),
                len(of_it),
                sitting,
                sum(one.sentence.words in due for one in of_it),
                round(sitting / len(of_it), 3),
                round((said - sitting) / len(of_it), 3),
            )
        )
    return tuple(rows), scale.at(rules.slot_s)


def stumbles_of(routine: Routine, learning: Learning) -> tuple[Stumble, ...]:
    """The sentences that were said and do not sit, those lost on stage first."""
    numbers = {each.id: number for number, each in enumerate(routine.segments, 1)}
    open_ = [each for each in learning.standings if not each.is_new and not each.sits(learning.day)]
    open_.sort(key=lambda one: (not one.is_lost, one.chance(learning.day)))
    return tuple(
        Stumble(
            each.sentence.segment_id,
            numbers[each.sentence.segment_id],
            each.sentence.text,
            why_of(each),
        )
        for each in open_[:MOST_STUMBLES]
    )


def why_of(standing: Standing) -> str:
    """Why a sentence is to be said, in a few words; "" for what just comes back."""
    if standing.missed is not None:
        return standing.missed.words
    if standing.is_new:
        return "new"
    if standing.is_changed:
        return "changed since you learnt it"
    history = standing.history
    if history.in_run:
        words = {"gone": "left out on", "stumbled": "other words on"}.get(history.last or "", "")
        return f"{words} {short_day(history.said_ms)}" if words else ""
    return {"gone": "was gone", "stumbled": "stumbled"}.get(history.last or "", "")


def cost_words(cost: StumbleCost | None, learning: Learning) -> str:
    """What stumbles cost in runs, in a sentence; "" where the runs do not show it."""
    if cost is None:
        return ""
    shaky = [
        each
        for each in learning.standings
        if each.history.last in ("stumbled", "gone") and not each.sits(learning.day)
    ]
    if not shaky:
        return ""
    total = round(cost.seconds * len(shaky))
    if total < 1:
        return ""
    them = "The sentence" if len(shaky) == 1 else f"The {len(shaky)} sentences"
    costs = "costs" if len(shaky) == 1 else "cost"
    return (
        f"{them} you stumble on {costs} about {total} s: so say {cost.splits} splits of your runs."
    )


def days_of(plan: LearningPlan | None) -> tuple[PlanDay, ...]:
    """The next days of the plan."""
    if plan is None:
        return ()
    return tuple(
        PlanDay(
            weekday_words(each.day),
            round(each.back),
            round(each.new),
            max(1, round(each.seconds / 60)) if each.seconds else 0,
        )
        for each in plan.outcome.days[:DAYS_SHOWN]
    )


def tape_words(rows: Sequence[SegmentRow]) -> str:
    """The tape for those who do not see it."""
    return "; ".join(f"{row.number} {row.name}: {row.words}" for row in rows)
