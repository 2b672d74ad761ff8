"""Who stands how to a routine, by themselves and by their teams; somebody always owns it."""

import pytest

from server.demo import demo_file
from server.domain.base.errors import Conflict
from server.domain.base.standings import GRANTS
from server.store.people.persons import end_person, make_person
from server.store.routines import create_routine, load_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.sharing.house import households
from server.store.sharing.shares import (
    give_share,
    grants_on,
    hand_on,
    routines_for,
    sharers_of,
    take_share,
)
from server.store.sharing.sheets import sheets_of_the_app, sheets_to_change, sheets_to_read
from server.store.sharing.taking_over import SHEET_OF_THE_APP
from server.store.sharing.teams import (
    dissolve_team,
    give_to_team,
    make_team,
    put_member,
    take_member,
)
from tests.factories import NOW_MS, RULES, make_routine


@pytest.fixture
def before(session):
    """What was made before anybody had an account."""
    save_rule_sheet(session, demo_file().rules)
    save_rule_sheet(session, RULES)
    create_routine(session, make_routine(), NOW_MS)


@pytest.fixture
def ada(session, before):
    return make_person(session, "Ada", "ada", NOW_MS)


@pytest.fixture
def bea(session, ada):
    return make_person(session, "Bea", "bea", NOW_MS)


def test_the_first_person_owns_what_was_made_without_accounts(session, ada, bea):
    assert grants_on(session, ada.id, "r1") == GRANTS["owner"]
    assert sheets_to_change(session, ada.id) == {RULES.id}
    assert (grants_on(session, bea.id, "r1"), sheets_to_change(session, bea.id)) == (set(), set())


def test_the_rule_sheet_of_the_app_stays_everybodys_to_read(session, ada, bea):
    assert demo_file().rules.id == SHEET_OF_THE_APP
    assert sheets_of_the_app(session) == sheets_to_read(session, bea.id, ()) == {SHEET_OF_THE_APP}


def test_somebody_always_owns_a_routine(session, ada, bea):
    give_share(session, "r1", bea.id, "coach", NOW_MS)
    for give_up in (
        lambda: take_share(session, "r1", ada.id),
        lambda: give_share(session, "r1", ada.id, "viewer", NOW_MS),
    ):
        with pytest.raises(Conflict):
            give_up()
    hand_on(session, "r1", ada.id, bea.id, NOW_MS)
    assert [(x.name, x.standing) for x in sharers_of(session, "r1")] == [
        ("Bea", "owner"),
        ("Ada", "copresenter"),
    ]


def test_an_owner_whose_account_is_ended_is_none(session, ada, bea):
    give_share(session, "r1", bea.id, "owner", NOW_MS)
    end_person(session, bea.id, NOW_MS)
    with pytest.raises(Conflict):
        take_share(session, "r1", ada.id)


def test_only_a_coach_is_let_hear_by_a_tick(session, ada, bea):
    give_share(session, "r1", bea.id, "coach", NOW_MS, hears=True)
    assert "hear" in grants_on(session, bea.id, "r1")
    give_share(session, "r1", bea.id, "viewer", NOW_MS, hears=True)
    assert "hear" not in grants_on(session, bea.id, "r1")


def test_a_team_owns_through_whoever_leads_it(session, ada, bea):
    team_id = make_team(session, "Tide", ada.id, NOW_MS)
    give_to_team(session, "r1", team_id, "viewer")
    put_member(session, team_id, bea.id, leads=False)
    assert grants_on(session, bea.id, "r1") == GRANTS["viewer"]
    put_member(session, team_id, bea.id, leads=True)
    assert grants_on(session, bea.id, "r1") == GRANTS["owner"]
    take_share(session, "r1", ada.id)
    take_member(session, team_id, ada.id)
    assert routines_for(session, ada.id, "show") == set()


def test_a_team_keeps_one_who_leads_it(session, ada, bea):
    team_id = make_team(session, "Tide", ada.id, NOW_MS)
    put_member(session, team_id, bea.id, leads=False)
    for give_up in (
        lambda: take_member(session, team_id, ada.id),
        lambda: put_member(session, team_id, ada.id, leads=False),
    ):
        with pytest.raises(Conflict):
            give_up()


def test_what_a_dissolved_team_owned_is_of_whoever_dissolved_it(session, ada, bea):
    team_id = make_team(session, "Tide", bea.id, NOW_MS)
    give_to_team(session, "r1", team_id, "coach")
    put_member(session, team_id, ada.id, leads=False)
    dissolve_team(session, team_id, bea.id, NOW_MS)
    assert grants_on(session, bea.id, "r1") == GRANTS["owner"]
    assert load_routine(session, "r1").routine.name == "Low tide"


def test_the_house_counts_routines_and_names_none(session, ada, bea):
    told = households(session)
    assert [(each.name, each.routines, each.kept_bytes) for each in told] == [
        ("Ada", 1, 0),
        ("Bea", 0, 0),
    ]
    assert "Low tide" not in repr(told)
