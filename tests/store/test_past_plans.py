from dataclasses import replace

from server.store import past_plans as module
from server.store.annotating import delete_run
from server.store.past_plans import past_plans
from server.store.routines import create_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import create_run
from tests.factories import NOW_MS, RULES, make_routine, make_segment


def keep(session, *routines):
    save_rule_sheet(session, RULES)
    create_routine(session, routines[0], NOW_MS)
    return [create_run(session, routine, RULES, NOW_MS) for routine in routines]


def names(session):
    return {run: found.segments[0].name for run, found in past_plans(session, "r1").items()}


def test_each_run_finds_the_segments_of_its_own_plan(database):
    changed = replace(make_routine(), segments=(make_segment("s1", name="Pour"),))
    with database.writing() as session:
        first, second = keep(session, make_routine(), changed)
        assert names(session) == {first: "Segment s1", second: "Pour"}


def test_deleted_runs_have_no_past(database):
    with database.writing() as session:
        (run_id,) = keep(session, make_routine())
        delete_run(session, run_id, NOW_MS)
        assert past_plans(session, "r1") == {}


def test_more_plans_than_are_kept_are_read_again(database, monkeypatch):
    monkeypatch.setattr(module, "PLANS_KEPT", 1)
    other = replace(make_routine(), segments=(make_segment("s1", name="Stir"),))
    with database.writing() as session:
        first, second = keep(session, make_routine(), other)
        assert names(session) == names(session) == {first: "Segment s1", second: "Stir"}
