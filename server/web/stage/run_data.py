"""Everything the stage must know of a run, so that the server may go away afterwards."""

import json
import logging
from collections.abc import Mapping
from typing import cast

from sqlmodel import Session

from server.domain.routine.plan import PHASES, Plan, layout, mark_steps
from server.domain.routine.routine import LANGUAGES, Process, Routine, Segment, Spread
from server.domain.whole.exchange import events_json
from server.store.routines import load_routine
from server.store.rule_sheets import load_rule_sheet
from server.store.runs import StoredRun
from server.store.uploads.tracks import Track
from server.web.plan.outlook import ExpectedStep, Outlooks
from server.web.script.due import due_in

_log = logging.getLogger(__name__)


def track_url(routine_id: str, track: Track) -> str:
    """Where a routine's music is played from."""
    return f"/music/{routine_id}/{track.key}"


def expected_steps(
    session: Session, outlooks: Outlooks, run: StoredRun
) -> Mapping[str, ExpectedStep]:
    """Segment id -> how long it is expected to take by the belief of the plan page.

    Nothing where that cannot be told: a stage opens whatever a computation comes to, and then
    expects what is planned. Setting up and clearing away are no part of the routine's plan.
    """
    if run.plan.part is not None and run.plan.part.phase is not None:
        return {}
    try:
        stored = load_routine(session, run.routine_id)
        rules = load_rule_sheet(session, stored.routine.rule_sheet_id)
        return outlooks.of(session, stored, rules).expected_steps(run.plan.routine)
    except Exception:
        _log.exception("run %s: no expected durations, the plan's stand in", run.record.id)
        return {}


def stage_data(
    run: StoredRun, track: Track | None = None, expected: Mapping[str, ExpectedStep] | None = None
) -> dict[str, object]:
    """Everything the stage page must know, so that the server may go away afterwards."""
    due = due_in(run.record.plan_key, run.plan)
    return {
        **_plan_data(run.plan, run.routine_id, track, expected or {}),
        "run_id": run.record.id,
        "claims": due.claims,
        "events": events_json(run.record.events),
        "urls": {
            "events": f"/api/runs/{run.record.id}/events",
            "pulse": f"/api/runs/{run.record.id}/pulse",
            "review": f"/runs/{run.record.id}",
            "rehearse": f"/routines/{run.routine_id}/rehearse",
        },
    }


def without_words(data: Mapping[str, object]) -> dict[str, object]:
    """What of a stage's data changes for whoever may not read the script: no word of it stays."""
    segments = cast("list[dict[str, object]]", data["segments"])
    processes = cast("list[dict[str, object]]", data["processes"])
    return {
        "segments": [_without_texts(each) for each in segments],
        "processes": [each | {"fallback": ""} for each in processes],
        "claims": [],
        "music": None,
    }


_HEARD_ANYWAY = frozenset({"id", "name", "lane", "drink", "drink_id"})


def _without_texts(segment: Mapping[str, object]) -> dict[str, object]:
    # Names what may stay, so that a text which is new in a segment is not told by oversight.
    return {
        name: "" if isinstance(value, str) and name not in _HEARD_ANYWAY else value
        for name, value in segment.items()
    }


def try_data(plan: Plan, track: Track | None = None) -> dict[str, object]:
    """The same for a stage that is only tried: no run, and no address to send anything to."""
    rehearse = f"/routines/{plan.routine.id}/rehearse"
    return {
        **_plan_data(plan, plan.routine.id, track, {}),
        "run_id": "try-out",
        "try_out": True,
        "claims": [],
        "events": [],
        "urls": {"review": f"/routines/{plan.routine.id}/try", "rehearse": rehearse},
    }


def _plan_data(
    plan: Plan, routine_id: str, track: Track | None, expected: Mapping[str, ExpectedStep]
) -> dict[str, object]:
    routine = plan.routine
    return {
        "routine_name": routine.name,
        "presenter": routine.presenter,
        "language": routine.language,
        "language_name": "" if routine.language == "other" else LANGUAGES[routine.language],
        "segments": _segments(routine, expected),
        "processes": [_process(process) for process in routine.processes],
        "part": plan.part
        and {
            "first": plan.part.first,
            "last": plan.part.last,
            "of": plan.part.of,
            "name": PHASES[plan.part.phase] if plan.part.phase else "",
        },
        "planned_s": round(layout(routine).total_s, 3),
        "rules": _rules(plan),
        "music": track and {"name": track.name, "url": track_url(routine_id, track)},
    }


def _segments(routine: Routine, expected: Mapping[str, ExpectedStep]) -> list[dict[str, object]]:
    steps = mark_steps(routine.segments)
    # Binary dust apart, a step is the duration itself wherever nothing runs alongside.
    return [
        {
            **_segment(each, routine),
            "likely_s": round(steps[each.id], 3),
            **_expected(expected.get(each.id)),
        }
        for each in routine.segments
    ]


def _expected(step: ExpectedStep | None) -> dict[str, object]:
    """What the stage learns of the day by; nothing where it cannot be told."""
    if step is None:
        return {"expected_s": None, "day": 0, "own": 0}
    return {"expected_s": step.seconds, "day": step.day, "own": step.own}


def _segment(segment: Segment, routine: Routine) -> dict[str, object]:
    names = {drink.id: drink.name for drink in routine.drinks}
    tracks = {drink.id: place for place, drink in enumerate(routine.drinks)}
    # All that a segment holds: what is new in it can be shown without a list to be kept.
    own = {name: value for name, value in vars(segment).items() if name != "duration"}
    return {
        **own,
        **_spread(segment.duration),
        "drink": names.get(segment.drink_id or ""),
        "track": tracks.get(segment.drink_id or ""),
    }


def _process(process: Process) -> dict[str, object]:
    return {
        "id": process.id,
        "name": process.name,
        "after_segment_id": process.after_segment_id,
        "before_segment_id": process.before_segment_id,
        **_spread(process.duration),
        "fallback": process.fallback,
    }


def _rules(plan: Plan) -> dict[str, object]:
    rules = plan.rules
    return {
        "name": rules.name,
        "slot_s": rules.slot_s,
        "target_s": rules.target_s,
        "grace_s": rules.grace_s,
        "cutoff_s": rules.cutoff_s,
        "time_calls": [{"at_s": call.at_s, "words": call.words} for call in rules.time_calls],
    }


def _spread(spread: Spread) -> dict[str, object]:
    return {"likely_s": spread.likely_s, "low_s": spread.low_s, "high_s": spread.high_s}


def script_safe(data: object) -> str:
    """JSON for an element of the page."""
    # Inside <script> only "<" can end the element or open a comment; JSON allows it escaped.
    return json.dumps(data, ensure_ascii=False).replace("<", "\\u003c")
