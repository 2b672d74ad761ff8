"""From boundaries that a person accepted to the events of a run, and beside one marked by hand.

The events carry the cause "heard". Their fold gives the accepted times; where segments were said
in another order than planned, only what is certain is marked: the end of the whole stretch.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from server.domain.base.durations import format_duration
from server.domain.base.errors import Fault, refuse_if
from server.domain.heard.alignment import Alignment
from server.domain.heard.hearing import HeardClaim
from server.domain.routine.routine import Routine
from server.domain.runs.events import Event, Kind, Verdict
from server.domain.runs.paper import LONGEST_RUN_S, whole_ms
from server.domain.runs.run import RunState

HEARD = "heard"
"""Device and boot of every event from a recording: one clock, that of the sound."""

WHO = "Recording"
"""Who ticked the claims that were heard."""


@dataclass(frozen=True)
class Accepted:
    """What the person accepted, in s of the recording: start, finish, and where segments begin.

    A segment that is not in `starts_s` was left out. One that is `unsure` was not, but nobody
    knows when it began: it ends none before it.
    """

    start_s: float
    finish_s: float
    starts_s: tuple[tuple[str, float], ...]
    broken_off: bool = False
    unsure: frozenset[str] = frozenset()


def accepted_as_found(alignment: Alignment) -> Accepted:
    """What is offered to be accepted: every boundary but those of segments that were left out."""
    skipped = set(alignment.skipped_ids)
    starts = tuple(
        (each.segment_id, each.start_s)
        for each in alignment.boundaries
        if each.segment_id not in skipped
    )
    unsure = frozenset(
        each.segment_id for each in alignment.boundaries[1:] if each.certain == "guess"
    )
    return Accepted(
        alignment.start_s, alignment.finish_s, starts, alignment.lacks_end, unsure - skipped
    )


def run_events(
    routine: Routine, accepted: Accepted, started_wall_ms: int, new_id: Callable[[], str]
) -> tuple[Event, ...]:
    """The event log of a run that was heard; its fold gives the times accepted, to 1 ms.

    Raises InvalidInput with every fault found: the fields are `start`, `finish` and
    `start-<segment id>`.
    """
    refuse_if(accepted_faults(routine, accepted))
    closing: Kind = "abandon" if accepted.broken_off else "finish"
    marks: list[tuple[float, Kind, str | None]] = [(accepted.start_s, "start", None)]
    marks += [(at_s, "done", segment_id) for segment_id, at_s in _ends(routine, accepted)]
    marks.append((accepted.finish_s, closing, None))
    return tuple(
        Event(
            id=new_id(),
            device_id=HEARD,
            boot_id=HEARD,
            seq=seq,
            kind=kind,
            wall_ms=started_wall_ms + whole_ms(at_s - accepted.start_s),
            mono_ms=float(whole_ms(at_s - accepted.start_s)),
            segment_id=segment_id,
            cause="heard",
        )
        for seq, (at_s, kind, segment_id) in enumerate(marks)
    )


def accepted_faults(routine: Routine, accepted: Accepted) -> list[Fault]:
    """Everything that is wrong with what was accepted; empty where it can be taken."""
    names = {each.id: each.name for each in routine.segments}
    faults = []
    if not 0 <= accepted.start_s < accepted.finish_s:
        faults.append(Fault("finish", "The finish must lie after the start."))
    elif accepted.finish_s - accepted.start_s > LONGEST_RUN_S:
        faults.append(Fault("finish", "That is longer than two hours."))
    for segment_id, at_s in accepted.starts_s:
        field = f"start-{segment_id}"
        if segment_id not in names:
            faults.append(Fault(field, "This segment is not in the plan of the run."))
        elif not accepted.start_s <= at_s <= accepted.finish_s:
            reading = format_duration(max(0.0, at_s) if at_s < LONGEST_RUN_S * 12 else 0.0)
            faults.append(
                Fault(field, f"{reading} lies outside the run: between start and finish.")
            )
    return faults


def _ends(routine: Routine, accepted: Accepted) -> list[tuple[str, float]]:
    """The segments whose end is certain, in the plan's order, and when that was.

    A segment ends where the next begins. Only where all before it and itself began before all
    behind it does that say anything; and a segment without a start makes the end of the one
    before it that of the next that has one.
    """
    starts = dict(accepted.starts_s)
    known = [each.id for each in routine.segments if each.id in starts]
    ends = []
    for number, segment_id in enumerate(known[:-1], 1):
        latest = max(starts[each] for each in known[:number])
        behind_it = min(known[number:], key=lambda each: starts[each])
        if latest <= starts[behind_it] and behind_it not in accepted.unsure:
            ends.append((segment_id, starts[behind_it]))
    last = routine.segments[-1].id if routine.segments else None
    # The finish closes the last segment. Where that was left out it must not get a time of zero.
    next_one = {one.id: other.id for one, other in pairwise(routine.segments)}
    if known and known[-1] != last and next_one.get(known[-1]) != last and not accepted.broken_off:
        ends.append((known[-1], accepted.finish_s))
    return ends


def claim_events(
    claims: Sequence[tuple[HeardClaim, Verdict]],
    start_s: float,
    wall_ms: int,
    new_id: Callable[[], str],
    first_seq: int = 0,
) -> tuple[Event, ...]:
    """Ticks of claims for the log of any run, also one marked by hand.

    `claims` are those that the person let stand or decided, with the verdict; `start_s` is where
    the clock began in the recording. They stand as a watcher's do, at the time in the run.
    """
    return tuple(
        Event(
            id=new_id(),
            device_id=HEARD,
            boot_id=HEARD,
            seq=first_seq + number,
            kind="claim",
            wall_ms=wall_ms,
            mono_ms=0.0,
            segment_id=claim.segment_id,
            claim=claim.key,
            verdict=verdict,
            at_ms=float(whole_ms(max(0.0, (claim.start_s or start_s) - start_s))),
            who=WHO,
            cause="heard",
        )
        for number, (claim, verdict) in enumerate(claims)
        if claim.is_ticked
    )


def verdicts_as_found(claims: Sequence[HeardClaim]) -> tuple[tuple[HeardClaim, Verdict], ...]:
    """The ticks that need no person: what was heard, and what was not. The rest is listened to."""
    told: list[tuple[HeardClaim, Verdict]] = []
    for each in claims:
        if each.is_ticked and each.hearing != "listen":
            told.append((each, "heard" if each.hearing == "heard" else "missed"))
    return tuple(told)


@dataclass(frozen=True)
class BesideRow:
    """A segment marked by hand and heard: ends and splits in ms, None where one does not tell.

    `apart_ms` is how much later the heard end is.
    """

    segment_id: str
    name: str
    hand_end_ms: int | None
    heard_end_ms: int | None
    hand_split_ms: int | None
    heard_split_ms: int | None

    @property
    def apart_ms(self) -> int | None:
        """How much later the end was heard than marked; None where one is missing."""
        if self.hand_end_ms is None or self.heard_end_ms is None:
            return None
        return self.heard_end_ms - self.hand_end_ms


def side_by_side(routine: Routine, hand: RunState, heard: RunState) -> tuple[BesideRow, ...]:
    """Two folds of the same run, segment by segment: the hand's marks and the heard ones."""
    return tuple(
        BesideRow(
            segment.id,
            segment.name,
            hand.ends_ms[at],
            heard.ends_ms[at],
            hand.splits_ms[at],
            heard.splits_ms[at],
        )
        for at, segment in enumerate(routine.segments)
    )
