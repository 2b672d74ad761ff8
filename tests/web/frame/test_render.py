"""Forms and links work without htmx; with it, they are answered with the body of the page alone."""

import pytest

from tests.factories import make_event, make_events, make_process, make_routine
from tests.web.html import Page
from tests.web.shelf import keep, keep_run

HTMX = {"HX-Request": "true", "HX-Target": "main#page"}
ROUTINE = make_routine(processes=(make_process(),))


@pytest.fixture
def run_id(client):
    keep(client, ROUTINE)
    spill = make_event("i1", "incident", seq=9, at_s=70, what="spill")
    return keep_run(client, ROUTINE, (*make_events({"s1": 61}), spill))


SHEET = {"name": "Ours", "slot": "9:00", "target": "8:50", "penalty": "1", "serves": "4"}
FORMS = (
    ("/routines", {"name": "Mine", "rules": "rules"}),
    ("/routines/r1/details", {"name": "Mine", "rules": "rules"}),
    ("/routines/r1/copy", {}),
    ("/routines/r1/delete", {}),
    ("/routines/r1/restore", {}),
    ("/routines/r1/move", {"to": "0"}),
    ("/routines/r1/segments/new", {"name": "Pour", "likely": "75"}),
    ("/routines/r1/segments/s1", {"name": "Pour", "likely": "75"}),
    ("/routines/r1/segments/s1/move", {"to": "1"}),
    ("/routines/r1/segments/s1/delete", {}),
    ("/routines/r1/processes/new", {"name": "x", "likely": "75", "after": "s1", "before": "s3"}),
    ("/routines/r1/processes/p1/delete", {}),
    ("/routines/r1/drinks/new", {"name": "Tide", "serves": "4"}),
    ("/routines/r1/rehearse", {}),
    ("/routines/r1/runs/by-hand", {"when": "2026-09-01T20:00", "total": "9:50"}),
    ("/rules/rules", SHEET),
    ("/rules/new", SHEET),
    ("/rules/rules/copy", {}),
    ("/runs/RUN", {"label": "Monday"}),
    ("/runs/RUN/incidents/i1", {"text": "ice"}),
    ("/runs/RUN/delete", {}),
    ("/runs/RUN/restore", {}),
)  # fmt: skip


@pytest.mark.parametrize("headers", [{}, HTMX], ids=["without htmx", "with htmx"])
@pytest.mark.parametrize(("action", "typed"), FORMS, ids=[action for action, _ in FORMS])
def test_a_form_leads_to_a_page_that_shows_what_it_did(client, run_id, action, typed, headers):
    answer = client.post(action.replace("RUN", run_id), data=typed, headers=headers)
    assert answer.status_code == 303
    page = Page(client.get(answer.headers["location"], headers=headers))
    assert page.status == 200
    is_stage = answer.headers["location"].endswith("/stage")
    assert page.is_body is (bool(headers) and not is_stage)


@pytest.mark.parametrize("place", ["details", "drinks", "plan", "rehearse", "runs", "runs/by-hand"])
def test_the_body_alone_is_what_the_page_holds(client, run_id, place):
    whole = Page(client.get(f"/routines/r1/{place}"))
    body = Page(client.get(f"/routines/r1/{place}", headers=HTMX))
    assert body.root.text_content().split() == whole.one("main").text_content().split()
    assert body.all("script, link, nav[aria-label=App]") == []


def test_a_refused_form_is_answered_with_the_body_alone_too(client, run_id):
    page = Page(client.post("/routines/r1/segments/s1", data={"name": ""}, headers=HTMX))
    assert (page.status, page.is_body) == (422, True)
    assert page.fault("name", "/routines/r1/segments/s1")


def test_htmx_asking_for_another_part_gets_the_whole_page(client, run_id):
    answer = client.get("/routines/r1/plan", headers={**HTMX, "HX-Target": "div#other"})
    assert not Page(answer).is_body


def test_a_kept_answer_tells_what_it_depends_on(client, run_id):
    for path in ("/", "/routines/r1/plan", "/routines/r1/runs"):
        assert client.get(path).headers["vary"] == "HX-Target"


@pytest.mark.parametrize("place", ["details", "drinks", "plan", "rehearse"])
def test_a_page_that_is_edited_is_never_kept_by_the_browser(client, run_id, place):
    assert client.get(f"/routines/r1/{place}").headers["cache-control"] == "no-store"


def test_every_form_that_htmx_sends_can_be_sent_without_it(client, run_id):
    paths = [f"/routines/r1/{place}" for place in ("details", "drinks", "plan", "runs/by-hand")]
    for page in (Page(client.get(path)) for path in [*paths, "/", "/rules", f"/runs/{run_id}"]):
        for form in page.all("form[hx-post]"):
            assert (form.get("method"), form.get("action")) == ("post", form.get("hx-post"))
        for link in page.all("a[hx-get]"):
            assert link.get("href") == link.get("hx-get")
