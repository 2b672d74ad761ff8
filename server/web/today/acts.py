"""What Today offers is done at one touch: each an edit that can be undone, or a word on a run."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from server.domain.base.errors import InvalidInput
from server.domain.claims.cures import cure_named
from server.domain.claims.edits import put_on_card, take_off_card
from server.domain.claims.rows import Row
from server.domain.routine.edits import part_of, plan_time, put_process
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.web.frame.editing import Editor
from server.web.frame.forms import Typed
from server.web.script.check import claim_of

Change = Callable[[Routine], Routine]


def change_named(action: str, edit: Editor, rules: RuleSheet) -> tuple[Change, str]:
    """What an action makes of the routine, and its label. Raises NotFound and InvalidInput."""
    make = _CHANGES.get(action)
    if make is None:
        raise InvalidInput.of("action", "That is nothing that can be done here.")
    return make(edit.routine, rules, edit.typed)


def _cure(routine: Routine, rules: RuleSheet, typed: Typed) -> tuple[Change, str]:
    row, cure_id = _row(routine, rules, typed), typed.text("cure")
    words = cure_named(row, routine, cure_id).words
    label = f"{words[0].lower()}{words[1:]} for “{row.label}”"
    return lambda now: cure_named(row, now, cure_id).routine, label


def _put_on_card(routine: Routine, rules: RuleSheet, typed: Typed) -> tuple[Change, str]:
    row = _row(routine, rules, typed)
    words = [(row.drink_id or "", row.word)]
    return lambda now: put_on_card(now, words), f"put “{row.word}” on the card"


def _take_off_card(routine: Routine, rules: RuleSheet, typed: Typed) -> tuple[Change, str]:
    row = _row(routine, rules, typed)
    label = f"took “{row.word}” off the card"
    return lambda now: take_off_card(now, row.drink_id or "", row.word), label


def _plan_segment(routine: Routine, _rules: RuleSheet, typed: Typed) -> tuple[Change, str]:
    segment_id = typed.text("segment")
    seconds = typed.number("seconds", 0, 86_400)
    typed.check()
    name = part_of(routine.segments, segment_id).name

    label = f"planned “{name}” as it is run"
    return lambda now: plan_time(now, segment_id, seconds), label


def _start_after(routine: Routine, _rules: RuleSheet, typed: Typed) -> tuple[Change, str]:
    process_id, segment_id = typed.text("process"), typed.text("segment")
    name = part_of(routine.processes, process_id).name

    def change(now: Routine) -> Routine:
        part_of(now.segments, segment_id)
        process = part_of(now.processes, process_id)
        return put_process(now, replace(process, after_segment_id=segment_id))

    return change, f"started “{name}” earlier"


_CHANGES: Mapping[str, Callable[[Routine, RuleSheet, Typed], tuple[Change, str]]] = {
    "cure claim": _cure,
    "put on card": _put_on_card,
    "take off card": _take_off_card,
    "plan segment": _plan_segment,
    "start process after": _start_after,
}


def _row(routine: Routine, rules: RuleSheet, typed: Typed) -> Row:
    return claim_of(routine, rules, typed.text("claim"))
