import json

import pytest

from server.domain.base.amounts import Amount
from server.domain.base.durations import parse_duration
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.plan import layout
from server.domain.runs.events import event_document
from server.store.runs import list_runs
from server.web.plan.outlook import Outlooks
from tests.factories import (
    NOW_MS,
    RULES,
    make_event,
    make_events,
    make_process,
    make_routine,
    make_segment,
)
from tests.web.conftest import later
from tests.web.html import Page
from tests.web.shelf import keep, keep_run, kept

START, DONE = (event_document(event) for event in make_events({"s1": 61}))


@pytest.fixture
def path(client):
    return keep(client, make_routine(processes=(make_process(),)))


@pytest.fixture
def run_id(client, path):
    return client.post(f"{path}/rehearse").headers["location"].split("/")[2]


def send(client, run_id, content):
    content = content if isinstance(content, bytes) else json.dumps(content).encode()
    return client.post(f"/api/runs/{run_id}/events", content=content)


def known(client, run_id):
    return client.get(f"/api/runs/{run_id}/events").json()["events"]


def stage_data(client, run_id):
    return json.loads(Page(client.get(f"/runs/{run_id}/stage")).one("script#run-data").text)


# Before the stage


def test_an_empty_routine_cannot_be_rehearsed_and_says_what_is_missing(client):
    path = keep(client, make_routine(segments=()))
    assert "no segments yet" in Page(client.get(f"{path}/rehearse")).text(".empty")
    page = Page(client.post(f"{path}/rehearse"))
    assert page.status == 422
    assert page.text(".lead").startswith("Add a segment first")


def test_a_run_that_is_still_on_the_clock_can_be_gone_on_with(client, path, run_id):
    assert Page(client.get(f"{path}/rehearse")).all("#running-title") == []
    send(client, run_id, {"events": [START, DONE]})
    page = Page(client.get(f"{path}/rehearse"))
    assert page.one(".line-list a.button:not(.quiet)").get("href") == f"/runs/{run_id}/stage"
    assert "1 segment marked" in page.text(".line-list .detail")


def test_a_process_that_hangs_on_nothing_is_told_before_the_start(client):
    path = keep(client, make_routine(processes=(make_process(after=None),)))
    assert any(
        "“Drip” hangs on no segment" in hint
        for hint in Page(client.get(f"{path}/rehearse")).texts(".hint")
    )


# The page


def test_the_stage_carries_all_that_it_needs_without_the_server(client, run_id):
    data = stage_data(client, run_id)
    assert [segment["id"] for segment in data["segments"]] == ["s1", "s2", "s3"]
    assert data["processes"][0]["before_segment_id"] == "s3"
    assert (data["rules"]["slot_s"], data["rules"]["target_s"]) == (RULES.slot_s, RULES.target_s)
    assert (data["run_id"], data["urls"]["events"]) == (run_id, f"/api/runs/{run_id}/events")


def test_the_stage_expects_the_finish_that_the_plan_page_foretells(client):
    keep(client, make_routine())
    for _ in range(3):
        keep_run(client, events=make_events({"s1": 70, "s2": 140}, total_s=210))
    steps = [
        each["expected_s"] for each in stage_data(client, keep_run(client, events=()))["segments"]
    ]
    foretold = Page(client.get("/routines/r1/plan/chance"))
    finish = foretold.texts("[data-figure='finish:r1']")[0]
    # The plan page counts ten times as many slots.
    assert sum(steps) == pytest.approx(parse_duration(finish), abs=1)
    assert all(step > 62 for step in steps)


def test_the_stage_opens_with_the_times_of_the_plan_where_nothing_can_be_expected(
    client, run_id, monkeypatch
):
    monkeypatch.setattr(Outlooks, "of", lambda *_: 1 / 0)
    data = stage_data(client, run_id)
    assert [each["expected_s"] for each in data["segments"]] == [None] * 3
    assert data["segments"][0]["likely_s"] == 60


def test_the_stage_knows_the_events_that_came_before(client, run_id):
    send(client, run_id, {"events": [START, DONE]})
    assert stage_data(client, run_id)["events"] == [START, DONE]


def test_the_stage_shows_the_plan_as_it_was_when_the_run_was_opened(client, path, run_id):
    client.post(f"{path}/segments/s1/delete")
    assert [segment["id"] for segment in stage_data(client, run_id)["segments"]] == [
        "s1",
        "s2",
        "s3",
    ]


def test_the_stage_can_be_opened_again_while_the_server_is_away(client, run_id):
    assert client.get(f"/runs/{run_id}/stage").headers["cache-control"] == "private, max-age=3600"


def test_a_text_cannot_end_the_script_it_is_carried_in(client):
    text = "</script><!--<script>"
    keep(client, make_routine(name=text))
    run_id = client.post("/routines/r1/rehearse").headers["location"].split("/")[2]
    assert stage_data(client, run_id)["routine_name"] == text
    assert "</script><!--" not in client.get(f"/runs/{run_id}/stage").text


