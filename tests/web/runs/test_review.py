import pytest

from server.store.runs import load_run
from tests.factories import make_event, make_events, make_process, make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep, keep_run

ROUTINE = make_routine(
    segments=(make_segment("s1", 60), make_segment("s2", 60), make_segment("s3", 60)),
    processes=(make_process(),),
)
LOG = make_events({"s1": 65, "s2": 120}, ready_s={"p1": 130}, total_s=603.2)
SPILL = make_event("i1", "incident", seq=2, at_s=70, what="spill", segment_id="s2")


@pytest.fixture
def run_id(client):
    keep(client, ROUTINE)
    return keep_run(client, ROUTINE, (*LOG, SPILL))


def record(client, run_id):
    with client.app.state.database.reading() as session:
        return load_run(session, run_id)


def rows(page):
    return [
        [" ".join(cell.text_content().split()) for cell in row[:6]]
        for row in page.all(".run-splits tbody tr")
    ]


def test_splits_are_held_against_the_plan(client, run_id):
    first, second, third = rows(Page(client.get(f"/runs/{run_id}")))
    assert first == ["1. Segment s1", "1:00", "1:05.0", "5 s over", "1:05.0", "5 s late"]
    assert second[1:] == ["1:00", "0:55.0", "5 s under", "2:00.0", "on plan"]
    assert third[1:3] == ["1:00", "8:03.2"]


def test_a_mark_that_was_missed_is_told(client):
    keep(client, ROUTINE)
    run_id = keep_run(client, ROUTINE, make_events({"s2": 120}, total_s=180))
    first, second, _ = rows(Page(client.get(f"/runs/{run_id}")))
    assert first[2:] == ["–", "–", "–", "not marked"]
    assert second[2:4] == ["–", "–"]


def test_the_total_is_held_against_slot_target_and_penalty(client, run_id):
    page = Page(client.get(f"/runs/{run_id}"))
    assert page.text("h1").endswith(": 10:03, 3 s over")
    assert page.text("#splits-title span") == "planned 3:00, 4 points lost"


def test_the_splits_furthest_from_the_plan_stand_open_and_the_others_are_folded(client, run_id):
    page = Page(client.get(f"/runs/{run_id}"))
    assert page.texts(".split-lines bdi") == ["Segment s3", "Segment s1", "Segment s2"]
    assert page.one(".courses details").get("open") is None
    assert Page(client.get(f"/runs/{run_id}?open=all")).all(".courses details[open]")


def test_a_late_process_is_told_with_its_times(client, run_id):
    text = Page(client.get(f"/runs/{run_id}")).root.text_content()
    told = " ".join(text.split())
    assert "started 1:05.0, ready 2:10.0 (after 1:05.0), needed 2:00.0: it was late." in told


def test_a_process_that_nobody_marked_ready_is_not_called_late(client):
    keep(client, ROUTINE)
    run_id = keep_run(client, ROUTINE, make_events({"s1": 65, "s2": 120}, total_s=603.2))
    told = " ".join(Page(client.get(f"/runs/{run_id}")).root.text_content().split())
    assert "never marked ready, needed 2:00.0: it was not marked by then." in told


def test_a_run_is_named_and_annotated(client, run_id):
    typed = {"label": "Monday", "notes": "wet\r\nfloor"}
    assert client.post(f"/runs/{run_id}", data=typed).status_code == 303
    kept = record(client, run_id).record
    assert (kept.label, kept.notes) == ("Monday", "wet\nfloor")
    assert Page(client.get(f"/runs/{run_id}")).text("h1").startswith("Monday: ")


def test_a_run_is_taken_out_of_the_figures_and_back_with_one_button_in_one_place(client, run_id):
    place = f"/runs/{run_id}/counting"
    for button, said in (("Don’t count this run", True), ("Count this run", False)):
        form = Page(client.get(f"/runs/{run_id}")).form(place)
        assert form.cssselect("#counting")[0].text_content() == button
        client.post(place, data=dict(form.form_values()))
        assert record(client, run_id).record.excluded is said


def test_no_split_of_a_run_that_does_not_count_is_offered_to_be_left_out(client, run_id):
    offered = []
    for leave_out in ("", "yes"):
        client.post(f"/runs/{run_id}/counting", data={"leave_out": leave_out})
        offered.append(bool(Page(client.get(f"/runs/{run_id}")).all("[id^=split-]")))
    assert offered == [True, False]


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"label": "x" * 121}, "label", "Keep it to 120 characters; this has 121."),
        ({"notes": "x" * 20_001}, "notes", "Keep it to 20,000 characters; this has 20,001."),
    ],
)
def test_remarks_that_are_too_long_are_told_beside_their_field_and_stay_there(
    client, run_id, typed, field, told
):
    typed = {"label": "Monday", "notes": "wet", **typed}
    page = Page(client.post(f"/runs/{run_id}", data=typed))
    assert (page.status, page.fault(field)) == (422, told)
    assert (page.typed("label"), page.typed("notes")) == (typed["label"], typed["notes"])
    assert record(client, run_id).record.label == ""


