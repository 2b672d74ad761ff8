"""The file for calendars: read back by the library, and held to the lines of RFC 5545."""

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

from icalendar import Calendar

from server.domain.prepare.calendar import calendar_file
from server.domain.prepare.timetable import timetable
from server.domain.routine.preparing import Journey, Preparation, Task
from tests.factories import RULES, make_routine

ZURICH = ZoneInfo("Europe/Zurich")
STAGE = datetime(2026, 10, 25, 14, 20, tzinfo=ZURICH)
"""On this day clocks were put back at 3:00."""

NASTY = "Syrup; one, two\\three\nBEGIN:VALARM " + "ü" * 60


def file_of(*tasks, now_s=0.0, **journey):
    given = Journey(round(STAGE.timestamp() * 1000), **journey)
    routine = make_routine(preparation=Preparation(tasks=tasks, journey=given))
    return calendar_file(routine, RULES, timetable(tasks, given, ZURICH), now_s)


def events(content):
    return {str(each["uid"]): each for each in Calendar.from_ical(content).walk("VEVENT")}


def test_times_hold_over_the_change_of_the_clock():
    task = Task("t1", "Freeze", 600.0, 20 * 3600.0)
    found = events(file_of(task, travel_s=3600.0))["t1.r1@ninefifty"]
    start = found.decoded("dtstart")
    # 20 h 10 min before one leaves at 13:20 is 18:10 by the clock of summer, and not 17:10.
    assert b"DTSTART:20261024T161000Z\r\n" in file_of(task, travel_s=3600.0)
    assert start.astimezone(ZURICH).strftime("%a %H:%M %z") == "Sat 18:10 +0200"
    assert (found.decoded("dtend") - start).total_seconds() == 600


def test_the_way_and_the_slot_stand_in_it():
    found = events(file_of(travel_s=3600.0, set_up_s=900.0))
    names = {str(each["summary"]) for each in found.values()}
    assert names == {"Travel", "Set up the bar", "On stage: Low tide"}
    stage = found["stage.r1@ninefifty"]
    assert stage.decoded("dtstart") == STAGE
    assert (stage.decoded("dtend") - stage.decoded("dtstart")).total_seconds() == RULES.slot_s


def test_lines_are_folded_at_75_octets_and_end_as_the_standard_says():
    content = file_of(Task("t1", "Word " * 20 + "ü" * 15, 60.0))
    assert content.endswith(b"\r\n")
    lines = content.split(b"\r\n")[:-1]
    assert b"\n" not in content.replace(b"\r\n", b"")
    assert max(map(len, lines)) <= 75
    assert any(line.startswith(b" ") for line in lines)


def test_no_name_can_break_out_of_its_line():
    content = file_of(Task("t1", NASTY, 60.0))
    found = events(content)["t1.r1@ninefifty"]
    assert str(found["summary"]) == NASTY
    assert not Calendar.from_ical(content).walk("VALARM")


def test_a_newer_file_carries_the_same_uids():
    task = Task("t1", "Syrup", 600.0)
    first, second = file_of(task), file_of(replace(task, name="Honey", hands_s=900.0), now_s=9e8)
    assert events(first).keys() == events(second).keys()
    assert first != second


def test_what_goes_on_by_itself_from_its_begin_has_a_length():
    found = events(file_of(Task("t1", "Thaw", 0.0, 3600.0)))["t1.r1@ninefifty"]
    assert found.decoded("dtend") > found.decoded("dtstart")
