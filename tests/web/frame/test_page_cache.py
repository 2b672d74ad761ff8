from types import SimpleNamespace

import pytest
from fastapi import Response

from server.domain.runs.events import event_document
from server.web.frame.page_cache import PageCache
from tests.factories import RULES, make_event, make_events, make_routine
from tests.web.html import Page
from tests.web.shelf import keep, keep_run

RUNS = "/routines/r1/runs"


@pytest.fixture
def run_id(client):
    keep(client)
    return keep_run(client, events=make_events({"s1": 61}))


def etag(client, path=RUNS, **headers):
    return client.get(path, headers=headers).headers["etag"]


def test_a_page_that_stands_still_is_answered_as_unchanged(client, run_id):
    answer = client.get(RUNS, headers={"If-None-Match": etag(client)})
    assert (answer.status_code, answer.content) == (304, b"")
    assert answer.headers["etag"] == etag(client)


def test_a_page_that_the_browser_does_not_have_is_sent(client, run_id):
    answer = client.get(RUNS, headers={"If-None-Match": '"another"'})
    assert answer.status_code == 200
    assert Page(answer).text(".menu summary") == "Low tide"


def mark(client, run_id):
    event = make_event("late", "done", seq=50, at_s=125, segment_id="s2")
    client.post(f"/api/runs/{run_id}/events", json={"events": [event_document(event)]})


CHANGES = {
    "a new mark": mark,
    "an edit of the plan": lambda client, _: client.post(
        "/routines/r1/segments/s1", data={"name": "Pour", "likely": "75"}
    ),
    "an undo": lambda client, _: client.post("/routines/r1/undo"),
    "another rule sheet": lambda client, _: client.post(
        "/rules/rules",
        data={"name": "x", "slot": "8:00", "target": "7:50", "penalty": "1", "serves": "4"},
    ),
    "a remark": lambda client, run_id: client.post(f"/runs/{run_id}", data={"label": "Monday"}),
    "a deleted run": lambda client, run_id: client.post(f"/runs/{run_id}/delete"),
    "a run by hand": lambda client, _: client.post(
        f"{RUNS}/by-hand", data={"when": "2026-09-01T20:00", "total": "9:50"}
    ),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES.keys())
def test_the_page_is_made_anew_after(client, run_id, change):
    client.post("/routines/r1/segments/s2", data={"name": "Shake", "likely": "50"})
    before = etag(client)
    change(client, run_id)
    answer = client.get(RUNS, headers={"If-None-Match": before})
    assert answer.status_code == 200
    assert answer.headers["etag"] != before


def test_a_changed_routine_leaves_the_pages_of_others_alone(client, run_id):
    keep(client, make_routine(routine_id="r2"))
    before = etag(client, "/routines/r2/runs")
    mark(client, run_id)
    assert etag(client, "/routines/r2/runs") == before


def test_page_and_body_are_kept_apart(client, run_id):
    whole, body = etag(client), etag(client, **{"HX-Target": "main#page"})
    assert whole != body
    assert not Page(client.get(RUNS)).is_body


def test_drawing_all_runs_is_another_page(client, run_id):
    for number in range(15):
        log = make_events({"s1": 60 + number}, total_s=590, prefix=f"n{number}-")
        keep_run(client, events=log, rules=RULES)
    assert etag(client) != etag(client, f"{RUNS}?show=all")


# The cache itself


def ask(cache, key, text, etag=""):
    request = SimpleNamespace(headers={"if-none-match": etag})
    return cache.answer(request, key, lambda: Response(text))


def test_a_kept_page_is_not_made_twice():
    cache = PageCache()
    assert ask(cache, "a", "first").body == ask(cache, "a", "second").body == b"first"


def test_the_page_asked_for_longest_ago_is_let_go_first():
    cache = PageCache(most=2)
    ask(cache, "a", "a1")
    ask(cache, "b", "b1")
    ask(cache, "a", "a2")
    ask(cache, "c", "c1")
    assert ask(cache, "a", "a3").body == b"a1"
    assert ask(cache, "b", "b2").body == b"b2"


def test_a_page_stands_until_something_is_written():
    cache, request = PageCache(), SimpleNamespace(headers={})
    cache.answer(request, "a", lambda: Response("first"), stamp=1, state=7)
    assert cache.standing(request, "a", 7).body == b"first"
    assert cache.standing(request, "a", 8) is None


def test_a_page_that_a_write_left_alone_stands_again_unmade():
    cache, request = PageCache(), SimpleNamespace(headers={})
    cache.answer(request, "a", lambda: Response("first"), stamp=1, state=7)
    cache.answer(request, "a", lambda: Response("second"), stamp=1, state=8)
    assert cache.standing(request, "a", 8).body == b"first"
