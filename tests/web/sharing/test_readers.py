"""What a coach is offered who hears all and changes nothing: no way that ends at a shut door."""

from dataclasses import replace

import pytest

from server.domain.routine.rules import Criterion
from server.store.sharing.shares import give_share
from tests.factories import NOW_MS, RULES, make_events
from tests.web.html import Page, text_of
from tests.web.shelf import keep_run, kept
from tests.web.watching.test_passes import remark, send

CHANGES = {
    "/routines/r1/tastings": "#new-list",
    "/routines/r1/drift": "#edit-goal",
    "/routines/r1/runs?show=sessions": "[id^='label-']",
    "/routines/r1/takes": "[data-take-sound]",
    "/takes/{take_id}": "#delete-take",
    "/runs/{run_id}": "[href*='edit=recording-']",
    "/recordings": "[href*='edit=recording-']",
}
"""Page -> what on it begins a change."""


@pytest.fixture
def coach(own_app, own_world):
    """One who may hear recordings too."""
    with own_app.app.state.database.writing() as session:
        coach_id = own_world.persons["coach"]
        give_share(session, "r1", coach_id, "coach", NOW_MS, hears=True)
    return own_world.browsers["coach"]


def test_who_changes_nothing_is_led_to_no_change(own_world, coach):
    owner, wrong = own_world.browsers["owner"], []
    for address, begins in CHANGES.items():
        url = address.format(**own_world.ids)
        seen = [bool(Page(each.get(url)).all(begins)) for each in (owner, coach)]
        if seen != [True, False]:
            wrong.append((url, seen))
    assert wrong == []


def test_a_coach_is_led_from_a_run_that_is_over_to_where_remarks_are_written(own_world, coach):
    run = f"/runs/{own_world.ids['run_id']}"
    shown = Page(coach.get(run))
    assert shown.one(f".chosen-acts a[href='{run}/watch']").text == "Write remarks"
    assert coach.get(f"{run}/watch", follow_redirects=True).url.path == f"{run}/watch"
    assert Page(own_world.browsers["owner"].get(run)).all(f"a[href='{run}/watch']") == []


def points_of(browser, run):
    """Who stands above each column of points, and the first row of them, as somebody sees them."""
    page = Page(browser.get(f"{run}?open=points"))
    heads = [text_of(each) for each in page.all("table.points thead th")]
    own = page.one("table.points tbody input").get("value")
    return dict(
        zip(heads[1:], [own, *page.texts("table.points tbody tr:first-child td")[1:]], strict=True)
    )


def test_each_person_gives_points_of_their_own_on_the_page_of_a_run(own_app, own_world, coach):
    owner = own_world.browsers["owner"]
    rules = replace(RULES, criteria=(Criterion("flow", "Flow", 10),))
    log = make_events({"s1": 61}, total_s=190)
    run = f"/runs/{keep_run(own_app, kept(own_app), log, rules)}"
    for browser, points in ((coach, "7"), (owner, "4")):
        assert browser.post(f"{run}/points", data={"points-flow": points}).status_code == 303
    assert points_of(coach, run) == {"You": "7", "Mean": "5.5", "Owner": "4"}
    assert points_of(owner, run) == {"You": "4", "Mean": "5.5", "Coach": "7"}


def test_no_device_marks_under_the_name_by_which_a_page_gives_points(own_app, own_world, coach):
    run_id = own_world.ids["run_id"]
    coach.get(f"/runs/{run_id}/watch", follow_redirects=True)
    forged = f"desk-{own_world.persons['owner']}"
    said = [
        send(coach, run_id, remark("e1", who="Coach", device=each)) for each in (forged, "phone")
    ]
    assert [each.status_code for each in said] == [422, 200]
