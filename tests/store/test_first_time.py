from dataclasses import replace

from server.demo import demo_file
from server.store.across_runs import tally_runs
from server.store.first_time import furnish
from server.store.routines import delete_routine, list_routines
from server.store.rule_sheets import delete_rule_sheet, list_rule_sheets, save_rule_sheet
from tests.factories import NOW_MS

DEMO = demo_file()


def undated(routines):
    """Routines without the hour on stage, which the demo is given when it is made."""
    return [
        replace(
            each, preparation=replace(each.preparation, journey=DEMO.routine.preparation.journey)
        )
        for each in routines
    ]


def names(routines):
    return [routine.name for routine in routines]


def test_a_new_database_starts_with_the_demo_and_its_runs(session):
    furnish(session, NOW_MS, demo=True)
    assert undated(list_routines(session)) == [DEMO.routine]
    assert list_rule_sheets(session) == [DEMO.rules]
    tally = tally_runs(session, [DEMO.routine.id])[DEMO.routine.id]
    assert tally.counted + tally.others == 12


def test_without_the_demo_there_is_still_a_rule_sheet_to_start_from(session):
    furnish(session, NOW_MS, demo=False)
    assert list_routines(session) == []
    assert list_rule_sheets(session) == [DEMO.rules]


def test_a_second_start_changes_nothing(session):
    furnish(session, NOW_MS, demo=True)
    furnish(session, NOW_MS + 1, demo=True)
    assert undated(list_routines(session)) == [DEMO.routine]
    assert list_rule_sheets(session) == [DEMO.rules]


def test_a_deleted_demo_does_not_come_back(session):
    furnish(session, NOW_MS, demo=True)
    delete_routine(session, DEMO.routine.id, NOW_MS)
    furnish(session, NOW_MS, demo=True)
    assert list_routines(session) == []


def test_a_deleted_rule_sheet_does_not_come_back(session):
    furnish(session, NOW_MS, demo=False)
    delete_rule_sheet(session, DEMO.rules.id, NOW_MS)
    furnish(session, NOW_MS, demo=False)
    assert list_rule_sheets(session) == []


def test_the_demo_can_be_asked_for_later(session):
    furnish(session, NOW_MS, demo=False)
    furnish(session, NOW_MS, demo=True)
    assert names(list_routines(session)) == [DEMO.routine.name]


def test_the_demo_leaves_a_rule_sheet_alone_that_was_changed(session):
    furnish(session, NOW_MS, demo=False)
    ours = replace(DEMO.rules, name="Ours", grace_s=5.0)
    save_rule_sheet(session, ours)
    furnish(session, NOW_MS, demo=True)
    assert ours in list_rule_sheets(session)
    assert len(list_rule_sheets(session)) == 2
