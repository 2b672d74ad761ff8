"""Reading a run off the form it was typed into from paper.

A sheet of paper is noted in one of two ways: as clock readings (what the clock showed at the end
of each segment) or as durations (how long each segment took). Either may have blanks.

Fields: `time-<segment id>`, `total`, `ready-<process id>`, and for the incident in row n
`what-<n>`, `at-<n>`, `note-<n>`. All times but durations are readings of the elapsed clock.
"""

import re
from collections.abc import Mapping, Sequence
from itertools import takewhile
from typing import Literal

from server.domain.base.durations import format_duration, parse_duration
from server.domain.base.errors import Fault, InvalidInput, refuse_if
from server.domain.routine.routine import Routine
from server.domain.runs.events import INCIDENTS
from server.domain.runs.paper import PaperIncident, PaperRun, whole_ms

Noted = Literal["readings", "durations"]

_INCIDENT_FIELD = re.compile(r"(?:what|at|note)-(\d{1,4})")


def read_paper(
    routine: Routine, typed: Mapping[str, str], noted: Noted = "readings", broken_off: bool = False
) -> PaperRun:
    """The run on a sheet, from its fields as typed; a blank or missing field was not noted.

    The total may be left blank where the last segment's time tells it. Durations are laid end to
    end from the start up to the first blank, and back from the total to the last blank unless the
    run was broken off. Raises InvalidInput with every field that cannot be read, or with the
    durations that cannot be placed.
    """
    faults: list[Fault] = []
    times = _read_all(typed, "time", [segment.id for segment in routine.segments], faults)
    ready = _read_all(typed, "ready", [process.id for process in routine.processes], faults)
    total_s = _read(typed, "total", faults)
    incidents = _read_incidents(typed, faults)
    refuse_if(faults)
    ends = times if noted == "readings" else _laid_out(routine, times, total_s, broken_off)
    if total_s is None:
        total_s = _total_from_last(routine, ends, broken_off)
    return PaperRun(total_s, ends, ready, incidents, broken_off)


def _read(typed: Mapping[str, str], name: str, faults: list[Fault]) -> float | None:
    text = typed.get(name, "").strip()
    if not text:
        return None
    try:
        return parse_duration(text, name)
    except InvalidInput as error:
        faults.extend(error.faults)
        return None


def _read_all(
    typed: Mapping[str, str], prefix: str, ids: Sequence[str], faults: list[Fault]
) -> dict[str, float]:
    read = {part_id: _read(typed, f"{prefix}-{part_id}", faults) for part_id in ids}
    return {part_id: seconds for part_id, seconds in read.items() if seconds is not None}


def _read_incidents(typed: Mapping[str, str], faults: list[Fault]) -> tuple[PaperIncident, ...]:
    rows = {int(match[1]) for name in typed if (match := _INCIDENT_FIELD.fullmatch(name))}
    found = [_read_incident(typed, row, faults) for row in sorted(rows)]
    return tuple(incident for incident in found if incident is not None)


def _read_incident(typed: Mapping[str, str], row: int, faults: list[Fault]) -> PaperIncident | None:
    what, at, note = (typed.get(f"{name}-{row}", "").strip() for name in ("what", "at", "note"))
    if not (what or at or note):
        return None
    kind = next((known for known in INCIDENTS if known == what), None)
    if kind is None:
        faults.append(Fault(f"what-{row}", "Choose what went wrong."))
    if not at:
        faults.append(Fault(f"at-{row}", "Give the clock reading at which it happened."))
    at_s = _read(typed, f"at-{row}", faults)
    return None if kind is None or at_s is None else PaperIncident(kind, at_s, note, row)


def _total_from_last(routine: Routine, ends: Mapping[str, float], broken_off: bool) -> float:
    if broken_off:
        raise InvalidInput.of("total", "Give the clock reading at which the run was broken off.")
    last_id = routine.segments[-1].id if routine.segments else ""
    if last_id not in ends:
        raise InvalidInput.of("total", "Give the total, or the time of the last segment.")
    return ends[last_id]


def _laid_out(
    routine: Routine, durations: Mapping[str, float], total_s: float | None, broken_off: bool
) -> dict[str, float]:
    """Readings from durations, reckoned in whole ms so that sums carry no binary dust."""
    lengths_ms = {segment_id: whole_ms(seconds) for segment_id, seconds in durations.items()}
    ids = [segment.id for segment in routine.segments]
    ends_ms = _forward(ids, lengths_ms)
    sum_ms = max(ends_ms.values(), default=0)
    rest = ids[len(ends_ms) :]
    if rest and not broken_off:
        if total_s is None:
            raise InvalidInput.of("total", "Give the total, or the duration of every segment.")
        total_ms = whole_ms(total_s)
        back_ms = _backward(rest, lengths_ms, total_ms)
        sum_ms += total_ms - min(back_ms.values())
        ends_ms |= back_ms
    _refuse_unplaced(routine, [part_id for part_id in rest if part_id not in ends_ms], durations)
    _refuse_short_total(sum_ms, total_s)
    return {segment_id: end_ms / 1000 for segment_id, end_ms in ends_ms.items()}


def _forward(ids: Sequence[str], lengths_ms: Mapping[str, int]) -> dict[str, int]:
    """The ends that follow from the start, up to the first blank."""
    ends_ms = {}
    clock_ms = 0
    for segment_id in takewhile(lengths_ms.__contains__, ids):
        clock_ms += lengths_ms[segment_id]
        ends_ms[segment_id] = clock_ms
    return ends_ms


def _backward(ids: Sequence[str], lengths_ms: Mapping[str, int], total_ms: int) -> dict[str, int]:
    """The ends that follow from the total, back to the end of the last blank."""
    ends_ms = {}
    clock_ms = total_ms
    for segment_id in reversed(ids):
        ends_ms[segment_id] = clock_ms
        if segment_id not in lengths_ms:
            break
        clock_ms -= lengths_ms[segment_id]
    return ends_ms


def _refuse_unplaced(routine: Routine, ids: Sequence[str], durations: Mapping[str, float]) -> None:
    names = {segment.id: segment.name for segment in routine.segments}
    blank = next((names[segment_id] for segment_id in ids if segment_id not in durations), "")
    refuse_if(
        Fault(
            f"time-{segment_id}",
            f"When this began is unknown, because “{blank}” is blank. "
            "Fill that in, or type clock readings instead of durations.",
        )
        for segment_id in ids
        if segment_id in durations
    )


def _refuse_short_total(sum_ms: int, total_s: float | None) -> None:
    if total_s is not None and sum_ms > whole_ms(total_s):
        total, parts = format_duration(total_s), format_duration(sum_ms / 1000)
        raise InvalidInput.of(
            "total", f"The total is {total}, but the durations add up to {parts}."
        )
