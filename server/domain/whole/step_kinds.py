"""The steps that come of what is open: one function for each kind, each with its words."""

from collections.abc import Mapping

from server.domain.base.durations import format_clock
from server.domain.base.number_words import count, counted
from server.domain.base.text import with_capital
from server.domain.risk.saying import in_a_hundred
from server.domain.whole.open_things import (
    Grown,
    LateProcess,
    OpenClaim,
    OpenRemark,
    PendingRun,
    ToSay,
    Unfound,
    Unheard,
    Wordy,
)
from server.domain.whole.readiness import plan_told
from server.domain.whole.step import WEIGHTS, Kind, NextStep, StepCure

MOST_NAMED = 3
"""Words of a run that are named; of more it is told how many."""

WHOLLY_BEYOND_S = 30.0
"""So much longer than the slot, no quick hands make up for a plan: an assumption, no source."""

CLAIM_KINDS: Mapping[str, Kind] = {
    "contradicted": "wrong",
    "unbacked": "nothing gives it",
    "unsaid": "never said",
    "unplanned": "not on the card",
}
"""State of a claim that is to be settled -> the kind of its step."""


def claim_step(claim: OpenClaim) -> NextStep:
    """A claim to settle."""
    kind = CLAIM_KINDS[claim.state]
    at = "" if claim.at_s is None else f"at {format_clock(claim.at_s)}"
    return _step(
        kind,
        f"claim-{claim.id}",
        _claim_words(claim, kind),
        with_capital(", ".join(filter(None, (claim.drink, at)))),
        *_claim_cures(claim, kind),
    )


def _claim_words(claim: OpenClaim, kind: Kind) -> str:
    word = with_capital(claim.word)
    if kind == "wrong":
        return claim.why or f"{word} is not so."
    if kind == "nothing gives it":
        where = "said" if claim.is_said else "on the card and never said"
        return f"{word} is {where}, nothing gives it."
    if kind == "never said":
        return f"{word} is on the card, nobody says it."
    return f"{word} is said, but not on the card."


def _claim_cures(claim: OpenClaim, kind: Kind) -> tuple[StepCure, ...]:
    of_claim = {"claim": claim.id}
    if kind == "wrong" and claim.cures:
        return tuple(
            StepCure(words, "cure claim", {**of_claim, "cure": cure_id})
            for cure_id, words in claim.cures
        )
    if kind == "never said" or not claim.is_said:
        words = {"segment": claim.segment_id or "", "word": claim.word}
        return (
            StepCure("Write it", "write words", words),
            StepCure("Take it off", "take off card", of_claim),
        )
    if kind == "not on the card":
        return (StepCure("Put it on the card", "put on card", of_claim),)
    return (StepCure("Look at it", "open claim", of_claim),)


def grown_step(grown: Grown) -> NextStep:
    """A segment that takes longer than planned."""
    seconds = round(grown.takes_s)
    plan = {"segment": grown.segment_id, "seconds": str(seconds)}
    cures = [StepCure(f"Plan {format_clock(seconds)}", "plan segment", plan)]
    if grown.has_words:
        cut = StepCure("Cut words", "cut words", {"segment": grown.segment_id})
        # In a slot that it does not fit into, more time for it is the worse cure.
        cures.insert(0 if _beyond(grown.beyond_slot_s) else 1, cut)
    return _step(
        "longer",
        f"longer-{grown.segment_id}",
        f"“{grown.name}” takes {format_clock(grown.takes_s)}, "
        f"planned {format_clock(grown.planned_s)}.",
        with_capital(f"{counted(grown.runs, 'run')} in a row{_lost(grown.chance_lost)}")
        + _beyond(grown.beyond_slot_s),
        *cures,
        harm=_time_harm(grown.chance_lost, grown.over_s),
    )


def wordy_step(wordy: Wordy) -> NextStep:
    """Words that take longer than planned."""
    return _step(
        "over",
        f"over-{wordy.segment_id}",
        f"The words of “{wordy.name}” take {format_clock(wordy.takes_s)}, "
        f"planned {format_clock(wordy.planned_s)}.",
        f"About {wordy.words_over} words too many{_lost(wordy.chance_lost)}"
        f"{_beyond(wordy.beyond_slot_s)}",
        StepCure("Cut words", "cut words", {"segment": wordy.segment_id}),
        StepCure(
            f"Plan {format_clock(wordy.takes_s)}",
            "plan segment",
            {"segment": wordy.segment_id, "seconds": str(round(wordy.takes_s))},
        ),
        harm=_time_harm(wordy.chance_lost, wordy.over_s),
    )


def _time_harm(chance_lost: float, over_s: float) -> float:
    # Where no chance is lost, seconds still tell which is the greater: 1 s as a tenth of a run.
    return min(max(chance_lost, 0.0), 1.0) + 0.001 * min(over_s, 60.0)


def _lost(chance_lost: float) -> str:
    runs = round(100 * chance_lost)
    return f"; it costs {runs} in 100 finishes inside the slot" if runs >= 1 else ""


def _beyond(seconds: float) -> str:
    """That the plan is too long for the slot once a segment is planned as long as it takes."""
    told = plan_told(seconds)
    return f"; planned so, {told}" if told else ""