# Marks


def test_marks_are_answered_with_their_ids_and_kept_as_sent(client, run_id):
    answer = send(client, run_id, {"events": [START, DONE]})
    assert answer.json() == {"accepted": ["e0", "e1"], "differing": [], "takeovers": []}
    assert known(client, run_id) == [START, DONE]


def test_marks_sent_twice_are_kept_once(client, run_id):
    for _ in range(2):
        assert send(client, run_id, {"events": [START, DONE]}).json()["accepted"] == ["e0", "e1"]
    assert known(client, run_id) == [START, DONE]


def test_a_mark_sent_again_with_other_content_is_reported_and_the_first_stands(client, run_id):
    send(client, run_id, {"events": [START]})
    answer = send(client, run_id, {"events": [{**START, "mono_ms": 5.0}]})
    assert answer.json() == {"accepted": ["e0"], "differing": ["e0"], "takeovers": []}
    assert known(client, run_id) == [START]


MALFORMED = {
    "not JSON": b"{",
    "not UTF-8": b"\xff\xfe",
    "empty": b"",
    "a list": [START],
    "no events": {"events": []},
    "too many": {"events": [START] * 201},
    "something more": {"events": [START], "run": "x"},
    "an unknown kind": {"events": [{**START, "kind": "dance"}]},
    "a missing part": {"events": [{**START, "kind": "done"}]},
    "a field too many": {"events": [{**START, "surprise": 1}]},
    "a negative place": {"events": [{**START, "seq": -1}]},
    "a place in words": {"events": [{**START, "seq": "1"}]},
    "a wrong id": {"events": [{**START, "id": "a b"}]},
    "no number": b'{"events": [{"mono_ms": NaN}]}',
    "half a letter": {"events": [{**START, "kind": "note", "text": "\ud800"}]},
    "a novel": {"events": [{**START, "kind": "note", "text": "x" * 2001}]},
}


@pytest.mark.parametrize("batch", MALFORMED.values(), ids=MALFORMED.keys())
def test_a_malformed_batch_is_refused_whole_with_every_fault(client, run_id, batch):
    answer = send(client, run_id, batch)
    error = answer.json()["error"]
    assert (answer.status_code, error["code"]) == (422, "invalid")
    assert error["faults"]
    assert all(fault.keys() == {"field", "message"} for fault in error["faults"])
    assert known(client, run_id) == []


def test_one_malformed_mark_keeps_the_others_of_its_batch_out(client, run_id):
    answer = send(client, run_id, {"events": [START, {**DONE, "seq": -1}]})
    assert [fault["field"] for fault in answer.json()["error"]["faults"]] == ["events.1.seq"]
    assert known(client, run_id) == []


def test_a_deleted_run_takes_no_marks_until_it_is_brought_back(client, run_id):
    client.post(f"/runs/{run_id}/delete")
    for answer in (
        send(client, run_id, {"events": [START]}),
        client.get(f"/api/runs/{run_id}/events"),
    ):
        assert (answer.status_code, answer.json()["error"]["code"]) == (410, "gone")
    client.post(f"/runs/{run_id}/restore")
    assert send(client, run_id, {"events": [START]}).status_code == 200


@pytest.mark.parametrize("place", ["", "/stage"])
def test_the_pages_of_a_deleted_run_say_so(client, run_id, place):
    client.post(f"/runs/{run_id}/delete")
    page = Page(client.get(f"/runs/{run_id}{place}"))
    assert (page.status, page.text("h1")) == (410, "Deleted")


def test_marks_of_an_unknown_run_are_not_found(client):
    answer = send(client, "nobody", {"events": [START]})
    assert (answer.status_code, answer.json()["error"]["code"]) == (404, "not_found")


def test_marks_are_kept_although_the_routine_was_edited_or_deleted_meanwhile(client, path, run_id):
    client.post(f"{path}/segments/s1/delete")
    client.post(f"{path}/delete")
    assert send(client, run_id, {"events": [START, DONE]}).status_code == 200
    assert len(kept(client).segments) == 2


@pytest.mark.parametrize("wall_ms", [0, 2**53])
def test_a_device_whose_clock_is_absurd_still_has_its_run_and_its_pages(
    client, path, run_id, wall_ms
):
    log = [event_document(event) for event in make_events({"s1": 61}, total_s=600, started_ms=0)]
    send(client, run_id, {"events": [{**event, "wall_ms": wall_ms} for event in log]})
    for page in ("/", f"{path}/runs", f"{path}/rehearse", f"/runs/{run_id}", f"{path}/splits.csv"):
        assert client.get(page).status_code == 200


def test_a_run_of_absurd_length_still_has_its_pages(client, path, run_id):
    end = event_document(make_event("end", "finish", seq=5))
    send(client, run_id, {"events": [START, {**end, "mono_ms": 2**53}]})
    for page in ("/", f"{path}/runs", f"/runs/{run_id}", f"{path}/splits.csv"):
        assert client.get(page).status_code == 200
    assert len(Page(client.get(f"{path}/runs")).all("svg.tape text.tick-label")) <= 21


