"""What watchers remarked, on the page of a run."""

from dataclasses import replace

import pytest

from server.domain.routine.rules import Criterion
from server.store.runs import load_run
from tests.factories import RULES, make_event, make_events, make_routine
from tests.web.html import Page, text_of
from tests.web.shelf import keep, keep_run

FLOW, CARE = Criterion("flow", "Flow", 10.0), Criterion("care", "Care", 5.0)
JUDGED = replace(RULES, criteria=(FLOW, CARE))
LOG = make_events({"s1": 60, "s2": 120}, total_s=180)


def watched(event_id, kind, at_s=70.0, who="Ada", seq=100, **more):
    return replace(
        make_event(event_id, kind, seq=seq, at_ms=at_s * 1000, who=who, **more),
        device_id=f"device-{who}",
    )


CLAIM = watched("c1", "claim", 10, claim="pear/flavour", verdict="missed", segment_id="s1")
NOTE = watched("n1", "note", text="Slower, and look up.", segment_id="s2")
CALL = watched("k1", "call", 130, text="One minute left")
POINTS = (
    watched("p1", "score", criterion="flow", points=8.0),
    watched("p2", "score", who="Ben", criterion="flow", points=6.0),
    watched("p3", "score", who="Ben", criterion="care", points=5.0),
)


@pytest.fixture
def run_id(client):
    keep(client, rules=JUDGED)
    return keep_run(client, make_routine(), (*LOG, CLAIM, NOTE, CALL, *POINTS), JUDGED)


def state_of(client, run_id):
    with client.app.state.database.reading() as session:
        return load_run(session, run_id).state


def shown(page):
    return {
        text_of(group.find("h3")): [text_of(p) for p in group.cssselect(".row-main p:first-child")]
        for group in page.all(".remarked")
    }


def delete(client, run_id, remark_id):
    return client.post(f"/runs/{run_id}/remarks/{remark_id}/delete").headers["location"]


# Remarks


def test_a_note_in_short_says_who_wrote_it_whoever_that_is(client, run_id):
    # Nobody knows whether who joined by a code is a coach or a judge.
    page = Page(client.get(f"/runs/{run_id}"))
    noted = dict(zip(page.texts(".noted .stub-word"), page.texts(".noted p"), strict=True))
    assert noted["Remark"].endswith("“Slower, and look up.” Ada")
    assert "Coach" not in page.text("main")


def test_remarks_stand_beside_the_segment_they_belong_to(client, run_id):
    page = Page(client.get(f"/runs/{run_id}"))
    assert shown(page) == {
        "1. Segment s1": ["Missed pear/flavour"],
        "2. Segment s2": ["Slower, and look up."],
        "3. Segment s3": ["Time call: One minute left"],
    }
    assert page.texts(".remarked .about") == ["Ada"] * 3


def test_who_ticked_a_claim_otherwise_is_told_beside_the_word_that_holds(client):
    keep(client, rules=JUDGED)
    ben = watched("c2", "claim", 20, who="Ben", claim="pear/flavour", verdict="wrong")
    again = watched("c3", "claim", 40, who="Ben", seq=101, claim="pear/flavour", verdict="heard")
    run_id = keep_run(client, make_routine(), (*LOG, CLAIM, ben, again), JUDGED)
    page = Page(client.get(f"/runs/{run_id}"))
    assert page.texts(".remarked .verdict") == ["Heard"]
    assert page.texts(".remarked .about") == ["Ben; Ada: missed"]


def test_a_run_that_nobody_remarked_on_shows_no_empty_list(client):
    keep(client)
    page = Page(client.get(f"/runs/{keep_run(client)}"))
    assert page.all("#remarks-made, #points-given") == []


def test_the_watchers_notes_are_not_shown_twice(client, run_id):
    page = Page(client.get(f"/runs/{run_id}"))
    assert len([each for each in page.texts("#page li p") if "look up" in each]) == 2
    assert page.text("#remarks-made").count("look up") == 1


def test_an_incident_says_who_marked_it(client, run_id):
    spill = watched("i1", "incident", what="spill", segment_id="s2")
    other_id = keep_run(client, make_routine(), (*LOG, spill))
    assert "marked by Ada" in Page(client.get(f"/runs/{other_id}")).root.text_content()


def test_a_remark_shows_the_time_that_the_clock_showed_wherever_it_stands(client, run_id):
    at_s = 27.9
    spill = watched("i1", "incident", at_s, what="spill", segment_id="s2")
    note = watched("n2", "note", at_s, seq=101, text="Look up")
    page = Page(client.get(f"/runs/{keep_run(client, make_routine(), (*LOG, spill, note))}"))
    assert page.texts("[id^=incident-] .at, .remarked .at") == ["0:27", "0:27"]
    assert page.text("[id^=incident-] .about").startswith("Segment s1")
    tape = Page(client.get("/routines/r1/runs")).root
    assert "Spill, 0:27" in [title.text_content() for title in tape.iter("{*}title", "title")]


@pytest.mark.parametrize("remark_id", ["c1", "n1", "k1"])
def test_a_remark_is_deleted_and_brought_back(client, run_id, remark_id):
    before = shown(Page(client.get(f"/runs/{run_id}")))
    page = Page(client.get(delete(client, run_id, remark_id)))
    assert sum(map(len, shown(page).values())) == 2
    undo = page.one(".notice form").get("action")
    for _ in range(2):
        assert client.post(undo).status_code == 303
    assert shown(Page(client.get(f"/runs/{run_id}"))) == before