def plan_step(beyond_slot_s: float) -> NextStep:
    """A plan that is longer than the slot."""
    return _step(
        "too long",
        "too-long",
        f"{with_capital(plan_told(beyond_slot_s))}.",
        "Who keeps to it is called over time",
        StepCure("Look at the plan", "open plan"),
        harm=min(beyond_slot_s / WHOLLY_BEYOND_S, 1.0),
    )


def unheard_step(found: Unheard, with_claims: bool) -> NextStep:
    """What was left out or said wrong; it weighs twice where the goal asks for every claim."""
    missed, wrong = sorted(set(found.missed)), sorted(set(found.wrong))
    told = [f"{_named(missed)} left out"] if missed else []
    told += [f"{_named(wrong)} said wrong"] if wrong else []
    # A wrong word counts as two that are missing; four missing ones are as bad as it gets.
    share = min(1.0, (len(missed) + 2 * len(wrong)) / 4)
    return _step(
        "missed",
        f"missed-{found.run_id}",
        f"{with_capital(', '.join(told))}.",
        found.when,
        StepCure("Learn these words", "learn words", {"run": found.run_id}),
        harm=share * (2.0 if with_claims else 1.0),
    )


def _named(words: list[str]) -> str:
    if len(words) > MOST_NAMED:
        return f"{', '.join(words[:MOST_NAMED])} and {len(words) - MOST_NAMED} more"
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def remark_step(remark: OpenRemark) -> NextStep:
    """What somebody remarked."""
    at = "" if remark.at_s is None else f"at {format_clock(remark.at_s)}"
    where = {"run": remark.run_id, "remark": remark.id}
    return _step(
        "remark",
        f"remark-{remark.run_id}-{remark.id}",
        f"“{remark.words}”",
        with_capital(", ".join(filter(None, (remark.who, at)))),
        StepCure("Done", "settle remark", where),
        harm=1 / (1 + remark.runs_ago),
    )


def late_step(late: LateProcess) -> NextStep:
    """A process that may be late."""
    cures = [StepCure("Look at it", "open process", {"process": late.process_id})]
    if late.earlier_id is not None:
        where = {"process": late.process_id, "segment": late.earlier_id}
        label = f"Start it after “{late.earlier_name}”"
        cures.insert(0, StepCure(label, "start process after", where))
    return _step(
        "late",
        f"late-{late.process_id}",
        f"“{late.name}” is ready in time {in_a_hundred(late.chance_ready)}.",
        f"As it will run, needed at {format_clock(late.needed_s)}"
        f"{'' if late.has_fallback else ', no plan B'}",
        *cures,
        harm=(1 - late.chance_ready) * (1 if late.has_fallback else 2),
    )


def pending_step(run: PendingRun) -> NextStep:
    """A run that waits for a word."""
    where = {"run": run.run_id}
    ended = (
        StepCure("End it", "end run", where),
        StepCure("Look at it", "open run", where),
    )
    judged = (
        StepCure("Count it", "count run", where),
        StepCure("Leave it out", "leave out run", where),
    )
    return _step(
        "run",
        f"run-{run.run_id}",
        _pending_words(run),
        with_capital(run.why),
        *(ended if run.kind == "open" else judged),
    )


def _pending_words(run: PendingRun) -> str:
    if run.kind == "open":
        return f"{with_capital(run.name)} was never ended."
    return f"Does {run.name} count?"


def rules_step(sheet_id: str) -> NextStep:
    """Rules that nobody performs under."""
    return _step(
        "rules",
        "rules",
        "These rules are invented.",
        "Slot and penalties are not those of your event",
        StepCure("Choose the rules", "choose rules", {"sheet": sheet_id}),
    )


def learn_step(found: ToSay) -> NextStep:
    """Sentences to say by heart: what does not sit may be lost on stage."""
    told = [f"{found.lost} of them left out on stage"] if found.lost else []
    if found.days is not None and found.days > 0:
        told.append("the stage is tomorrow" if found.days == 1 else f"{found.days} days left")
    return _step(
        "learn",
        "learn",
        f"{count(found.sentences, 'sentence')} to say today, {count(found.minutes, 'minute')}.",
        with_capital(", ".join(told)),
        StepCure("Say it" if found.sentences == 1 else "Say them", "say sentences"),
        harm=min(max(found.open_part, 0.0), 1.0),
    )


def drinkless_step(segment_id: str) -> NextStep:
    """Words of which nobody can tell which drink they are about."""
    return _step(
        "no drink",
        "no-drink",
        "No segment says which drink it is about.",
        "What is said is held against the right drink once they do",
        StepCure("Choose its drink", "choose drink", {"segment": segment_id}),
    )


def unfound_step(unfound: Unfound) -> NextStep:
    """A word that no taster finds."""
    return _step(
        "not found",
        f"unfound-{unfound.sitting_id}-{unfound.word.replace(' ', '-')}",
        f"Nobody finds {unfound.word}.",
        with_capital(f"0 of {counted(unfound.tasters, 'taster')}, {unfound.drink}"),
        StepCure("Look at it", "open tasting", {"sitting": unfound.sitting_id}),
    )


def _step(
    kind: Kind,
    step_id: str,
    sentence: str,
    detail: str,
    *cures: StepCure,
    harm: float = 1.0,
) -> NextStep:
    """A step; `harm` is how much of what its kind can spoil it does."""
    return NextStep(step_id, kind, sentence, detail, cures, 100 * WEIGHTS[kind] * harm)
