"""What Today offers is done at one touch: each an edit that can be undone, or a word on a run."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from server.domain.base.durations import LONGEST_S
from server.domain.base.errors import InvalidInput
from server.domain.claims.rows import LedgerRow
from server.domain.routine.edits import part_of, plan_time, put_process
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.web.frame.editing import Editor
from server.web.frame.forms import Typed
from server.web.script.check import claim_of
from server.web.script.settling import Settling, cured, put_on, taken_off


def change_named(action: str, edit: Editor, rules: RuleSheet) -> Settling:
    """What an action makes of the routine, and its label. Raises NotFound and InvalidInput."""
    make = _CHANGES.get(action)
    if make is None:
        raise InvalidInput.of("action", "That is nothing that can be done here.")
    return make(edit.routine, rules, edit.typed)


def _cure(routine: Routine, rules: RuleSheet, typed: Typed) -> Settling:
    return cured(_row(routine, rules, typed), routine, typed.text("cure"))


def _put_on_card(routine: Routine, rules: RuleSheet, typed: Typed) -> Settling:
    return put_on(_row(routine, rules, typed))


def _take_off_card(routine: Routine, rules: RuleSheet, typed: Typed) -> Settling:
    return taken_off(_row(routine, rules, typed))


def _plan_segment(routine: Routine, _rules: RuleSheet, typed: Typed) -> Settling:
    segment_id = typed.text("segment")
    seconds = typed.number("seconds", 0, LONGEST_S)
    typed.check()
    name = part_of(routine.segments, segment_id).name

    label = f"planned “{name}” as it is run"
    return lambda now: plan_time(now, segment_id, seconds), label


def _start_after(routine: Routine, _rules: RuleSheet, typed: Typed) -> Settling:
    process_id, segment_id = typed.text("process"), typed.text("segment")
    name = part_of(routine.processes, process_id).name

    def change(now: Routine) -> Routine:
        part_of(now.segments, segment_id)
        process = part_of(now.processes, process_id)
        return put_process(now, replace(process, after_segment_id=segment_id))

    return change, f"started “{name}” earlier"


_CHANGES: Mapping[str, Callable[[Routine, RuleSheet, Typed], Settling]] = {
    "cure claim": _cure,
    "put on card": _put_on_card,
    "take off card": _take_off_card,
    "plan segment": _plan_segment,
    "start process after": _start_after,
}


def _row(routine: Routine, rules: RuleSheet, typed: Typed) -> LedgerRow:
    return claim_of(routine, rules, typed.text("claim"))
