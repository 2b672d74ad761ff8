import pytest

from server.domain.runs.labels import LONGEST_TAG, NOTHING_SAID, USUAL_TAGS, Occasion
from server.store.runs import list_runs
from tests.web.html import Page
from tests.web.shelf import keep, keep_run

HAND = "/routines/r1/runs/by-hand"


@pytest.fixture
def run_id(client):
    keep(client)
    return keep_run(client)


def occasions(client):
    with client.app.state.database.reading() as session:
        return [line.occasion for line in list_runs(session, "r1")]


def ticked(page, form):
    boxes = page.form(form).cssselect(".tags input[type=checkbox][checked]")
    return [box.get("value") for box in boxes]


def test_venue_and_tags_of_a_run_are_kept_and_shown_again(client, run_id):
    path = f"/runs/{run_id}"
    typed = {"venue": " Back bar ", "tag-1": "coach", "more_tags": "new glasses, coach"}
    assert client.post(path, data=typed).status_code == 303
    assert occasions(client) == [Occasion("Back bar", ("coach", "new glasses"))]
    page = Page(client.get(f"{path}?edit=about"))
    assert page.typed("venue", path) == "Back bar"
    assert ticked(page, path) == ["coach", "new glasses"]


def test_a_box_that_is_cleared_takes_its_tag_off(client, run_id):
    client.post(f"/runs/{run_id}", data={"venue": "Studio", "tag-0": "alone"})
    client.post(f"/runs/{run_id}", data={"venue": ""})
    assert occasions(client) == [NOTHING_SAID]


def test_tags_and_venues_in_use_are_offered_for_other_runs(client, run_id):
    client.post(f"/runs/{run_id}", data={"venue": "Studio", "more_tags": "new glasses"})
    page = Page(client.get(f"/runs/{keep_run(client)}?edit=about"))
    boxes = [box.get("value") for box in page.all(".tags input[type=checkbox]")]
    assert boxes == [*USUAL_TAGS, "new glasses"]
    assert [each.get("value") for each in page.all("datalist option")] == ["Studio"]


def test_a_tag_that_is_too_long_is_refused_beside_its_field_and_nothing_is_lost(client, run_id):
    path = f"/runs/{run_id}"
    tag = "x" * (LONGEST_TAG + 1)
    typed = {"label": "Late", "venue": "Studio", "tag-0": "alone", "more_tags": tag}
    page = Page(client.post(path, data=typed))
    assert page.status == 422
    assert page.fault("more_tags", path) == f"Keep a tag to {LONGEST_TAG} characters."
    assert (page.typed("label", path), page.typed("more_tags", path)) == ("Late", tag)
    assert ticked(page, path) == ["alone"]
    assert occasions(client) == [NOTHING_SAID]


def test_a_run_entered_by_hand_says_where_it_was_made(client):
    keep(client)
    typed = {"when": "2026-09-01T20:00", "total": "9:50", "venue": "Cellar", "tag-3": "travel kit"}
    assert client.post(HAND, data=typed).status_code == 303
    assert occasions(client) == [Occasion("Cellar", ("travel kit",))]


def test_a_venue_that_is_too_long_keeps_a_run_by_hand_from_being_entered(client):
    keep(client)
    typed = {"when": "2026-09-01T20:00", "total": "9:50", "venue": "x" * 200}
    page = Page(client.post(HAND, data=typed))
    assert page.fault("venue", HAND) == "Keep it to 120 characters; this has 200."
    assert occasions(client) == []
