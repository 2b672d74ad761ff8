from dataclasses import replace

import pytest
from hypothesis import given, settings

from server.demo import demo_file
from server.domain.base.errors import NotFound
from server.domain.drift.goals import Goal
from server.domain.prepare.ticks import Ticked
from server.domain.routine.plan import Plan
from server.domain.routine.preparing import NOTHING_PREPARED
from server.domain.runs.labels import Occasion
from server.domain.whole.routine_file import RoutineFile, parse_file
from server.store.annotating import delete_run
from server.store.database import Database
from server.store.files import import_file
from server.store.packing import pack_anew, pack_as_before, tick, ticks_of
from server.store.routines import delete_routine, list_routines, load_routine
from server.store.rule_sheets import (
    delete_rule_sheet,
    list_rule_sheets,
    load_rule_sheet,
    save_rule_sheet,
)
from server.store.runs import freeze_plan, list_runs, load_run
from tests.domain.drawn import WHOLE, drawn
from tests.exported import export_file, write_file
from tests.factories import NOW_MS, RULES, make_events, make_file, make_process, make_routine
from tests.laws import ON_ONE_FOLDER


def without_keys(file):
    """The file with each run beside its plan: keys of plans and order are of no account.

    What is prepared is the routine's alone: no plan freezes it.
    """
    runs = {
        run.id: (replace(run, plan_key=""), unprepared(file.plans[run.plan_key]))
        for run in file.runs
    }
    return (file.routine, file.rules, file.goal, runs)


def unprepared(plan):
    return replace(plan, routine=replace(plan.routine, preparation=NOTHING_PREPARED))


def with_keys_of(file, keys):
    return replace(
        file,
        plans={keys[key]: plan for key, plan in file.plans.items()},
        runs=tuple(replace(run, plan_key=keys[run.plan_key]) for run in file.runs),
    )


@pytest.fixture
def elsewhere(tmp_path):
    """A session of another database, empty."""
    database = Database(tmp_path / "elsewhere.db")
    database.migrate()
    with database.writing() as session:
        yield session
    database.close()


# Out and in again


def test_a_routine_with_its_runs_comes_back_equal_in_an_empty_database(session, elsewhere):
    import_file(session, demo_file(), NOW_MS)
    first = export_file(session, demo_file().routine.id)
    import_file(elsewhere, parse_file(write_file(first).encode()), NOW_MS + 1)
    again = export_file(elsewhere, first.routine.id)
    assert again == first
    assert write_file(again) == write_file(first)


def test_venue_tags_and_goal_come_back_from_a_file(session, elsewhere):
    file = make_file()
    occasion = Occasion("Back bar", ("alone", "dress rehearsal"))
    labelled = replace(
        file,
        runs=tuple(replace(run, occasion=occasion) for run in file.runs),
        goal=Goal(runs=2, low_s=570, high_s=595),
    )
    import_file(session, parse_file(write_file(labelled).encode()), NOW_MS)
    again = export_file(session, file.routine.id)
    assert again.goal == labelled.goal
    assert [run.occasion for run in again.runs] == [occasion]


def test_nothing_of_a_file_is_lost_on_its_way_in_and_out(session):
    file = demo_file()
    import_file(session, file, NOW_MS)
    exported = export_file(session, file.routine.id)
    assert (exported.routine, exported.rules) == (file.routine, file.rules)
    (key,) = exported.plans
    assert exported == with_keys_of(file, {"demo-plan": key})


def test_figures_are_the_same_after_the_way_out_and_in(session, elsewhere):
    import_file(session, demo_file(), NOW_MS)
    routine_id = demo_file().routine.id
    import_file(elsewhere, export_file(session, routine_id), NOW_MS)
    assert list_runs(elsewhere, routine_id) == list_runs(session, routine_id)


@settings(WHOLE, suppress_health_check=ON_ONE_FOLDER)
@given(drawn(RoutineFile))
def test_any_routine_goes_in_and_out_unchanged(session, file):
    with session.begin_nested() as attempt:
        import_file(session, file, NOW_MS)
        assert without_keys(export_file(session, file.routine.id)) == without_keys(file)
        attempt.rollback()
        session.expire_all()


def test_deleted_runs_do_not_go_out(session):
    file = make_file(runs=[make_events(total_s=600), make_events(total_s=590)])
    import_file(session, file, NOW_MS)
    delete_run(session, "run1", NOW_MS)
    assert [run.id for run in export_file(session, "r1").runs] == ["run2"]


def test_a_deleted_routine_can_still_be_taken_out(session):
    import_file(session, make_file(), NOW_MS)
    delete_routine(session, "r1", NOW_MS)
    assert export_file(session, "r1").routine == make_routine()


def test_an_unknown_routine_is_not_found(session):
    with pytest.raises(NotFound):
        export_file(session, "nobody")


def test_runs_of_one_plan_go_out_with_it_once(session):
    file = make_file(runs=[make_events(total_s=600), make_events(total_s=590)])
    import_file(session, file, NOW_MS)
    exported = export_file(session, "r1")
    assert len(exported.plans) == 1
    assert list(exported.plans.values()) == list(file.plans.values())


# In where it is already


@pytest.fixture
def twice(session):
    """The first routine and the second, from one file."""
    routine = make_routine(processes=(make_process(before="s3"),))
    file = make_file(
        routine=routine,
        runs=[make_events({"s1": 61, "s2": 130}, ready_s={"p1": 150}, total_s=180)],
    )
    first = import_file(session, file, NOW_MS)
    return first, import_file(session, file, NOW_MS)


def ids_of(routine):
    parts = (*routine.segments, *routine.processes, *routine.drinks)
    return {routine.id, *(part.id for part in parts)}


