from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings

from server.domain.base.errors import Conflict, NotFound
from server.store.routines import (
    change_of,
    create_routine,
    delete_routine,
    edit_routine,
    restore_routine,
)
from server.store.rule_sheets import (
    delete_rule_sheet,
    list_rule_sheets,
    load_rule_sheet,
    restore_rule_sheet,
    save_rule_sheet,
)
from tests.domain.strategies import rule_sheets
from tests.factories import NOW_MS, RULES, make_routine
from tests.laws import ON_ONE_FOLDER

OTHER = replace(RULES, id="other", name="Another house")


@hypothesis_settings(suppress_health_check=ON_ONE_FOLDER)
@given(rule_sheets())
def test_a_rule_sheet_comes_back_as_it_was_kept(session, sheet):
    save_rule_sheet(session, sheet)
    assert load_rule_sheet(session, sheet.id) == sheet


def test_sheets_are_listed_by_name(session):
    for sheet in (RULES, OTHER):
        save_rule_sheet(session, sheet)
    assert list_rule_sheets(session) == [OTHER, RULES]


def test_a_changed_sheet_takes_the_place_of_the_old(session):
    save_rule_sheet(session, RULES)
    save_rule_sheet(session, replace(RULES, slot_s=900))
    assert [sheet.slot_s for sheet in list_rule_sheets(session)] == [900]


def test_a_sheet_in_use_refuses_to_be_deleted_and_names_its_users(session, routine):
    create_routine(session, make_routine(routine_id="r2", name="High tide"), NOW_MS)
    with pytest.raises(Conflict, match="used by “High tide”, “Low tide”"):
        delete_rule_sheet(session, "rules", NOW_MS)
    assert list_rule_sheets(session) == [RULES]


def test_a_sheet_is_free_once_no_routine_uses_it(session, routine):
    save_rule_sheet(session, OTHER)
    edit_routine(session, "r1", lambda old: replace(old, rule_sheet_id="other"), "rules", NOW_MS)
    delete_rule_sheet(session, "rules", NOW_MS)
    assert list_rule_sheets(session) == [OTHER]


def test_a_deleted_routine_holds_no_sheet_back_and_still_shows_it_when_restored(session, routine):
    delete_routine(session, "r1", NOW_MS)
    delete_rule_sheet(session, "rules", NOW_MS)
    restore_routine(session, "r1")
    assert list_rule_sheets(session) == []
    assert load_rule_sheet(session, "rules") == RULES


def test_a_deleted_sheet_can_be_brought_back(session):
    save_rule_sheet(session, RULES)
    delete_rule_sheet(session, "rules", NOW_MS)
    restore_rule_sheet(session, "rules")
    assert list_rule_sheets(session) == [RULES]


def test_a_changed_sheet_changes_every_routine_under_it_and_no_other(session, routine):
    save_rule_sheet(session, OTHER)
    create_routine(session, make_routine(routine_id="r2", rule_sheet_id="other"), NOW_MS)
    before = change_of(session, "r1"), change_of(session, "r2")
    save_rule_sheet(session, replace(RULES, slot_s=900))
    assert (change_of(session, "r1"), change_of(session, "r2")) == (before[0] + 1, before[1])


def test_a_changed_sheet_changes_deleted_routines_too(session, routine):
    delete_routine(session, "r1", NOW_MS)
    before = change_of(session, "r1")
    save_rule_sheet(session, replace(RULES, slot_s=900))
    assert change_of(session, "r1") > before


def test_an_unknown_sheet_is_not_found(session):
    for ask in (load_rule_sheet, restore_rule_sheet):
        with pytest.raises(NotFound):
            ask(session, "nobody")
    with pytest.raises(NotFound):
        delete_rule_sheet(session, "nobody", NOW_MS)