def test_a_remark_that_was_brought_back_can_be_deleted_again(client, run_id):
    page = Page(client.get(delete(client, run_id, "n1")))
    client.post(page.one(".notice form").get("action"))
    (note,) = state_of(client, run_id).notes
    page = Page(client.get(delete(client, run_id, note.id)))
    client.post(page.one(".notice form").get("action"))
    assert [note.text for note in state_of(client, run_id).notes] == ["Slower, and look up."]


def test_marks_of_the_presenter_are_no_remarks_and_cannot_be_deleted_here(client, run_id):
    done_id = LOG[1].id
    assert client.post(f"/runs/{run_id}/remarks/{done_id}/delete").status_code == 404
    assert client.post(f"/runs/{run_id}/remarks/nobody/delete").status_code == 404
    assert client.post(f"/runs/{run_id}/remarks/{done_id}/restore").status_code == 404
    assert state_of(client, run_id).ends_ms[0] == 60_000


def test_a_deleted_run_keeps_its_remarks_as_they_are(client, run_id):
    client.post(f"/runs/{run_id}/delete")
    assert client.post(f"/runs/{run_id}/remarks/n1/delete").status_code == 410
    assert len(state_of(client, run_id).notes) == 1


# Points


def table(page):
    return [[text_of(cell) for cell in row] for row in page.all("table.points tbody tr")]


def give(client, run_id, **points):
    fields = {f"points-{key}": value for key, value in points.items()}
    return client.post(f"/runs/{run_id}/points", data=fields)


def own(client, run_id):
    scores = state_of(client, run_id).scores
    return {score.criterion: score.points for score in scores if score.device_id == "desk"}


def test_all_who_gave_points_stand_side_by_side(client, run_id):
    flow, care, total = table(Page(client.get(f"/runs/{run_id}")))
    assert [flow[0], *flow[2:]] == ["Flow out of 10", "7.0", "8", "6"]
    assert [care[0], *care[2:]] == ["Care out of 5", "5.0", "–", "5"]
    assert total == ["Total out of 15", "–", "12.0", "8 not all given", "11"]
    # What nobody gave as it stands is called a mean wherever it stands alone.
    page = Page(client.get(f"/runs/{run_id}"))
    assert page.text("#points-title").startswith("12.0 of 15 points, mean of 2")
    assert "12 of 15, mean of 2. “Slower, and look up.”" in page.text("main")


def test_the_presenter_gives_points_too_and_changes_them(client, run_id):
    assert give(client, run_id, flow="9", care="4,5").status_code == 303
    assert own(client, run_id) == {"flow": 9, "care": 4.5}
    give(client, run_id, flow="7", care="")
    assert own(client, run_id) == {"flow": 7}
    page = Page(client.get(f"/runs/{run_id}"))
    assert page.typed("points-flow") == "7"
    assert table(page)[2][1] == "7 not all given"


def test_points_saved_unchanged_write_nothing(client, run_id):
    give(client, run_id, flow="9", care="")
    before = client.get(f"/api/runs/{run_id}/events").json()
    give(client, run_id, flow="9.0", care=" ")
    assert client.get(f"/api/runs/{run_id}/events").json() == before


@pytest.mark.parametrize(
    ("typed", "told"), [("11", "Give a number from 0 to 10."), ("good", "Give a number.")]
)
def test_points_that_cannot_be_given_are_told_beside_their_field(client, run_id, typed, told):
    page = Page(give(client, run_id, flow=typed, care="4"))
    assert (page.status, page.fault("points-flow")) == (422, told)
    assert (page.typed("points-flow"), page.typed("points-care")) == (typed, "4")
    assert own(client, run_id) == {}


def test_points_are_given_when_the_run_is_over(client):
    keep(client, rules=JUDGED)
    running = keep_run(client, make_routine(), make_events({"s1": 60}), JUDGED)
    assert Page(client.get(f"/runs/{running}")).all("#points-given") == []


# Remarks that are open


def open_page(client):
    return Page(client.get(f"/routines/{make_routine().id}/runs/remarks"))


def test_open_remarks_of_all_runs_are_listed_with_the_oldest_first(client, run_id):
    later = watched("n2", "note", text="Better.", segment_id="s1")
    moved = [replace(each, wall_ms=each.wall_ms + 86_400_000) for each in (*LOG, later)]
    keep_run(client, make_routine(), moved)
    page = open_page(client)
    assert page.texts(".open-remarks b") == ["Slower, and look up.", "Better."]
    assert page.text("h1").startswith("2 remarks open, the oldest of")


def test_a_remark_called_done_leaves_the_open_ones_and_comes_back(client, run_id):
    form = open_page(client).form(f"/routines/{make_routine().id}/runs/remarks/settle")
    fields = dict(form.fields)
    answer = client.post(form.action, data=fields)
    done = Page(client.get(answer.headers["location"]))
    assert (done.text("h1"), done.all(".open-remarks li")) == ("No remark is open", [])
    client.post(form.action.replace("settle", "unsettle"), data=fields)
    assert open_page(client).texts(".open-remarks b") == ["Slower, and look up."]
