"""A run that a device began while the server was away is made by its start."""

from dataclasses import replace

import pytest

from server.domain.errors import InvalidInput, NotFound
from server.store.runs import append_events, create_run, delete_run, list_runs, load_run
from tests.factories import NOW_MS, RULES, make_events

OWN = "begun-on-the-tablet"


@pytest.fixture
def origin_id(session, routine):
    return create_run(session, routine, RULES, NOW_MS)


def begun(origin_id):
    start, *others = make_events({"s1": 61}, total_s=120)
    return (replace(start, from_run=origin_id), *others)


def test_its_start_makes_the_run_by_the_plan_it_names(session, origin_id, routine):
    append_events(session, OWN, begun(origin_id), NOW_MS)
    run, origin = load_run(session, OWN), load_run(session, origin_id)
    assert (run.plan, run.routine_id) == (origin.plan, routine.id)
    assert run.state.total_ms == 120_000
    assert OWN in {line.id for line in list_runs(session, routine.id)}


def test_its_marks_sent_again_make_no_second_run(session, origin_id, routine):
    for _ in range(2):
        append_events(session, OWN, begun(origin_id), NOW_MS)
    assert [line.id for line in list_runs(session, routine.id)].count(OWN) == 1


def test_a_run_that_was_deleted_meanwhile_still_lends_its_plan(session, origin_id):
    delete_run(session, origin_id, NOW_MS)
    append_events(session, OWN, begun(origin_id), NOW_MS)
    assert not load_run(session, OWN).deleted


def test_a_start_that_names_no_known_run_makes_none(session):
    with pytest.raises(NotFound):
        append_events(session, OWN, begun("nobody"), NOW_MS)


def test_marks_without_their_start_make_no_run(session, origin_id):
    with pytest.raises(NotFound):
        append_events(session, OWN, begun(origin_id)[1:], NOW_MS)


@pytest.mark.parametrize("run_id", ["a b", "../etc", "<i>", "é", "x" * 65])
def test_an_id_that_is_none_is_refused(session, origin_id, run_id):
    with pytest.raises(InvalidInput):
        append_events(session, run_id, begun(origin_id), NOW_MS)
