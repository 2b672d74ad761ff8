"""The demo: one invented routine at real size, and a dozen invented practice runs of it.

`routine.json` is a file as the app exports it, without runs; `runs.json` holds the runs as they
would stand on paper, and goes in by the same way as a run entered by hand. Presenter, drinks,
technique, rules and times are all made up; nothing in them stands for a person, product or event.

What is said is true of the recipes, but for two slips left in on purpose, for a check of the
claims to find:

- "rosehip" is to be stated of Orchard at Low Water, and is never said;
- of the same drink thirty millilitres of lemon juice are spoken of, and the recipe holds 40 ml.

The runs tell a story as well: learning from 10:59 to 9:50; two slow evenings; words forgotten
twice; a spill; one run broken off at six minutes; one mark missed; one drip that came too late;
and an espresso that has crept up by four seconds since the end of October. The dress run was
watched by a coach, as invented as all else.
"""

from dataclasses import dataclass, replace
from datetime import datetime
from itertools import count
from pathlib import Path

from server.domain.drift.goals import Goal
from server.domain.routine.plan import Plan
from server.domain.routine.preparing import NOTHING_PREPARED
from server.domain.routine.routine import Routine
from server.domain.runs.events import Event, Kind, Verdict
from server.domain.runs.labels import NOTHING_SAID, Occasion
from server.domain.runs.paper import PaperIncident, paper_events
from server.domain.runs.paper_form import read_paper
from server.domain.whole.exchange import RunRecord, from_json
from server.domain.whole.routine_file import RoutineFile, parse_file

_FOLDER = Path(__file__).parent
_PLAN_KEY = "demo-plan"
_GOAL = Goal(runs=3, low_s=580.0, high_s=598.0)


@dataclass(frozen=True)
class _Remark:
    """What the one who watched a run recorded: the fields of an event that it carries."""

    kind: Kind
    at_s: float
    segment_id: str | None = None
    claim: str | None = None
    verdict: Verdict | None = None
    text: str | None = None
    criterion: str | None = None
    points: float | None = None


@dataclass(frozen=True)
class _Sheet:
    """A run as `runs.json` holds it: splits in the order of the plan, None where not noted."""

    id: str
    started: datetime
    splits_s: tuple[float | None, ...]
    label: str = ""
    notes: str = ""
    occasion: Occasion = NOTHING_SAID
    total_s: float | None = None
    ready_s: float | None = None
    incidents: tuple[PaperIncident, ...] = ()
    broken_off: bool = False
    watched_by: str = ""
    remarks: tuple[_Remark, ...] = ()


@dataclass(frozen=True)
class _Sheets:
    """All of `runs.json`: what its columns stand for, and the runs."""

    process: str
    segments: tuple[str, ...]
    runs: tuple[_Sheet, ...]


def demo_file() -> RoutineFile:
    """The demo routine with its runs, the same at each call, as a file to be imported."""
    file = parse_file((_FOLDER / "routine.json").read_bytes())
    sheets = from_json(_Sheets, (_FOLDER / "runs.json").read_bytes())
    return replace(
        file,
        plans={_PLAN_KEY: Plan(replace(file.routine, preparation=NOTHING_PREPARED), file.rules)},
        goal=_GOAL,
        runs=tuple(_record(file.routine, sheets, sheet) for sheet in sheets.runs),
    )


def _record(routine: Routine, sheets: _Sheets, sheet: _Sheet) -> RunRecord:
    started_ms = int(sheet.started.timestamp() * 1000)
    run = read_paper(routine, _typed(sheets, sheet), "durations", sheet.broken_off)
    numbers = count()
    marks = paper_events(
        routine,
        replace(run, incidents=sheet.incidents),
        started_ms,
        lambda: f"{sheet.id}-{next(numbers)}",
    )
    return RunRecord(
        id=sheet.id,
        plan_key=_PLAN_KEY,
        created_ms=started_ms,
        source="demo",
        label=sheet.label,
        notes=sheet.notes,
        occasion=sheet.occasion,
        events=(*marks, *_remarks(sheet, started_ms, len(marks))),
    )


def _remarks(sheet: _Sheet, started_ms: int, first_seq: int) -> tuple[Event, ...]:
    """What was recorded by the one who watched, on a device of their own."""
    return tuple(
        Event(
            id=f"{sheet.id}-watched-{number}",
            device_id="demo-watcher",
            boot_id="demo-watcher",
            seq=first_seq + number,
            wall_ms=started_ms + round(remark.at_s * 1000),
            mono_ms=remark.at_s * 1000,
            at_ms=remark.at_s * 1000,
            who=sheet.watched_by,
            kind=remark.kind,
            segment_id=remark.segment_id,
            claim=remark.claim,
            verdict=remark.verdict,
            text=remark.text,
            criterion=remark.criterion,
            points=remark.points,
        )
        for number, remark in enumerate(sheet.remarks)
    )


def _typed(sheets: _Sheets, sheet: _Sheet) -> dict[str, str]:
    splits = zip(sheets.segments, sheet.splits_s, strict=True)
    noted = {f"time-{segment_id}": seconds for segment_id, seconds in splits}
    noted |= {"total": sheet.total_s, f"ready-{sheets.process}": sheet.ready_s}
    return {name: f"{seconds:.1f}" for name, seconds in noted.items() if seconds is not None}
