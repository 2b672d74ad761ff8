"""Every address, asked for by everybody: the one table of what a person may holds at the door."""

import pytest

from server.domain.base.standings import EVERYTHING, GRANTS, STANDINGS, allows
from server.web.frame.access import ASKS, NEEDS, ask_of
from tests.thorough import some
from tests.web.devices.test_rights import ROUTES
from tests.web.sharing.world import OUTSIDE, address_of, browser_of

OF_ROUTINES = [row for row in ROUTES if ask_of(*row.split()) in EVERYTHING]

SENDS = "POST /api/runs/{run_id}/events"
WATCHED = "GET /runs/{run_id}/watch"


def ask(browser, row, ids):
    method, path = row.split()
    return browser.request(method, address_of(path, ids))


def test_every_route_says_what_it_asks_of_a_person_and_no_row_is_without_a_route():
    assert sorted(ASKS) == ROUTES


def test_what_needs_nobodys_device_or_a_pass_to_taste_needs_nobodys_account():
    free = [row for row in ROUTES if ASKS[row] == "all"]
    assert free == [row for row in ROUTES if NEEDS[row] in ("anyone", "taste")]


def test_what_a_helpers_device_may_send_is_the_presenters_to_send():
    # Else a device that helps could change what a co-presenter may not.
    sent = [row for row in ROUTES if not row.startswith(("GET", "HEAD")) and NEEDS[row] == "help"]
    assert {ASKS[row] for row in sent} == {"present"}


def test_what_stands_in_no_row_is_its_owners_or_the_admins_alone():
    assert ask_of("GET", "/routines/{routine_id}/new") == "own"
    assert ask_of("GET", "/new") == "admin"


@pytest.mark.parametrize("who", some(STANDINGS, lambda who: who not in ("coach", "judge")))
def test_whoever_stands_to_a_routine_gets_of_it_what_the_table_says(door, who):
    wrong = {}
    for row in OF_ROUTINES:
        may = allows(ASKS[row], GRANTS[who])
        refused = 303 if row == WATCHED else 403
        status = ask(door.browsers[who], row, door.ids).status_code
        if status != (204 if may else refused):
            wrong[row] = status
    assert wrong == {}


@pytest.mark.parametrize("who", some(OUTSIDE, lambda who: who == "admin"))
def test_of_a_routine_that_is_not_shared_nothing_is_to_be_had(door, who):
    for row in OF_ROUTINES:
        by_code = NEEDS[row] == "watch" and row != SENDS
        refused = 303 if row == WATCHED else 403 if by_code else 404
        assert (row, ask(door.browsers[who], row, door.ids).status_code) == (row, refused)


def test_what_is_not_shared_answers_as_what_is_not_there(door):
    for row in OF_ROUTINES[::3]:
        there, nowhere = (ask(door.browsers["stranger"], row, ids) for ids in (door.ids, {}))
        if row != SENDS:
            assert (there.status_code, there.content) == (nowhere.status_code, nowhere.content)


def test_nobody_who_is_not_signed_in_gets_anything_but_what_is_anyones(door, app):
    nobody = browser_of(door.browsers["owner"].app, app.portal)
    for row in ROUTES:
        status = ask(nobody, row, door.ids).status_code
        assert (row, status == 204) == (row, NEEDS[row] == "anyone")


def test_an_account_opens_what_is_of_no_routine(door):
    rows = [row for row in ROUTES if ASKS[row] in ("person", "admin")]
    for row in rows:
        shut = ASKS[row] == "admin"
        assert (row, ask(door.browsers["viewer"], row, {}).status_code) == (
            row,
            403 if shut else 204,
        )
        assert (row, ask(door.browsers["admin"], row, {}).status_code) == (row, 204)


SHEETS = [row for row in ROUTES if ASKS[row] in ("sheet", "sheet-edit")]


@pytest.mark.parametrize("row", SHEETS)
def test_a_rule_sheet_is_read_with_its_routines_and_changed_by_whose_it_is(door, row):
    changes = ASKS[row] == "sheet-edit"
    got = {name: ask(each, row, door.ids).status_code for name, each in door.browsers.items()}
    assert got["owner"] == 204
    assert {got[name] for name in STANDINGS if name != "owner"} == {403 if changes else 204}
    assert {got[name] for name in OUTSIDE} == {404}


def test_the_rule_sheet_of_the_app_is_everybodys_to_read_and_the_admins_to_change(door):
    of_the_app = door.ids | {"sheet_id": "rules-house"}
    for row in SHEETS:
        changes = ASKS[row] == "sheet-edit"
        assert ask(door.browsers["admin"], row, of_the_app).status_code == 204
        status = ask(door.browsers["stranger"], row, of_the_app).status_code
        assert (row, status) == (row, 403 if changes else 204)


@pytest.mark.parametrize("row", [row for row in ROUTES if ASKS[row] in ("team", "lead")])
def test_a_team_is_only_for_those_in_it(door, row):
    assert ask(door.browsers["owner"], row, door.ids).status_code == 204
    assert ask(door.browsers["coach"], row, door.ids).status_code == 404
    assert ask(door.browsers["coach"], row, {}).status_code == 404
