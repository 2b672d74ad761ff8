"""Practising a part: a run of some segments, from the form to the list of runs."""

import json

import pytest
from httpx import Response

from server.domain.runs.events import event_document
from server.store.across_runs import tally_runs
from server.store.runs import load_run
from server.web.frame.render import templates
from tests.factories import make_events, make_routine
from tests.web.html import Page
from tests.web.shelf import keep

SPLITS = {"s2": 63.0, "s3": 121.0}


@pytest.fixture
def path(client):
    return keep(client, make_routine(segments=("s1", "s2", "s3", "s4")))


def begin(client, path, **ends):
    return client.post(f"{path}/rehearse", data=ends)


@pytest.fixture
def run_id(client, path):
    return begin(client, path, **{"from": "s2", "to": "s3"}).headers["location"].split("/")[2]


def body(log):
    return json.dumps({"events": log})


def finish(client, run_id):
    log = [event_document(each) for each in make_events(SPLITS, total_s=121.0)]
    assert client.post(f"/api/runs/{run_id}/events", content=body(log)).status_code == 200


def test_the_stage_of_a_part_has_its_segments_and_their_numbers(client, run_id):
    data = json.loads(Page(client.get(f"/runs/{run_id}/stage")).one("script#run-data").text)
    assert [each["id"] for each in data["segments"]] == ["s2", "s3"]
    assert data["part"] == {"first": 2, "last": 3, "of": 4, "name": ""}
    assert (data["planned_s"], data["rules"]["slot_s"]) == (120, 120)


def test_lists_of_runs_say_which_part_a_run_was_of(client, path, run_id):
    finish(client, run_id)
    for show in ("", "?show=figures"):
        assert "part: 2 to 3" in Page(client.get(f"{path}/runs{show}")).text("main")
    assert "part: 2 to 3" in Page(client.get(f"/runs/{run_id}")).text("main")


def test_a_part_is_counted_among_no_runs_though_its_splits_are(client, path, run_id):
    finish(client, run_id)
    with client.app.state.database.reading() as session:
        assert tally_runs(session, ["r1"])["r1"].counted == 0
        assert load_run(session, run_id).line.splits_count
    for place in ("runs", "plan", "plan/risk", "drift", "runs?show=sessions"):
        assert client.get(f"{path}/{place}").status_code == 200, place


def test_a_part_begun_again_on_the_device_is_that_part(client, run_id):
    start, *rest = (event_document(each) for each in make_events(SPLITS, total_s=121.0))
    log = [start | {"from_run": run_id}, *rest]
    assert client.post("/api/runs/again/events", content=body(log)).status_code == 200
    with client.app.state.database.reading() as session:
        assert load_run(session, "again").line.why_not == "part: 2 to 3"


def test_form_for_a_part_names_every_segment_at_both_ends():
    form = templates.get_template("stage/_part.html").render(routine=make_routine(), part_from="")
    page = Page(Response(200, text=form))
    (sent,) = page.all("form[action='/routines/r1/rehearse']")
    chosen = [each.get("value") for each in sent.cssselect("option[selected]")]
    assert (len(sent.cssselect("option")), chosen) == (6, ["s1", "s3"])


def test_a_part_is_practised_from_the_plan_the_script_and_a_run(client, path, run_id):
    finish(client, run_id)
    wanted = f"{path}/rehearse?from=s2#part"
    for shown in (f"{path}/plan?open=segment-s2", f"{path}/script", f"/runs/{run_id}"):
        assert wanted in [each.get("href") for each in Page(client.get(shown)).all("main a")]
    asked = Page(client.get(wanted))
    assert asked.one("#part").get("open") is not None
    assert asked.one("#part select[name=from] option[selected]").get("value") == "s2"
    assert asked.one("#part select[name=to] option[selected]").get("value") == "s4"


@pytest.mark.parametrize("ends", [("s3", "s2"), ("s1", "gone"), ("", "s2")])
def test_a_part_that_cannot_be_is_refused_with_the_reason(client, path, ends):
    answer = begin(client, path, **{"from": ends[0], "to": ends[1]})
    assert answer.status_code == 422
    assert "choose" in Page(answer).text(".lead")


def test_runs_of_parts_come_back_from_a_file(client, path, run_id):
    finish(client, run_id)
    file = client.get(f"{path}/export.json").content
    answer = client.post("/import", files={"file": ("r.json", file)})
    page = Page(client.get(answer.headers["location"].replace("/plan", "") + "/runs"))
    assert "part: 2 to 3" in page.text("main")
