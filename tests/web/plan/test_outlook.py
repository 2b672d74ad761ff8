"""The outlook is kept while nothing changes, and made anew when anything does."""

from dataclasses import replace

import pytest

from server.domain.belief import believe
from server.domain.belief.state import folded
from server.store.routines import edit_routine, load_routine, touch_routine
from server.web.plan.outlook import Outlooks
from tests.factories import NOW_MS, RULES, make_routine, make_segment
from tests.web.practice import practise
from tests.web.shelf import keep, keep_run


@pytest.fixture
def outlook(client):
    """The outlook of a kept routine as it stands at the moment of asking."""
    keep(client)

    def ask(rules=RULES):
        with client.app.state.database.reading() as session:
            stored = load_routine(session, "r1")
            return client.app.state.outlooks.of(session, stored, rules)

    return ask


def test_asked_twice_it_is_the_same(outlook):
    assert outlook() is outlook()


def test_what_is_not_of_its_making_leaves_it_as_it_was(client, outlook):
    keep_run(client)
    first = outlook()
    with client.app.state.database.writing() as session:
        before = load_routine(session, "r1").change
        touch_routine(session, "r1")
    with client.app.state.database.reading() as session:
        assert load_routine(session, "r1").change > before
    assert outlook() is first


def test_a_split_that_is_left_out_makes_it_anew(client, outlook):
    run_id = keep_run(client)
    first = outlook()
    client.post(f"/runs/{run_id}/splits/counting", data={"segment": "s1", "leave_out": "1"})
    assert (first.takes["s1"].runs, outlook().takes["s1"].runs) == (1, 0)


def test_an_edit_a_run_and_another_rule_sheet_make_it_anew(client, outlook):
    first = outlook()
    with client.app.state.database.writing() as session:
        longer = make_routine(segments=("s1", "s2", make_segment("s3", 90)))
        edit_routine(session, "r1", lambda _: longer, "longer", NOW_MS)
    second = outlook()
    keep_run(client)
    third = outlook()
    assert second.model.plan.finish_s == first.model.plan.finish_s + 30
    assert (second.model.beliefs["s1"].runs, third.model.beliefs["s1"].runs) == (0, 1)
    assert outlook(replace(RULES, slot_s=700)).rules.slot_s == 700


def test_a_new_run_is_folded_into_those_before_it(client, outlook, monkeypatch):
    practise(client, *[[61, 58, 63]] * 3, routine=make_routine())
    outlook()
    folds = []
    monkeypatch.setattr(
        believe, "folded", lambda state, run: folds.append(run.id) or folded(state, run)
    )
    new_id = keep_run(client)
    model = outlook().model
    assert (folds, model.beliefs["s1"].runs, outlook().untold) == ([new_id], 4, "")
    client.app.state.outlooks = Outlooks(clock_ms=lambda: NOW_MS)
    assert outlook().model.told == model.told


def test_while_nothing_changes_a_held_block_reads_no_plan_again(client, outlook, monkeypatch):
    outlook()
    monkeypatch.setattr("server.web.plan.outlook.load_routine", None)
    held = "/routines/r1/plan/held?segment=s1&span=600&seconds=5"
    before = client.get(held).json()["figures"]["finish:r1"]
    monkeypatch.undo()
    practise(client, *[[90, 90, 90]] * 3, routine=make_routine())
    assert client.get(held).json()["figures"]["finish:r1"] != before


def test_a_change_is_judged_as_it_will_be_once_it_is_saved(client, outlook):
    keep_run(client)
    longer = make_routine(segments=("s1", "s2", make_segment("s3", 90)))
    tried = outlook().changed(longer)
    with client.app.state.database.writing() as session:
        edit_routine(session, "r1", lambda _: longer, "longer", NOW_MS)
    saved = outlook().model
    assert tried.beliefs == saved.beliefs
    assert tried.rows == saved.rows


def test_each_segment_keeps_its_luck_in_another_order(outlook):
    turned = outlook().changed(make_routine(segments=("s3", "s1", "s2")))
    assert turned.rows == outlook().model.rows


def test_only_so_many_are_kept(client):
    outlooks = Outlooks(most=1)
    keep(client)
    keep(client, make_routine(routine_id="r2"))
    with client.app.state.database.reading() as session:
        one, other = (load_routine(session, each) for each in ("r1", "r2"))
        first = outlooks.of(session, one, RULES)
        outlooks.of(session, other, RULES)
        assert outlooks.of(session, one, RULES) is not first
