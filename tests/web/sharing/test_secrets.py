"""What stands in a routine is read by nobody whom it is not shared with, on no page."""

import random

import pytest

from server.domain.base.standings import STANDINGS, allows, granted
from server.store.sharing.shares import give_share, take_share
from server.store.sharing.teams import give_to_team, put_member, take_member
from server.web.frame.access import ASKS
from tests.factories import NOW_MS
from tests.thorough import some
from tests.web.devices.test_rights import ROUTES
from tests.web.sharing.test_asks import OF_ROUTINES, ask
from tests.web.sharing.world import HEARD, OUTSIDE, READ, SHOWN, STUDIED

SEEN = [row for row in ROUTES if row.startswith("GET ")]
MARKS = {
    "show": SHOWN.values(), "read": READ.values(), "study": STUDIED.values(),
    "hear": HEARD.values(),
}  # fmt: skip
WHO = some((*STANDINGS, *OUTSIDE), lambda who: who not in ("stranger", "judge", "viewer"))


def hidden_from(who):
    """The words that somebody may find nowhere."""
    held = granted([who] if who in STANDINGS else [])
    return {mark for need, marks in MARKS.items() for mark in marks if need not in held}


@pytest.mark.parametrize("who", WHO)
def test_no_page_tells_more_of_a_routine_than_is_shared(world, who):
    found = []
    for row in SEEN:
        body = ask(world.browsers[who], row, world.ids).text
        found += [(row, mark) for mark in hidden_from(who) if mark in body]
    assert found == []


ASIDE = (
    "/?deleted=r1", "/rules?deleted=rules", "/recordings?edit=recording-rec1",
    "/routines/r2?settled={run_id}.e1", "/routines/r2/runs?open=run-{run_id}&deleted={run_id}",
    "/routines/r2/runs/remarks?settled={run_id}.e1", "/routines/r2/takes?deleted={take_id}",
    "/routines/r2/drift/compare?first=run:{run_id}", "/routines/r2/drinks?show=d1",
    "/routines/r2/tastings/t1", "/routines/r2/tastings/t1/answers.csv", "/teams/{team_id}",
    "/routines/r2/people?taken={run_id}&stood=coach",
)  # fmt: skip
"""Addresses of what is one's own that name what is not."""


def test_a_thing_of_others_is_not_had_by_way_of_ones_own(own_app, own_world):
    stranger = own_world.browsers["stranger"]
    shown = stranger.post("/routines", data={"name": "Mine", "rules": "rules-house"})
    own = shown.headers["location"]
    for address in ASIDE:
        known = address.replace("/routines/r2", own).format(**own_world.ids)
        answer = stranger.get(known, follow_redirects=True)
        assert answer.status_code < 500
        assert [mark for mark in hidden_from("stranger") if mark in answer.text] == []


FOREIGN_FORMS = {
    "/remarks/settle": {"run": "{run_id}", "remark": "e1"},
    "/remarks/unsettle": {"run": "{run_id}", "remark": "e1"},
    "/counting": {"run": "{run_id}", "action": "count run"},
    "/runs/counting": {"count": "{run_id}"},
    "/runs/remarks/settle": {"run": "{run_id}", "remark": "e1"},
    "/runs/remarks/unsettle": {"run": "{run_id}", "remark": "e1"},
}


@pytest.mark.parametrize("form", FOREIGN_FORMS)
def test_a_form_of_ones_own_routine_changes_no_run_of_another(own_app, own_world, form):
    stranger, ids = own_world.browsers["stranger"], own_world.ids
    own = stranger.post("/routines", data={"name": "Mine", "rules": "rules-house"})
    typed = {name: text.format(**ids) for name, text in FOREIGN_FORMS[form].items()}
    assert stranger.post(own.headers["location"] + form, data=typed).status_code == 404


def test_a_rule_sheet_of_others_can_be_chosen_for_no_routine(own_app, own_world):
    stranger = own_world.browsers["stranger"]
    answer = stranger.post("/routines", data={"name": "Mine", "rules": "rules"})
    assert answer.status_code == 422


SOME = random.Random(4).sample(OF_ROUTINES, 12)
"""Addresses that are asked for after each change: enough to hold each ask a few times."""

STEPS = [pytest.param(seed, marks=pytest.mark.thorough if seed else ()) for seed in range(12)]


def held_by(name, shares, team):
    """What the model says that somebody may; `team` is how its members stand, and who leads it."""
    standings = {shares[name]} if name in shares else set()
    if team["owns"] and name in team["members"]:
        standings.add("owner" if team["members"][name] else team["owns"])
    return granted(standings)


def change_one(drawn, session, world, shares, team):
    """One change of who stands how, in the store and in the model."""
    name = drawn.choice(["stranger", "viewer", "coach", "judge"])
    person_id, act = world.persons[name], drawn.choice(["give", "take", "team", "in", "out"])
    if act == "give":
        shares[name] = drawn.choice([*STANDINGS])
        give_share(session, "r1", person_id, shares[name], NOW_MS)
    elif act == "take" and shares.pop(name, None):
        take_share(session, "r1", person_id)
    elif act == "team":
        team["owns"] = drawn.choice(["coach", "viewer", "judge"])
        give_to_team(session, "r1", world.ids["team_id"], team["owns"])
    elif act == "in":
        team["members"][name] = drawn.random() < 0.3
        put_member(session, world.ids["team_id"], person_id, leads=team["members"][name])
    elif act == "out" and name in team["members"]:
        del team["members"][name]
        take_member(session, world.ids["team_id"], person_id)


@pytest.mark.parametrize("seed", STEPS)
def test_after_any_changes_everybody_may_what_their_standings_say(own_app, own_door, seed):
    drawn, shares = random.Random(seed), {name: name for name in STANDINGS}
    team = {"owns": "", "members": {"owner": True}}
    for _ in range(8):
        with own_app.app.state.database.writing() as session:
            for _ in range(3):
                change_one(drawn, session, own_door, shares, team)
        for name in ("stranger", "viewer", "coach"):
            held = held_by(name, shares, team)
            row = drawn.choice(SOME)
            status = ask(own_door.browsers[name], row, own_door.ids).status_code
            assert (row, name, status == 204) == (row, name, allows(ASKS[row], held))
            page = own_door.browsers[name].get(f"/routines/{own_door.ids['routine_id']}/plan")
            assert (page.status_code == 204) == ("read" in held)


def test_a_copy_of_others_is_the_copiers_alone(own_app, own_world):
    partner, owner = own_world.browsers["copresenter"], own_world.browsers["owner"]
    copy = partner.post("/routines/r1/copy").headers["location"].removesuffix("/details")
    assert partner.get(copy + "/plan").status_code == 200
    assert owner.get(copy + "/plan").status_code == 404
    assert copy not in owner.get("/").text


def test_a_judges_pages_draw_no_plan(world):
    # The strip tells to a second how long each segment is planned.
    row = "GET /routines/{routine_id}/declaration"
    drawn = {
        who: 'id="slot-strip"' in ask(world.browsers[who], row, world.ids).text for who in STANDINGS
    }
    assert [who for who, is_drawn in drawn.items() if not is_drawn] == ["judge"]
