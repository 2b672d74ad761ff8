"""What Today offers is done at one touch: each an edit that can be undone, or a word on a run."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from server.domain.base.errors import InvalidInput, NotFound
from server.domain.claims.cures import cure_named
from server.domain.claims.rows import Row
from server.domain.routine.edits import part_of, put_drink, put_process, put_segment
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.web.frame.editing import Editor
from server.web.frame.forms import Typed
from server.web.script.check import checked, row_id

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
    drink_id, word = row.drink_id or "", row.word

    def change(now: Routine) -> Routine:
        drink = part_of(now.drinks, drink_id)
        return put_drink(now, replace(drink, descriptors=(*drink.descriptors, word)))

    return change, f"put “{word}” on the card"


def _take_off_card(routine: Routine, rules: RuleSheet, typed: Typed) -> tuple[Change, str]:
    row = _row(routine, rules, typed)
    drink_id, word = row.drink_id or "", row.word

    def change(now: Routine) -> Routine:
        drink = part_of(now.drinks, drink_id)
        kept = tuple(each for each in drink.descriptors if each != word)
        return put_drink(now, replace(drink, descriptors=kept))

    return change, f"took “{word}” off the card"


def _plan_segment(routine: Routine, _rules: RuleSheet, typed: Typed) -> tuple[Change, str]:
    segment_id = typed.text("segment")
    seconds = typed.number("seconds", 0, 86_400)
    typed.check()
    name = part_of(routine.segments, segment_id).name

    def change(now: Routine) -> Routine:
        segment = part_of(now.segments, segment_id)
        longer = segment.duration.changed_by(seconds - segment.duration.likely_s)
        return put_segment(now, replace(segment, duration=longer))

    return change, f"planned “{name}” as it is run"


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
    wanted = typed.text("claim")
    for row in checked(routine, rules).ledger.rows:
        if row_id(row.key) == wanted:
            return row
    raise NotFound("This claim is no longer in the script. Load the page again.")
