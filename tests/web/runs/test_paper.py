import re

import pytest

from server.store.runs import list_runs, load_run
from tests.factories import NOW_MS, make_process, make_routine
from tests.web.html import Page
from tests.web.shelf import keep

FORM = "/routines/r1/runs/by-hand"
SHEET = {"when": "2026-09-01T20:00", "label": "At the bar", "noted": "readings", "total": "3:05"}


@pytest.fixture(autouse=True)
def path(client):
    return keep(client, make_routine(processes=(make_process(),)))


def runs(client):
    with client.app.state.database.reading() as session:
        return [load_run(session, line.id) for line in list_runs(session, "r1")]


def test_the_form_asks_for_every_segment_and_process(client):
    page = Page(client.get(FORM))
    names = {field.get("name") for field in page.form(FORM).cssselect("[name]")}
    assert {"time-s1", "time-s2", "time-s3", "ready-p1", "total", "what-1", "when"} <= names
    assert page.one("[name=noted][checked]").get("value") == "readings"


def test_the_form_starts_with_the_present_day_and_time(client):
    typed = Page(client.get(FORM)).typed("when", FORM)
    assert re.fullmatch(r"2026-09-2\dT\d\d:\d\d", typed)


def test_clock_readings_become_a_run_like_any_other(client):
    typed = {**SHEET, "time-s1": "1:01.5", "time-s2": "2:10", "ready-p1": "2:05"}
    answer = client.post(FORM, data=typed)
    (run,) = runs(client)
    assert (answer.status_code, answer.headers["location"]) == (303, f"/runs/{run.record.id}")
    assert run.state.ends_ms == (61_500, 130_000, 185_000)
    assert run.state.processes[0].ready_ms == 125_000
    assert (run.record.source, run.record.label, run.record.created_ms) == (
        "paper",
        "At the bar",
        NOW_MS,
    )


def test_durations_are_laid_end_to_end(client):
    typed = {**SHEET, "noted": "durations", "total": ""}
    client.post(FORM, data={**typed, "time-s1": "60", "time-s2": "70", "time-s3": "50"})
    (run,) = runs(client)
    assert (run.state.ends_ms, run.state.total_ms) == ((60_000, 130_000, 180_000), 180_000)


def test_a_run_that_was_broken_off_is_abandoned(client):
    client.post(FORM, data={**SHEET, "time-s1": "1:00", "total": "1:30", "broken_off": "yes"})
    (run,) = runs(client)
    assert (run.state.status, run.state.ends_ms) == ("abandoned", (60_000, None, None))


def test_incidents_are_kept_with_their_notes(client):
    client.post(FORM, data={**SHEET, "what-1": "spill", "at-1": "1:10", "note-1": "wet"})
    (incident,) = runs(client)[0].state.incidents
    assert (incident.what, incident.elapsed_ms, incident.text) == ("spill", 70_000, "wet")


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"when": ""}, "when", "Give the day and time of the run."),
        ({"when": "yesterday"}, "when", "Give the day and time of the run."),
        ({"when": "1969-01-01T12:00"}, "when", "Give the day and time of the run."),
        ({"when": "0001-01-01T00:00"}, "when", "Give the day and time of the run."),
        ({"when": "9999-12-31T23:59"}, "when", "That day lies in the future."),
        ({"when": "2027-01-01T12:00"}, "when", "That day lies in the future."),
        ({"label": "x" * 121}, "label", "Keep it to 120 characters; this has 121."),
        ({"time-s2": "soon"}, "time-s2", "“soon” is no duration. Type 1:15, 75 or 1m15."),
        ({"time-s2": "-5"}, "time-s2", "A duration cannot be negative."),
        ({"time-s2": "9:50:00"}, "time-s2", "That is longer than two hours. Type minutes as 9:50."),
        ({"total": ""}, "total", "Give the total, or the time of the last segment."),
        ({"total": "0"}, "total", "The total must be longer than zero."),
        ({"time-s3": "3:10"}, "total", "The total is 3:05, but a segment ends at 3:10."),
        ({"ready-p1": "0:30"}, "ready-p1", "It only started at 1:00."),
        ({"ready-p1": "3:06"}, "ready-p1", "That is after the end of the run at 3:05."),
        ({"at-1": "1:00"}, "what-1", "Choose what went wrong."),
        ({"what-1": "spill"}, "at-1", "Give the clock reading at which it happened."),
        (
            {"what-1": "spill", "at-1": "1:00", "note-1": "x" * 2001},
            "note-1",
            "Keep it to 2,000 characters.",
        ),
    ],
)
def test_a_wrong_sheet_is_told_beside_its_field_and_keeps_what_was_typed(
    client, typed, field, told
):
    typed = {**SHEET, "time-s1": "1:00", **typed}
    page = Page(client.post(FORM, data=typed))
    assert (page.status, page.fault(field, FORM)) == (422, told)
    shown = {name: page.typed(name, FORM) for name in typed if name != "noted"}
    assert shown == {name: text for name, text in typed.items() if name != "noted"}
    assert runs(client) == []


def test_how_many_fields_are_refused_is_told_at_the_button(client):
    page = Page(client.post(FORM, data={**SHEET, "time-s1": "soon", "total": "late"}))
    assert "2 fields need a look" in page.text("form.from-paper .look")


def test_a_reading_before_the_one_above_it_is_told_with_both(client):
    page = Page(client.post(FORM, data={**SHEET, "time-s1": "1:00", "time-s2": "0:50"}))
    told = page.fault("time-s2", FORM)
    assert "0:50 lies before the end of “Segment s1” at 1:00" in told


def test_what_was_chosen_stays_chosen(client):
    typed = {**SHEET, "noted": "durations", "broken_off": "yes", "total": "soon"}
    page = Page(client.post(FORM, data=typed))
    assert page.one("[name=noted][checked]").get("value") == "durations"
    assert page.all("[name=broken_off][checked]")


def test_a_routine_without_segments_has_nothing_to_enter(client):
    keep(client, make_routine(routine_id="r2", segments=()))
    page = Page(client.get("/routines/r2/runs/by-hand"))
    assert "nothing to enter times for" in page.text(".empty")
