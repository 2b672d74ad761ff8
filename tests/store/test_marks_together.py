"""Marks of many runs appended at once come to the same as each by itself."""

from dataclasses import replace

import pytest
from sqlalchemy import event, text

from server.domain.base.errors import NotFound
from server.domain.whole.exchange import to_json
from server.store import foldings
from server.store.annotating import delete_run
from server.store.devices import keep_names, names_of
from server.store.grouped import GroupedWriter
from server.store.marks_together import Sent, append_together
from server.store.routines import change_of, create_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import append_events, create_run, list_runs, load_run
from tests.engines import on_both, only_sqlite
from tests.factories import NOW_MS, RULES, make_event, make_events, make_routine
from tests.store.test_grouped import together

pytestmark = on_both

RUNS = 6
LOG = make_events({"s1": 61, "s2": 118, "s3": 180}, total_s=180)


@pytest.fixture
def runs(database):
    """Open runs of one routine."""
    with database.writing() as session:
        save_rule_sheet(session, RULES)
        create_routine(session, make_routine(), NOW_MS)
        return [create_run(session, make_routine(), RULES, NOW_MS) for _ in range(RUNS)]


def send(database, run_ids, *events, **who):
    with database.writing() as session:
        sent = [Sent(run_id, events, NOW_MS, **who) for run_id in run_ids]
        return append_together(session, sent)


def lines(database):
    with database.reading() as session:
        return {line.id: line for line in list_runs(session, "r1")}


def test_appended_together_is_as_appended_alone(database, runs):
    *many, alone = runs
    for each in LOG:
        answers = send(database, many, each)
        with database.writing() as session:
            expected = append_events(session, alone, [each], NOW_MS)
        assert answers == [expected] * len(many)
    found = lines(database)
    assert found[alone].status == "finished"
    for run_id in many:
        assert found[run_id].summary == found[alone].summary
        assert found[run_id].total_ms == found[alone].total_ms


def test_all_that_arrived_is_told_in_the_order_of_arrival(database, runs):
    send(database, runs[:2], LOG[0])
    first, second = send(database, runs[:2], *LOG[1:3])
    assert [each.rev for each in (*first.arrived, *second.arrived)] == [3, 4, 5, 6]
    with database.reading() as session:
        assert load_run(session, runs[1]).record.events == LOG[:3]


def test_what_is_sent_again_is_left_to_be_appended_alone(database, runs):
    send(database, runs, LOG[0])
    again, fresh = send(database, runs[:1], LOG[0]) + send(database, runs[1:2], LOG[1])
    assert (again, fresh.accepted) == (None, (LOG[1].id,))
    assert send(database, runs[:1], LOG[1])[0].accepted == (LOG[1].id,)


def test_two_batches_for_one_run_are_left_to_be_appended_alone(database, runs):
    assert send(database, [runs[0], runs[0], runs[1]], LOG[0])[:2] == [None, None]
    with database.reading() as session:
        assert load_run(session, runs[0]).record.events == ()


def test_an_unknown_run_is_left_to_be_refused_alone(database, runs):
    unknown, known = send(database, ["nobody", runs[0]], LOG[0])
    assert unknown is None
    assert known.accepted == (LOG[0].id,)


def test_a_deleted_run_is_left_to_be_refused_alone(database, runs):
    with database.writing() as session:
        delete_run(session, runs[0], NOW_MS)
    deleted, standing = send(database, runs[:2], LOG[0])
    assert deleted is None
    assert standing.accepted == (LOG[0].id,)


def test_of_several_names_in_a_log_each_is_looked_at(database, runs):
    with database.writing() as session:
        for name, key in (("a", "mine"), (LOG[0].device_id, "theirs"), ("z", "mine")):
            keep_names(session, runs[0], [name], key)
    assert send(database, runs[:1], LOG[0], key="mine", keys=frozenset({"mine"})) == [None]


