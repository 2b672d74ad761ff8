"""What a coach is offered who hears all and changes nothing: no way that ends at a shut door."""

import pytest

from server.store.sharing.shares import give_share
from tests.factories import NOW_MS
from tests.web.html import Page

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
