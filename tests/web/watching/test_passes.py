"""What a pass to watch is good for: its own run, remarks of one's own, and until it ends."""

from dataclasses import replace

import pytest

from server.domain.runs.events import NEEDS, WATCHED
from tests.factories import make_event, make_events, make_routine
from tests.web.conftest import beside
from tests.web.shelf import keep, keep_run, open_run, send

LOG = make_events({"s1": 61})


@pytest.fixture
def run_id(client):
    keep(client)
    return keep_run(client, make_routine(), events=LOG)


@pytest.fixture
def code(client, run_id):
    return open_run(client, run_id)


@pytest.fixture
def joined(client, code):
    """Another browser that joins under a name."""

    def join(name="Ada", browser=None):
        browser = browser or beside(client)
        assert browser.post("/join", data={"code": code, "name": name}).status_code == 303
        return browser

    return join


def remark(event_id, kind="note", who="Ada", device="ada", **more):
    text = {} if kind == "retract" else {"text": "Too fast"}
    return replace(make_event(event_id, kind, **text, who=who, **more), device_id=device, at_ms=1.0)


def why_not(answer):
    return answer.status_code, answer.json()["error"]["message"]


def test_who_watches_may_remark_and_take_back_their_own(joined, run_id):
    ada = joined()
    assert send(ada, run_id, remark("n1")).status_code == 200
    assert send(ada, run_id, remark("x1", "retract", target_id="n1")).status_code == 200


@pytest.mark.parametrize("kind", sorted(NEEDS.keys() - WATCHED - {"hold", "resume"}))
def test_who_watches_moves_no_clock(joined, run_id, kind):
    given = {
        "segment_id": "s1", "process_id": "p1", "step_ms": 1.0, "cause": "set",
    }  # fmt: skip
    needed = {name: given[name] for name in NEEDS[kind]}
    event = replace(make_event("e9", kind, **needed), device_id="ada", who="Ada")
    assert why_not(send(joined(), run_id, event)) == (422, f"Who watches cannot mark “{kind}”.")


def test_who_watches_cannot_take_the_clock(joined, run_id):
    hold = replace(make_event("h9", "hold", at_ms=9000.0, who="Ada"), device_id="ada")
    assert send(joined(), run_id, hold).status_code == 422


def test_a_remark_stands_under_the_name_one_joined_with(joined, run_id):
    assert send(joined(), run_id, remark("n1", who="Ben")).status_code == 422
    assert send(joined(), run_id, remark("n1", who=None)).status_code == 422
    # The name goes to the presenter with each remark: who joins is told so.
    assert "stands under it, for the presenter to read" in joined().get("/join").text


def test_who_watches_neither_speaks_for_another_nor_takes_their_remarks_back(joined, run_id):
    ada, ben = joined(), joined("Ben")
    send(ada, run_id, remark("n1"))
    assert send(ben, run_id, remark("n2", who="Ben", device="ada")).status_code == 422
    back = remark("x1", "retract", who="Ben", device="ben", target_id="n1")
    assert why_not(send(ben, run_id, back))[1].startswith("Who watches takes back their own")


def test_who_watches_does_not_speak_for_the_device_that_holds_the_clock(joined, run_id):
    assert send(joined(), run_id, remark("n1", device=LOG[0].device_id)).status_code == 422


def test_after_the_run_is_closed_neither_stream_nor_remark_is_had(client, joined, run_id):
    ada = joined()
    client.post(f"/runs/{run_id}/watchers/close")
    assert ada.get(f"/api/runs/{run_id}/live").status_code == 403
    assert ada.get(f"/api/runs/{run_id}/events").status_code == 403
    assert send(ada, run_id, remark("n1")).status_code == 403


def test_joining_again_ends_the_pass_before(client, joined, run_id):
    ada = joined()
    old = dict(ada.cookies)
    joined("Ada", ada)
    other = beside(client, cookies=old)
    assert other.get(f"/api/runs/{run_id}/watching").status_code == 403
    assert ada.get(f"/api/runs/{run_id}/watching").status_code == 200


def test_what_was_remarked_before_joining_again_still_arrives(client, joined, run_id):
    ada = joined()
    send(ada, run_id, remark("n1"))
    joined("Ada B.", ada)
    assert send(ada, run_id, remark("n2")).status_code == 200
    assert send(ada, run_id, remark("n3", who="Ada B.")).status_code == 200
    assert send(ada, run_id, remark("x1", "retract", target_id="n1")).status_code == 200


def test_who_is_let_in_later_goes_on_under_their_own_name(client, joined, run_id):
    ada = joined()
    send(ada, run_id, remark("n1"))
    ada.post("/in/link", data={"secret": client.app.state.door.link_secret})
    assert send(ada, run_id, remark("n2")).status_code == 200
