"""Runs in words: the headline of all, the finish of one."""

from collections.abc import Sequence
from math import floor

from server.domain.base.durations import format_clock
from server.domain.base.number_words import count, counted, in_words
from server.domain.routine.rules import RuleSheet
from server.domain.runs.compare import ComparedRun
from server.domain.runs.labels import ALONE, WATCHED
from server.domain.runs.summary import RunLine
from server.web.frame.filters import apart


def headline(runs: Sequence[ComparedRun]) -> str:
    """How many of the runs that count ended inside the slot, and whether the last ones did."""
    inside = [run.verdict.inside for run in runs if run.line.counts and run.verdict is not None]
    if not inside:
        return "No run counts yet" if runs else "No run yet"
    found, total = sum(inside), len(inside)
    of_all = count(total, "run")
    if not found:
        return f"None of {of_all} inside the slot yet" if total > 1 else "One run, past the slot"
    if found == total:
        return f"All {of_all} inside the slot" if total > 1 else "One run, inside the slot"
    return f"{found} of {of_all} inside the slot: {_which(inside)}"


def _which(inside: Sequence[bool]) -> str:
    """Which of them, from the last one's side."""
    latest = next(n for n, each in enumerate(reversed(inside)) if each is not inside[-1])
    if not inside[-1]:
        return "not the last" if latest == 1 else f"none of the last {in_words(latest)}"
    if latest == 1:
        return "the last one" if sum(inside) == 1 else "the last one is"
    which = f"the last {in_words(latest)}"
    return which if sum(inside) == latest else f"{which} are"


def finish_words(line: RunLine, rules: RuleSheet) -> str:
    """How a run ended: "on target", "8 s inside", "6 s over"; why it does not count, else."""
    if not line.counts or line.total_ms is None:
        return line.why_not
    total_s = line.total_ms / 1000
    # From what the clock reads, or 10:03 would stand beside "2 s over".
    read_s = floor(total_s + 0.5)
    if read_s == floor(rules.target_s + 0.5) and total_s <= rules.slot_s:
        return "on target"
    same = "just over" if total_s > rules.slot_s else "just inside"
    return apart(read_s - rules.slot_s, "over", "inside", same)


def finish_then_words(line: RunLine, then: RuleSheet, now: RuleSheet) -> str:
    """How it ended by the rules of that day, which are named where the slot is another today.

    On the tape beside it the run is held against the slot of today.
    """
    words = finish_words(line, then)
    if not line.counts or line.total_ms is None or then.slot_s == now.slot_s:
        return words
    return f"{words}, slot then {format_clock(then.slot_s)}"


def within_words(off_s: float) -> str:
    """How close to their plan some segments stayed.

    >>> within_words(0.84), within_words(5.0), within_words(71.0), within_words(0.04)
    ('within 0.8 s of plan', 'within 5 s of plan', 'within 1:11 of plan', 'on plan')
    """
    text = apart(abs(off_s), "of plan", same="", tenths=True)
    return f"within {text}" if text else "on plan"


def company(line: RunLine) -> str:
    """With whom it was: "coach", "alone", or nothing."""
    return next((tag for tag in (WATCHED, ALONE) if tag in line.occasion.tags), "")


def about(line: RunLine) -> str:
    """Name or venue and company, for a line that has its day beside it; "" without any."""
    with_whom = company(line) if company(line) != ALONE else ""
    return ", ".join(filter(None, (line.label or line.occasion.venue, with_whom)))


def earlier_words(number_of: int) -> str:
    """How many runs lie before those that are drawn: "Six earlier"."""
    words = counted(number_of, "earlier", "earlier")
    return words[0].upper() + words[1:]
