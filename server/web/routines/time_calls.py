"""The time calls of a rule sheet's form: read, shown in both readings, and asked about."""

from collections.abc import Mapping
from dataclasses import dataclass

from server.domain.base.durations import format_duration
from server.domain.base.errors import InvalidInput
from server.domain.routine.rules import RuleSheet, TimeCall
from server.domain.routine.time_calls import CallDoubt, doubts, parse_calls
from server.web.frame.forms import Typed


@dataclass(frozen=True)
class Readings:
    """The calls as they are read in a slot, and what is doubtful about them, in words."""

    slot_s: float
    calls: tuple[TimeCall, ...]
    warnings: tuple[str, ...]


def readings_of(values: Mapping[str, str]) -> Readings:
    """How the calls in a form are read; without a readable slot in the usual one."""
    typed = Typed(values)
    slot_s = typed.minutes("slot")
    if typed.failed("slot"):
        slot_s = RuleSheet.slot_s
    try:
        calls = parse_calls(typed.text("calls"), slot_s)
    except InvalidInput as error:
        return Readings(slot_s, (), tuple(fault.message for fault in error.faults))
    return Readings(slot_s, calls, tuple(_asked(each, slot_s) for each in doubts(calls, slot_s)))


def calls_from(typed: Typed, slot_s: float) -> tuple[TimeCall, ...]:
    """The calls that a form describes; one whose words and clock disagree must be confirmed."""
    nothing: tuple[TimeCall, ...] = ()
    calls = typed.take(lambda: parse_calls(typed.text("calls"), slot_s), nothing)
    if not typed.ticked("calls_meant") and not typed.failed("slot"):
        for each in doubts(calls, slot_s):
            typed.fault("calls_meant", _asked(each, slot_s))
    return calls


def _asked(doubt: CallDoubt, slot_s: float) -> str:
    call = doubt.call
    left_s = slot_s - call.at_s
    left = f"{format_duration(left_s)} are left" if left_s > 0 else "nothing is left"
    told = f"“{call.words}” is called at {format_duration(call.at_s)}, when {left}."
    if doubt.meant_s < 0:
        return told
    return f"{told} By its words it belongs at {format_duration(doubt.meant_s)} on the clock."
