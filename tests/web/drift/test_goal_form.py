from dataclasses import replace

import pytest

from server.domain.drift.goals import Goal
from server.store.goals import load_goal
from tests.factories import RULES
from tests.web.html import Page
from tests.web.practice import PATH, PLAN, practise
from tests.web.shelf import keep

FORM = f"{PATH}/goal"
TYPED = {"runs": "3", "low": "9:40", "high": "9:58", "in_a_row": "yes"}


def goal(client):
    with client.app.state.database.reading() as session:
        return load_goal(session, "r1").now


def test_the_example_of_a_goal_lies_in_the_slot_of_the_rules(client):
    keep(client, PLAN, replace(RULES, slot_s=480, target_s=470))
    practise(client, [150, 160, 150])
    assert "between 7:50 and 8:00" in Page(client.get(PATH)).text("#goal .hint")


def test_a_goal_is_set_and_the_way_there_told(client):
    practise(client, [180, 200, 230], [180, 200, 205], [180, 200, 204])
    answer = client.post(FORM, data=TYPED)
    assert goal(client) == Goal(3, 580, 598, in_a_row=True)
    page = Page(client.get(answer.headers["location"]))
    assert "3 runs in a row between 9:40 and 9:58. 2 of 3 so far. 1 run to go." in page.text(
        "#goal"
    )
    assert page.texts(".attempts small") == ["12 s too late", "met", "met"]


def test_the_form_starts_with_the_target_of_the_rule_sheet(client):
    keep(client, PLAN)
    page = Page(client.get(f"{PATH}?edit=goal"))
    assert (page.typed("low", FORM), page.typed("high", FORM)) == ("9:40", "10:00")


@pytest.mark.parametrize(
    ("changed", "field", "message"),
    [
        ({"runs": "many"}, "runs", "Give a number."),
        ({"runs": "0"}, "runs", "Give a number from 1 to 100."),
        ({"low": "soon"}, "low", "“soon” is no duration. Type 1:15, 75 or 1m15."),
        ({"high": "9:00"}, "high", "The latest finish lies before 9:40."),
        ({"high": ""}, "high", "Give a duration, for example 1:15 or 75."),
    ],
)
def test_a_goal_that_cannot_be_is_refused_beside_its_field(client, changed, field, message):
    practise(client, [180, 200, 205])
    page = Page(client.post(FORM, data={**TYPED, **changed}))
    assert page.status == 422
    assert page.fault(field, FORM) == message
    assert {name: page.typed(name, FORM) for name in changed} == changed
    assert goal(client) is None


def test_a_refused_goal_keeps_the_boxes_that_were_ticked(client):
    keep(client, PLAN)
    page = Page(client.post(FORM, data={**TYPED, "runs": "x", "with_claims": "yes"}))
    assert len(page.form(FORM).cssselect("input[checked]")) == 2


def test_a_removed_goal_comes_back_by_undo(client):
    keep(client, PLAN)
    client.post(FORM, data=TYPED)
    page = Page(client.get(client.post(f"{FORM}/delete").headers["location"]))
    assert "The goal was removed." in page.text("#goal .notice")
    assert goal(client) is None
    client.post(page.one("#goal .notice form").get("action"))
    assert goal(client) == Goal(3, 580, 598)


def test_a_goal_with_claims_says_that_nobody_noted_them(client):
    practise(client, [180, 200, 205], [180, 200, 204])
    client.post(FORM, data={**TYPED, "with_claims": "yes"})
    page = Page(client.get(PATH))
    assert page.texts(".attempts small") == ["in time; nobody noted the claims"] * 2
    assert "Nobody noted the claims of 2 runs" in page.text("#goal")


def test_a_goal_that_was_reached_says_with_which_run(client):
    run_ids = practise(client, *[[180, 200, 205]] * 4)
    client.post(f"/runs/{run_ids[2]}", data={"label": "Third time"})
    client.post(FORM, data=TYPED)
    assert "First reached with Third time." in Page(client.get(PATH)).text("#goal")