def test_a_second_import_is_a_second_routine_with_ids_of_its_own(session, twice):
    first, second = twice
    assert not ids_of(first) & ids_of(second)
    assert {routine.id for routine in list_routines(session)} == {first.id, second.id}
    assert load_routine(session, first.id).routine == first


def test_a_second_import_is_called_a_copy_where_the_first_is_still_seen(session, twice):
    first, second = twice
    assert second.name == f"{first.name} (copy)"
    assert import_file(session, make_file(), NOW_MS).name == f"{first.name} (copy 2)"
    delete_routine(session, first.id, NOW_MS)
    assert import_file(session, make_file(), NOW_MS).name == first.name


def test_runs_of_a_second_import_still_match_its_segments(session, twice):
    _, second = twice
    (line,) = list_runs(session, second.id)
    first_id, second_id, third_id = (segment.id for segment in second.segments)
    assert line.summary.splits_ms == {first_id: 61_000, second_id: 69_000, third_id: 50_000}
    assert line.summary.missed == (second.processes[0].id,)
    assert load_run(session, line.id).plan.routine == second


def test_a_second_import_leaves_the_runs_of_the_first_alone(session, twice):
    first, second = twice
    (old,), (new,) = list_runs(session, first.id), list_runs(session, second.id)
    assert old.id == "run1" != new.id
    assert old.summary.splits_ms == {"s1": 61_000, "s2": 69_000, "s3": 50_000}


def test_a_second_import_shares_the_rule_sheet(session, twice):
    assert {routine.rule_sheet_id for routine in twice} == {"rules"}
    assert list_rule_sheets(session) == [RULES]


def test_an_import_of_a_deleted_routine_is_a_second_one(session):
    import_file(session, make_file(), NOW_MS)
    delete_routine(session, "r1", NOW_MS)
    second = import_file(session, make_file(), NOW_MS)
    assert [routine.id for routine in list_routines(session)] == [second.id]
    assert second.id != "r1"


def test_runs_that_are_here_under_another_routine_get_ids_of_their_own(session):
    import_file(session, make_file(), NOW_MS)
    other = import_file(session, make_file(routine=make_routine(routine_id="r2")), NOW_MS)
    assert [line.id for line in list_runs(session, "r1")] == ["run1"]
    (line,) = list_runs(session, other.id)
    assert (line.label, line.total_ms) == ("Run 1", 180_000)


# Rule sheets


def test_a_rule_sheet_that_is_here_with_other_content_is_left_alone(session):
    ours = replace(RULES, slot_s=900, target_s=880)
    save_rule_sheet(session, ours)
    routine = import_file(session, make_file(), NOW_MS)
    assert load_rule_sheet(session, "rules") == ours
    assert routine.rule_sheet_id != "rules"
    assert load_rule_sheet(session, routine.rule_sheet_id) == replace(
        RULES, id=routine.rule_sheet_id
    )


def test_a_routine_is_put_under_the_rule_sheet_it_came_with(session):
    stray = make_file(routine=make_routine(rule_sheet_id="nobody"))
    assert import_file(session, stray, NOW_MS).rule_sheet_id == "rules"


def test_a_run_keeps_the_rules_it_was_run_under(session):
    earlier = replace(RULES, slot_s=480, target_s=470)
    file = make_file()
    file = replace(file, plans={"k": Plan(file.routine, earlier)})
    import_file(session, file, NOW_MS)
    assert load_run(session, "run1").plan.rules == earlier


def test_an_equal_rule_sheet_that_was_deleted_comes_back(session):
    save_rule_sheet(session, RULES)
    delete_rule_sheet(session, "rules", NOW_MS)
    import_file(session, make_file(), NOW_MS)
    assert list_rule_sheets(session) == [RULES]


def test_a_plan_that_is_here_already_is_kept_once(session):
    file = make_file()
    key = freeze_plan(session, file.plans["k"])
    import_file(session, file, NOW_MS)
    assert load_run(session, "run1").record.plan_key == key


def test_what_was_remarked_of_a_second_copy_speaks_of_its_own_drinks_and_criteria(session):
    file = demo_file()
    import_file(session, file, NOW_MS)
    again = import_file(session, file, NOW_MS)
    runs = export_file(session, again.id).runs
    events = [event for run in runs for event in run.events]
    drinks = {drink.id for drink in again.drinks}
    assert {event.claim.split(":")[0] for event in events if event.claim} <= drinks
    criteria = {each.id for each in load_rule_sheet(session, again.rule_sheet_id).criteria}
    assert {event.criterion for event in events if event.criterion} == criteria
    assert len(list_rule_sheets(session)) == 1


def test_what_is_packed_and_made_leaves_with_the_file_and_comes_back(session):
    file = demo_file()
    made = import_file(session, file, NOW_MS)
    thing, task = made.preparation.things[0], made.preparation.tasks[0]
    for occasion, key in (("event", f"own:{thing.id}"), ("home", "tool:jug"), ("made", task.id)):
        tick(session, made.id, occasion, key, packed=True, said_ms=NOW_MS, amount="2")
    pack_anew(session, made.id, "home", NOW_MS)
    sent = export_file(session, made.id)
    again = import_file(session, parse_file(write_file(sent).encode()), NOW_MS)
    # The second one has ids of its own, and what is ticked follows them.
    (own, other) = again.preparation.things[0].id, again.preparation.tasks[0].id
    assert own != thing.id
    assert ticks_of(session, again.id, "event") == {f"own:{own}": Ticked(True, "2")}
    assert ticks_of(session, again.id, "made") == {other: Ticked(True, "2")}
    pack_as_before(session, again.id, "home", NOW_MS)
    assert ticks_of(session, again.id, "home") == {"tool:jug": Ticked(True, "2")}
