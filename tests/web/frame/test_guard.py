"""No form overwrites what was changed elsewhere since it was opened."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.drift.goals import Goal
from server.domain.glass.steps import Bring
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.preparing import Good, Preparation, Task, Thing
from server.domain.routine.rules import Criterion
from server.domain.routine.station import Spot, Station, Surface
from server.store.goals import load_goal, set_goal
from tests.factories import RULES, make_process, make_routine
from tests.thorough import all_but, some
from tests.web.html import Page
from tests.web.shelf import keep, keep_run, kept

ROUTINE = make_routine(
    processes=(make_process(),),
    drinks=(
        Drink(
            "d1",
            "Sour",
            4,
            ingredients=(Ingredient("i1", "Honey", Amount(30, "ml")),),
            steps=(Bring("st1", "heat", 60.0),),
        ),
    ),
    preparation=Preparation(
        things=(Thing("t1", "Tongs"),),
        tasks=(Task("t2", "Syrup", 60.0),),
        goods=(Good("g1", "Honey"),),
        station=Station((Surface("sf1", "Bar"),), (Spot("sp1", "", "t1", 50.0, 30.0),)),
    ),
)
PLAN, DRINKS = "/routines/r1/plan?edit=", "/routines/r1/drinks?edit="
FORMS = {
    "/routines/r1/segments/s2": (PLAN + "segment-s2", "hands"),
    "/routines/r1/processes/p1": (PLAN + "process-p1", "fallback"),
    "/routines/r1/drinks/d1": (DRINKS + "drink-d1", "method"),
    "/routines/r1/drinks/d1/ingredients/i1": (DRINKS + "ingredient-i1", "amount"),
    "/routines/r1/drinks/d1/steps/st1": (DRINKS + "step-st1", "to_temp_c"),
    "/routines/r1/prepare/things/t1": ("/routines/r1/prepare?edit=thing-t1", "how_many"),
    "/routines/r1/prepare/reserve": ("/routines/r1/prepare?edit=reserve", "spare"),
    "/routines/r1/prep/tasks/t2": ("/routines/r1/prep?edit=task-t2", "shares"),
    "/routines/r1/prep/journey": ("/routines/r1/prep?edit=journey", "from_hour"),
    "/routines/r1/shopping/goods/g1": ("/routines/r1/shopping?edit=good-g1", "name"),
    "/routines/r1/shopping/runs": ("/routines/r1/shopping?edit=runs", "dress_runs"),
    "/routines/r1/learn/aim": ("/routines/r1/learn?edit=aim", "minutes"),
    "/routines/r1/station/outside": ("/routines/r1/station?edit=outside", "clear"),
    "/routines/r1/station/bar": ("/routines/r1/station?edit=bar", "reach"),
    "/routines/r1/station/surfaces/sf1": ("/routines/r1/station?edit=surface-sf1", "name"),
    "/routines/r1/station/spots/sp1": ("/routines/r1/station?edit=spot-sp1", "height"),
    "/routines/r1/details": ("/routines/r1/details", "notes"),
    "/rules/rules": ("/rules/rules", "notes"),
    "/routines/r1/drift/goal": ("/routines/r1/drift?edit=goal", "runs"),
    "/runs/{run}": ("/runs/{run}?edit=about", "notes"),
    "/runs/{run}/points": ("/runs/{run}?open=points", "points-care"),
    "/routines/r1/runs/sessions/{run}": (
        "/routines/r1/runs?show=sessions&edit=session-{run}",
        "venue",
    ),
}
"""Address that a form is sent to -> the page that holds it, and a field of it."""

MINE, THEIRS = (
    {
        "amount": "41 ml",
        "to_temp_c": "41",
        "runs": "4",
        "points-care": "4",
        "spare": "4",
        "from_hour": "4",
        "dress_runs": "4",
        "minutes": "14",
        "reach": "44",
        "clear": "1:00 Sweep",
        "height": "4",
    },
    {
        "amount": "42 ml",
        "to_temp_c": "42",
        "runs": "5",
        "points-care": "5",
        "spare": "5",
        "from_hour": "5",
        "dress_runs": "5",
        "minutes": "15",
        "reach": "45",
        "clear": "2:00 Wipe",
        "height": "5",
    },
)
NO_GUARD = (
    "/new", "/move", "/delete", "/copy", "/undo", "/redo", "/block", "/script",
    "/counting", "/end", "/by-hand", "/missed", "/what-if", "/take-time", "/rehearse", "/import",
    "/routines",
    "/restore", "/plan-time", "/incidents/", "/claims/rows/", "/ticks", "/anew", "/as-before",
    "/turn",
    "/left-out", "/place", "/better",
)  # fmt: skip
"""Forms that show nothing stored to be overwritten: they add, order, take away, or have their own
marks (the script); remarks are events of a log."""

SETTLED_ALWAYS = (
    "/routines/r1/segments/s2", "/routines/r1/drinks/d1/ingredients/i1", "/rules/rules",
    "/routines/r1/drift/goal", "/runs/{run}", "/runs/{run}/points",
    "/routines/r1/runs/sessions/{run}",
)  # fmt: skip

UPLOADED = ("/music/", "/photographs/", "/join")


@pytest.fixture
def run_id(client):
    rules = replace(RULES, notes="old", criteria=(Criterion("care", "Care", 10.0),))
    keep(client, ROUTINE, rules)
    with client.app.state.database.writing() as session:
        set_goal(session, "r1", Goal())
    return keep_run(client, ROUTINE, rules=rules)


def sent_by(client, page, action):
    """What a browser would send from a form that nobody has touched."""
    return Page(client.get(page)).sent_by(action)


@pytest.mark.parametrize("action", FORMS)
def test_no_form_overwrites_what_was_changed_elsewhere(client, run_id, action):
    page, field = (text.replace("{run}", run_id) for text in FORMS[action])
    action = action.replace("{run}", run_id)
    shown = sent_by(client, page, action)
    mine, theirs = MINE.get(field, "my words"), THEIRS.get(field, "their words")
    assert client.post(action, data=shown | {field: theirs}).status_code == 303
    answer = client.post(action, data=shown | {field: mine})
    assert answer.status_code == 422
    again = Page(answer)
    assert again.typed(field, action) == mine
    assert [text.split(maxsplit=2)[2] for text in again.texts(".clash label")] == [mine, theirs]
    assert sent_by(client, page, action)[field] == theirs


# One guard settles the clashes of all forms; a form of each kind of what is stored runs always.
@pytest.mark.parametrize("action", some(FORMS, all_but(*SETTLED_ALWAYS)))
def test_a_clash_is_settled_by_choosing(client, run_id, action):
    page, field = (text.replace("{run}", run_id) for text in FORMS[action])
    action = action.replace("{run}", run_id)
    shown = sent_by(client, page, action)
    mine, theirs = MINE.get(field, "my words"), THEIRS.get(field, "their words")
    client.post(action, data=shown | {field: theirs})
    held = Page(client.post(action, data=shown | {field: mine})).sent_by(action)
    assert client.post(action, data=held).status_code == 422
    assert client.post(action, data=held | {f"settle-{field}": "mine"}).status_code == 303
    assert sent_by(client, page, action)[field] == mine
    answer = client.post(action, data=shown | {field: theirs, "settle": "theirs"})
    assert answer.status_code == 422


def test_what_only_one_side_touched_is_joined_without_a_question(client, run_id):
    shown = sent_by(client, PLAN + "segment-s2", "/routines/r1/segments/s2")
    client.post("/routines/r1/segments/s2", data=shown | {"said": "Theirs.", "after": "s1"})
    answer = client.post("/routines/r1/segments/s2", data=shown | {"name": "Mine"})
    segment = kept(client).segments[1]
    assert answer.status_code == 303
    assert (segment.name, segment.said, segment.after_segment_ids) == ("Mine", "Theirs.", ("s1",))


def test_a_script_saved_elsewhere_outlives_the_form_of_its_segment(client, run_id):
    shown = sent_by(client, PLAN + "segment-s2", "/routines/r1/segments/s2")
    client.post("/routines/r1/script", data={"said-s2": "Newer words."})
    client.post("/routines/r1/segments/s2", data=shown | {"hands": "Pour."})
    assert kept(client).segments[1].said == "Newer words."


def test_all_of_theirs_can_be_taken_at_once(client, run_id):
    action = "/routines/r1/segments/s2"
    shown = sent_by(client, PLAN + "segment-s2", action)
    client.post(action, data=shown | {"hands": "Theirs", "said": "Theirs"})
    held = Page(client.post(action, data=shown | {"hands": "Mine", "said": "Mine"})).sent_by(action)
    assert client.post(action, data=held | {"settle": "theirs"}).status_code == 303
    assert (kept(client).segments[1].hands, kept(client).segments[1].said) == ("Theirs", "Theirs")


def test_what_was_typed_into_something_deleted_elsewhere_is_shown(client, run_id):
    shown = sent_by(client, PLAN + "segment-s2", "/routines/r1/segments/s2")
    client.post("/routines/r1/segments/s2/delete")
    answer = client.post("/routines/r1/segments/s2", data=shown | {"said": "A long talk."})
    assert answer.status_code == 409
    assert "A long talk." in Page(answer).text("main .notice[role=alert]")


def test_every_form_that_changes_something_carries_its_marks(client, run_id):
    pages = {page.replace("{run}", run_id) for page, _ in FORMS.values()}
    pages |= {"/", "/rules", "/routines/r1/script", "/routines/r1/words", "/routines/r1/claims"}
    pages |= {
        "/routines/r1/rehearse",
        "/routines/r1/runs?show=sessions",
        "/routines/r1/plan/what-if",
    }
    seen = set()
    for address in sorted(pages):
        for form in Page(client.get(address)).all('form[method="post"]'):
            action = form.get("action")
            is_guarded = bool(form.cssselect("input[name=shown]"))
            seen |= {action} if is_guarded else set()
            is_free = action.endswith(NO_GUARD) or any(
                f"{each}" in action for each in NO_GUARD[-3:]
            )
            assert is_guarded or is_free or action.startswith(UPLOADED), action
    assert seen == {action.replace("{run}", run_id) for action in FORMS}


def test_a_goal_set_elsewhere_is_not_overwritten_by_the_first_one(client):
    keep(client, ROUTINE)
    shown = sent_by(client, "/routines/r1/drift?edit=goal", "/routines/r1/drift/goal")
    client.post("/routines/r1/drift/goal", data=shown | {"runs": "5"})
    assert client.post("/routines/r1/drift/goal", data=shown | {"runs": "7"}).status_code == 422
    with client.app.state.database.reading() as session:
        assert load_goal(session, "r1").now.runs == 5
