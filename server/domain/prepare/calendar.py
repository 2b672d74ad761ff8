"""The days before the stage as an iCalendar file (RFC 5545), for the calendar of a phone.

Times are written in UTC: no daylight saving between making and stage can move them. An event keeps
its UID from file to file: a calendar that reads a newer one changes it instead of adding another.
Loads a library that no page needs: import it only where a file is asked for.
"""

from datetime import UTC, datetime

from icalendar import Calendar, Event

from server.domain.prepare.spans import format_span
from server.domain.prepare.timetable import Leg, PlacedTask, Timetable
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet

PRODUCT = "-//Ninefifty//Made ahead//EN"


def calendar_file(routine: Routine, rules: RuleSheet, table: Timetable, now_s: float) -> bytes:
    """All that is still to be made, the way there and the slot, as the bytes of a file.

    `now_s` is when it was written, in seconds since 1970.
    """
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    for placed in table.placed:
        calendar.add_component(_task(routine, placed, now_s))
    for leg in table.legs:
        calendar.add_component(_leg(routine, leg, now_s))
    stage_s, slot_s = table.stage_s, rules.slot_s
    name = f"On stage: {routine.name}"
    calendar.add_component(_event(routine, "stage", name, stage_s, stage_s + slot_s, now_s))
    content: bytes = calendar.to_ical()
    return content


def _task(routine: Routine, placed: PlacedTask, now_s: float) -> Event:
    task = placed.task
    # What goes on by itself from its begin is an event as long as that: one of no length is none.
    end_s = placed.hands_end_s if task.hands_s else placed.ready_s
    event = _event(routine, task.id, task.name, placed.start_s, end_s, now_s)
    told = ["Begin at the latest now."]
    if task.hands_s:
        whose = f" ({task.who})" if task.who else ""
        told.append(f"By hand{whose} {format_span(task.hands_s)}.")
    if task.alone_s:
        told.append(f"Then by itself {format_span(task.alone_s)}.")
    if task.keeps_s is not None:
        told.append(f"Keeps {format_span(task.keeps_s)}.")
    event.add("description", " ".join(told))
    return event


def _leg(routine: Routine, leg: Leg, now_s: float) -> Event:
    key = leg.name.casefold().replace(" ", "-")
    return _event(routine, key, leg.name, leg.start_s, leg.end_s, now_s)


def _event(
    routine: Routine, key: str, name: str, start_s: float, end_s: float, now_s: float
) -> Event:
    event = Event()
    event.add("uid", f"{key}.{routine.id}@ninefifty")
    event.add("dtstamp", _utc(now_s))
    event.add("dtstart", _utc(start_s))
    event.add("dtend", _utc(end_s))
    event.add("summary", name)
    return event


def _utc(moment_s: float) -> datetime:
    return datetime.fromtimestamp(round(moment_s), UTC)