@only_sqlite
def test_of_all_runs_only_those_that_are_marked_are_looked_at(database, runs):
    asked = []

    def hear(_connection, _cursor, statement, parameters, _context, _many):
        asked.append((statement, parameters))

    with database.writing() as session:
        event.listen(session.connection(), "before_cursor_execute", hear)
        append_together(session, [Sent(run_id, (LOG[0],), NOW_MS) for run_id in runs])
        places = next(each for each in asked if each[0].startswith("SELECT run.id"))
        plan = session.connection().exec_driver_sql(f"EXPLAIN QUERY PLAN {places[0]}", places[1])
        steps = [step.detail for step in plan if " run " in step.detail]
    assert steps
    assert all("(id=?)" in step for step in steps)


def test_what_was_sent_for_many_routines_is_new_on_the_page_of_each(database):
    with database.writing() as session:
        save_rule_sheet(session, RULES)
        routines = [replace(make_routine(), id=f"r{n}") for n in range(3)]
        for each in routines:
            create_routine(session, each, NOW_MS)
        run_ids = [create_run(session, each, RULES, NOW_MS) for each in routines[:2]]
        before = [change_of(session, each.id) for each in routines]
    send(database, run_ids, LOG[0])
    with database.reading() as session:
        now = [change_of(session, each.id) for each in routines]
    assert [after - then for after, then in zip(now, before, strict=True)] == [1, 1, 0]


def test_a_name_of_another_device_is_left_to_be_refused_alone(database, runs):
    begun = make_event("e0", "start")
    with database.writing() as session:
        keep_names(session, runs[0], [begun.device_id], "theirs")
    assert send(database, runs[:1], begun, key="mine", keys=frozenset({"mine"})) == [None]
    assert send(database, runs[1:2], begun, key="mine", keys=frozenset({"mine"})) != [None]
    with database.reading() as session:
        assert names_of(session, runs[1], "mine") == {begun.device_id}


def test_what_another_writer_added_meanwhile_is_in_the_next_state(database, runs):
    send(database, runs, LOG[0])
    with database.writing() as session:
        rows = text("INSERT INTO event (run_id, id, received_ms, document) VALUES (:r, :i, 0, :d)")
        done = {"r": runs[0], "i": LOG[1].id, "d": to_json(LOG[1])}
        session.connection().execute(rows, done)
    send(database, runs[:1], LOG[2])
    assert list(lines(database)[runs[0]].summary.ends_ms) == ["s1", "s2"]


def test_a_page_of_the_routine_is_new_after_marks_together(database, runs):
    with database.reading() as session:
        before = change_of(session, "r1")
    send(database, runs, LOG[0])
    with database.reading() as session:
        assert change_of(session, "r1") > before


def test_where_all_together_fail_each_is_made_alone(database, runs):
    def fail(session, asked):
        append_together(session, asked)
        raise OSError("no")

    def alone(run_id):
        return lambda session: append_events(session, run_id, [LOG[0]], NOW_MS)

    writer = GroupedWriter(database, fail)
    asked = [Sent(run_id, (LOG[0],), NOW_MS) for run_id in (*runs, "nobody")]
    futures = together(writer, [alone(each.run_id) for each in asked], asked)
    writer.close()
    assert [future.result(20).accepted for future in futures[:-1]] == [(LOG[0].id,)] * RUNS
    assert isinstance(futures[-1].exception(20), NotFound)


def test_logs_are_kept_up_to_so_many_events_in_all(database, runs, monkeypatch):
    monkeypatch.setattr(foldings, "MOST_EVENTS_KEPT", 5)
    send(database, runs[:4], LOG[0])
    send(database, runs[:2], LOG[1])
    send(database, runs[2:3], LOG[1])
    kept = foldings._kept[database.engine.writer]
    # The one that was marked longest ago went; two events each of three would be one too many.
    assert list(kept.logs) == runs[1:3]
    assert kept.events == sum(len(folding) for _, folding in kept.logs.values()) == 4
