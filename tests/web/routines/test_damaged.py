"""What was damaged on the disk closes nothing else, is named, and has a way back."""

import pytest

from server.domain.runs.events import event_document
from tests.engines import only_sqlite
from tests.factories import make_events, make_routine
from tests.web.html import Page
from tests.web.shelf import keep, keep_run, kept

pytestmark = only_sqlite


def harm(client, statement, *values):
    with client.app.state.database.writing() as session:
        session.connection().exec_driver_sql(statement, values)


def flip_head(client, routine_id="r1"):
    """Damage the last state of a routine: its JSON ends early."""
    harm(
        client,
        "UPDATE revision SET document = substr(document, 1, length(document) - 9) WHERE "
        "routine_id = ? AND number = (SELECT head FROM routine WHERE id = ?)",
        routine_id,
        routine_id,
    )


@pytest.fixture
def two(client):
    """Two routines, one of them edited and then damaged."""
    keep(client, make_routine(routine_id="r0", name="High tide"))
    keep(client)
    client.post("/routines/r1/details", data={"name": "Neap tide", "rules": "rules"})
    flip_head(client)
    return client


def test_a_damaged_routine_is_named_and_all_others_stay_open(two):
    page = Page(two.get("/"))
    assert page.texts("ol.cards h2") == ["High tide"]
    assert "“Low tide” cannot be opened" in page.text("#damaged-r1")
    assert two.get("/routines/r0/plan").status_code == 200


def test_a_damaged_routine_goes_back_to_its_last_state_that_can_be_read(two):
    two.post("/routines/r1/readable")
    assert kept(two).name == "Low tide"
    assert Page(two.get("/")).texts("ol.cards h2") == ["Low tide", "High tide"]


def test_a_state_that_cannot_be_read_is_not_done_again(two):
    two.post("/routines/r1/readable")
    assert two.post("/routines/r1/redo").status_code == 409
    assert kept(two).name == "Low tide"


def test_a_damaged_routine_says_what_is_wrong_at_its_own_address(two):
    answer = two.get("/routines/r1/plan")
    assert answer.status_code == 409
    assert "was damaged on the disk" in Page(answer).text("main")


def test_a_routine_without_a_readable_state_leads_to_the_backups(client):
    keep(client)
    flip_head(client)
    assert "./run restore" in Page(client.get("/")).text("#damaged-r1")
    assert client.post("/routines/r1/readable").status_code == 409


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE rule_sheet SET document = substr(document, 5)",
        "UPDATE run SET summary = substr(summary, 5)",
        "UPDATE run SET occasion = '{'",
        "UPDATE routine SET goal = '{'",
        "UPDATE event SET document = '{' WHERE rev = 2",
        "UPDATE revision SET label = CAST(x'80ff' AS TEXT)",
    ],
    ids=["rule sheet", "summary", "occasion", "goal", "event", "letter"],
)
@pytest.mark.parametrize("place", ["/", "/routines/r1/plan", "/routines/r1/runs", "/rules"])
def test_a_damaged_part_closes_no_page(client, statement, place):
    keep(client)
    keep_run(client)
    harm(client, statement)
    assert client.get(place).status_code == 200


@pytest.mark.parametrize("place", ["/routines/r1/runs", "/routines/r1"])
def test_a_damaged_plan_is_found_again_in_the_history_of_its_routine(client, place):
    keep(client)
    keep_run(client)
    harm(client, "UPDATE plan SET document = '{'")
    assert client.get(place).status_code == 200


def test_a_run_whose_plan_is_lost_says_so(client):
    keep(client)
    run_id = keep_run(client, make_routine(notes="a state that is not kept"))
    harm(client, "UPDATE plan SET document = '{'")
    assert "was damaged on the disk" in Page(client.get(f"/runs/{run_id}")).text("main")


def test_marks_are_taken_by_a_run_one_of_whose_marks_is_damaged(client):
    keep(client)
    first, *rest = make_events({"s1": 61}, total_s=595)
    run_id = keep_run(client, events=[first])
    harm(client, "UPDATE event SET document = substr(document, 3)")
    sent = {"events": [event_document(event) for event in rest]}
    assert client.post(f"/api/runs/{run_id}/events", json=sent).status_code == 200


def test_a_rule_sheet_that_cannot_be_read_says_that_its_values_are_none(client):
    keep(client)
    harm(client, "UPDATE rule_sheet SET document = '{'")
    assert "these are not its values" in Page(client.get("/rules")).text("main")