def test_a_run_keeps_the_rules_it_was_opened_under(client, path):
    run_id = keep_run(client, events=make_events(total_s=595))
    client.post(
        "/rules/rules",
        data={"name": "x", "slot": "8:00", "target": "7:50", "penalty": "1", "serves": "4"},
    )
    assert "on target" in Page(client.get(f"/runs/{run_id}")).text("h1") or "inside" in Page(
        client.get(f"/runs/{run_id}")
    ).text("h1")


# Who holds the clock

HOLD = {**START, "id": "h", "device_id": "laptop", "boot_id": "b2", "seq": 2, "kind": "hold"}


def ask_as(client, run_id, device):
    return client.get(f"/api/runs/{run_id}/events?device={device}")


def test_a_device_that_marks_is_told_of_each_claim_to_the_clock(client, run_id):
    send(client, run_id, {"events": [START, {**HOLD, "at_ms": 50_000.0}]})
    assert send(client, run_id, {"events": [DONE]}).json()["takeovers"] == ["h"]


def test_a_takeover_that_names_no_moment_is_refused(client, run_id):
    answer = send(client, run_id, {"events": [START, HOLD]})
    assert answer.status_code == 422
    assert "hold" in answer.json()["error"]["faults"][0]["message"]


def test_the_server_says_when_the_run_started_by_its_own_clock(client, run_id):
    a_year_off = {**DONE, "wall_ms": DONE["wall_ms"] + 365 * 86_400_000}
    send(client, run_id, {"events": [START, a_year_off]})
    told = client.get(f"/api/runs/{run_id}/events").json()
    # Both arrived at once, a minute after the start by the device's even clock.
    assert told["now_ms"] - told["started_ms"] == DONE["mono_ms"] - START["mono_ms"]


def test_a_device_that_only_asks_is_heard_all_the_same(client, run_id):
    send(client, run_id, {"events": [START]})
    later(client, 5000)
    device = START["device_id"]
    assert ask_as(client, run_id, "other").json()["heard_ms"] == {device: NOW_MS}
    assert ask_as(client, run_id, device).json()["heard_ms"] == {device: NOW_MS + 5000}


def test_a_device_with_an_impossible_name_is_refused(client, run_id):
    assert ask_as(client, run_id, "a%20b").status_code == 422
    assert ask_as(client, run_id, "x" * 65).status_code == 422


def test_marks_of_a_clock_a_year_off_count_as_any_others(client, run_id):
    year_ms = 365 * 86_400_000
    off = [{**event, "wall_ms": event["wall_ms"] + year_ms} for event in (START, DONE)]
    assert send(client, run_id, {"events": off}).status_code == 200
    assert "1:01" in client.get(f"/runs/{run_id}").text


def test_clock_readings_no_clock_can_have_are_refused(client, run_id):
    for wrong in ({"wall_ms": -1}, {"wall_ms": 2**53 + 1}, {"wall_ms": 1.5}, {"mono_ms": -0.1}):
        assert send(client, run_id, {"events": [START | wrong]}).status_code == 422
    assert known(client, run_id) == []


@pytest.mark.parametrize("digits", [400, 5000])
def test_a_number_without_end_takes_no_page_away(client, digits):
    text = f"It takes {'9' * digits} seconds, 1/{'9' * digits} ml, at {'9' * digits} °C."
    rum = Ingredient("rum", f"Rum {'9' * 90} %", Amount(45, "ml"))
    routine = make_routine(
        segments=(make_segment("s1", said=text),),
        drinks=(Drink("d1", "Dusk", ingredients=(rum,)),),
    )
    path = keep(client, routine)
    run_id = keep_run(client, routine, [])
    pages = [f"{path}/{name}" for name in ("script", "claims", "declaration", "plan", "drinks")]
    for page in (*pages, f"/runs/{run_id}/stage"):
        assert client.get(page).status_code == 200, page


# The stage that is only tried


def test_trying_the_stage_opens_no_run_and_names_no_address_for_marks(client, path):
    page = Page(client.get(f"{path}/try"))
    told = json.loads(page.one("#run-data").text)
    assert (told["try_out"], set(told["urls"])) == (True, {"review", "rehearse"})
    assert "nothing counts" in page.text(".try-out")
    with client.app.state.database.reading() as session:
        assert list_runs(session, "r1") == []


def test_a_stage_without_segments_cannot_be_tried(client):
    path = keep(client, make_routine(segments=()))
    assert client.get(f"{path}/try").status_code == 422


def test_the_stage_is_told_how_long_the_plan_is_to_judge_a_run_by_it(client, path):
    told = json.loads(Page(client.get(f"{path}/try")).one("#run-data").text)
    assert told["planned_s"] == layout(kept(client)).total_s
