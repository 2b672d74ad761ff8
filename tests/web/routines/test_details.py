from dataclasses import replace

import pytest

from tests.factories import RULES, make_process, make_routine
from tests.web.html import Page
from tests.web.shelf import keep, kept

ROUTINE = make_routine(processes=(make_process(),), notes="old")
FORM = "/routines/r1/details"
TYPED = {
    "name": "High tide",
    "presenter": "Ada",
    "language": "it",
    "rules": "rules",
    "notes": "a\r\nb",
}


@pytest.fixture
def path(client):
    keep(client, make_routine(routine_id="r2"), replace(RULES, id="other", name="Other"))
    return keep(client, ROUTINE)


def test_details_are_changed_and_the_plan_stays(client, path):
    assert client.post(FORM, data={**TYPED, "rules": "other"}).status_code == 303
    assert kept(client) == replace(
        ROUTINE,
        name="High tide",
        presenter="Ada",
        language="it",
        rule_sheet_id="other",
        notes="a\nb",
    )


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"name": " "}, "name", "Give it a name."),
        ({"presenter": "x" * 200}, "presenter", "Keep it to 120 characters; this has 200."),
        ({"language": "klingon"}, "language", "Choose a language from the list."),
        ({"rules": "gone"}, "rules", "Choose a rule sheet from the list."),
        ({"notes": "x" * 20_001}, "notes", "Keep it to 20,000 characters; this has 20,001."),
    ],
)
def test_wrong_details_are_told_beside_their_field_and_keep_what_was_typed(
    client, path, typed, field, told
):
    page = Page(client.post(FORM, data={**TYPED, **typed}))
    assert (page.status, page.fault(field, FORM)) == (422, told)
    assert page.typed("name", FORM) == {**TYPED, **typed}["name"]
    assert kept(client) == ROUTINE


def test_undo_and_redo_lead_back_to_the_page_they_were_asked_on(client, path):
    client.post(FORM, data=TYPED)
    undone = client.post(f"{path}/undo", data={"back": "details"})
    assert (undone.headers["location"], kept(client)) == (FORM, ROUTINE)
    again = client.post(f"{path}/redo", data={"back": "drinks"})
    assert again.headers["location"] == f"{path}/drinks"
    assert kept(client).name == "High tide"


def test_undo_leads_nowhere_else(client, path):
    client.post(FORM, data=TYPED)
    answer = client.post(f"{path}/undo", data={"back": "//elsewhere.example/"})
    assert answer.headers["location"] == f"{path}/plan"


def test_undo_of_nothing_is_told(client, path):
    page = Page(client.post(f"{path}/undo"))
    assert (page.status, page.text(".lead")) == (409, "There is nothing to undo.")


def test_the_last_change_and_the_last_undo_are_named(client, path):
    client.post(FORM, data=TYPED)
    assert "Last change: changed the details" in Page(client.get(FORM)).text(".history")
    client.post(f"{path}/undo", data={"back": "details"})
    assert "Undone: changed the details" in Page(client.get(FORM)).text(".history")


def test_a_deleted_routine_says_so_on_its_pages(client, path):
    client.post(f"{path}/delete")
    page = Page(client.get(f"{path}/plan"))
    assert "This routine is deleted." in page.text(".notice")