def test_a_note_can_be_written_about_an_incident_and_written_again(client, run_id):
    for text in ("ice on the bar", "no, the shaker leaked"):
        assert client.post(f"/runs/{run_id}/incidents/i1", data={"text": text}).status_code == 303
    page = Page(client.get(f"/runs/{run_id}?edit=incident-i1"))
    assert page.typed("text", f"/runs/{run_id}/incidents/i1") == "no, the shaker leaked"
    assert page.texts(".happened li b") == ["Spill"]


def test_a_note_changes_no_time_of_the_run(client, run_id):
    before = record(client, run_id).state
    client.post(f"/runs/{run_id}/incidents/i1", data={"text": "later"})
    after = record(client, run_id).state
    assert (after.ends_ms, after.total_ms, after.status) == (
        before.ends_ms,
        before.total_ms,
        before.status,
    )


def test_a_note_that_is_too_long_is_refused(client, run_id):
    page = Page(client.post(f"/runs/{run_id}/incidents/i1", data={"text": "x" * 2001}))
    assert (page.status, page.text(".lead")) == (422, "Keep the note to 2,000 characters.")


@pytest.mark.parametrize("incident_id", ["nobody", "e1", "bad id!"])
def test_a_note_about_no_incident_of_the_run_is_not_found(client, run_id, incident_id):
    answer = client.post(f"/runs/{run_id}/incidents/{incident_id}", data={"text": "what"})
    assert answer.status_code == 404
    assert len(record(client, run_id).record.events) == len(LOG) + 1


def test_a_deleted_run_leaves_the_list_and_can_be_brought_back(client, run_id):
    answer = client.post(f"/runs/{run_id}/delete")
    page = Page(client.get(answer.headers["location"]))
    assert "The run was deleted." in page.text(".notice")
    assert client.post(page.one(".notice form").get("action")).status_code == 303
    assert client.get(f"/runs/{run_id}").status_code == 200


@pytest.mark.parametrize("place", ["", "/incidents/i1"])
def test_a_deleted_run_takes_no_remarks(client, run_id, place):
    client.post(f"/runs/{run_id}/delete")
    assert client.post(f"/runs/{run_id}{place}", data={"text": "x"}).status_code == 410


@pytest.mark.parametrize(
    ("events", "told", "way"),
    [
        ((), "not started", "Go to the stage"),
        (make_events({"s1": 61}), "still running", "Go on with it"),
        (make_events({"s1": 61}, total_s=90, closing="abandon"), "broken off", None),
        (make_events({"s1": 61}, total_s=90), "8:30 inside", None),
    ],
    ids=["waiting", "running", "abandoned", "finished"],
)
def test_a_run_says_how_it_stands_and_how_to_go_on(client, events, told, way):
    keep(client, ROUTINE)
    page = Page(client.get(f"/runs/{keep_run(client, ROUTINE, events)}"))
    # The title says it, and nothing beneath says it again.
    assert page.text("h1").endswith(told)
    assert told not in page.text(".run-about")
    assert page.texts("#page a.button[href$='/stage']") == ([way] if way else [])


def test_a_run_by_hand_says_where_it_comes_from(client):
    keep(client, ROUTINE)
    client.post("/routines/r1/runs/by-hand", data={"when": "2026-09-01T20:00", "total": "9:50"})
    link = Page(client.get("/routines/r1/runs")).one(".chosen-acts a")
    assert "entered by hand" in Page(client.get(link.get("href"))).text(".run-about")


def test_one_odd_split_is_left_out_of_the_figures_and_taken_back(client, run_id):
    place = f"/runs/{run_id}/splits/counting"
    for left_out, splits in (("yes", {"s1", "s3"}), ("", {"s1", "s2", "s3"})):
        client.post(place, data={"segment": "s2", "leave_out": left_out})
        line = record(client, run_id).line
        assert set(line.summary.splits_ms) == splits
        assert (line.counts, line.total_ms) == (True, 603_200)
    assert client.post(place, data={"segment": "nowhere"}).status_code == 404


def test_a_split_that_was_left_out_stays_so_when_the_run_is_named(client, run_id):
    client.post(f"/runs/{run_id}/splits/counting", data={"segment": "s2", "leave_out": "yes"})
    client.post(f"/runs/{run_id}", data={"label": "Monday", "venue": "Cellar"})
    assert record(client, run_id).line.occasion.left_out == ("s2",)
    page = Page(client.get(f"/runs/{run_id}"))
    assert page.texts(".split-lines b small") == ["not counted"]
