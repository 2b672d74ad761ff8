from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from sqlmodel import select

from server.domain.base.errors import Conflict, InvalidInput, NotFound
from server.domain.base.text import LINE
from server.store.routine_copies import copy_routine
from server.store.routines import (
    REVISIONS_KEPT,
    change_of,
    create_routine,
    delete_routine,
    edit_routine,
    list_routines,
    load_routine,
    move_routine,
    redo_edit,
    restore_routine,
    undo_edit,
)
from server.store.runs import create_run, list_runs
from server.store.tables import RevisionRow
from tests.domain.strategies import routines
from tests.factories import NOW_MS, RULES, make_process, make_routine
from tests.laws import ON_ONE_FOLDER

SHARED = hypothesis_settings(suppress_health_check=ON_ONE_FOLDER)


def rename(session, name, routine_id="r1"):
    edit_routine(session, routine_id, lambda old: replace(old, name=name), name, NOW_MS)


def name_of(session, routine_id="r1"):
    return load_routine(session, routine_id).routine.name


def listed(session, **which):
    return [routine.id for routine in list_routines(session, **which)]


# Keeping


@SHARED
@given(routines())
def test_a_routine_comes_back_as_it_was_kept(session, kept):
    with session.begin_nested() as attempt:
        create_routine(session, kept, NOW_MS)
        session.flush()
        session.expire_all()
        assert load_routine(session, kept.id).routine == kept
        attempt.rollback()


def test_an_id_is_taken_once(session, routine):
    with pytest.raises(Conflict):
        create_routine(session, routine, NOW_MS)


def test_an_unknown_id_is_not_found(session):
    for ask in (load_routine, change_of, restore_routine, undo_edit, redo_edit):
        with pytest.raises(NotFound):
            ask(session, "nobody")


def test_an_edit_that_the_routine_refuses_leaves_it_as_it_was(session, routine):
    with pytest.raises(InvalidInput):
        rename(session, " ")
    assert load_routine(session, "r1").routine == routine


def test_an_edit_that_changes_nothing_leaves_no_trace(session, routine):
    before = change_of(session, "r1")
    rename(session, routine.name)
    assert change_of(session, "r1") == before
    assert load_routine(session, "r1").undo_label is None


# Undo and redo


def test_a_new_routine_has_nothing_to_undo_or_do_again(session, routine):
    stored = load_routine(session, "r1")
    assert (stored.undo_label, stored.redo_label) == (None, None)
    with pytest.raises(Conflict, match="nothing to undo"):
        undo_edit(session, "r1")
    with pytest.raises(Conflict, match="nothing to do again"):
        redo_edit(session, "r1")


def test_undo_goes_back_edit_by_edit_and_redo_forward_again(session, routine):
    rename(session, "one")
    rename(session, "two")
    undo_edit(session, "r1")
    assert name_of(session) == "one"
    undo_edit(session, "r1")
    assert load_routine(session, "r1").routine == routine
    redo_edit(session, "r1")
    redo_edit(session, "r1")
    assert name_of(session) == "two"


def test_the_labels_say_what_would_be_undone_and_done_again(session, routine):
    rename(session, "one")
    rename(session, "two")
    undo_edit(session, "r1")
    stored = load_routine(session, "r1")
    assert (stored.undo_label, stored.redo_label) == ("one", "two")


def test_an_edit_after_an_undo_drops_what_was_undone(session, routine):
    for name in ("one", "two", "three"):
        rename(session, name)
    undo_edit(session, "r1")
    undo_edit(session, "r1")
    rename(session, "other")
    assert load_routine(session, "r1").redo_label is None
    undo_edit(session, "r1")
    assert name_of(session) == "one"


def test_old_revisions_are_dropped_and_the_rest_can_be_undone(session, routine):
    for number in range(REVISIONS_KEPT + 5):
        rename(session, f"edit {number}")
    kept = session.exec(select(RevisionRow.number)).all()
    assert len(kept) == REVISIONS_KEPT + 1
    for _ in range(REVISIONS_KEPT):
        undo_edit(session, "r1")
    assert name_of(session) == "edit 4"
    with pytest.raises(Conflict):
        undo_edit(session, "r1")


@SHARED
@given(st.lists(st.sampled_from(["undo", "redo", "a", "b", "c"]), max_size=25))
def test_the_pile_behaves_like_a_list_with_a_cursor(session, routine, steps):
    with session.begin_nested() as attempt:
        pile, head = [routine.name], 0
        for step in steps:
            if step in ("undo", "redo"):
                moved = head + (1 if step == "redo" else -1)
                if 0 <= moved < len(pile):
                    (redo_edit if step == "redo" else undo_edit)(session, "r1")
                    head = moved
            elif step != pile[head]:
                rename(session, step)
                pile, head = [*pile[: head + 1], step], head + 1
            assert name_of(session) == pile[head]
        attempt.rollback()
        session.expire_all()


def test_every_change_is_counted_so_that_kept_pages_are_made_anew(session, routine):
    counts = [change_of(session, "r1")]
    rename(session, "one")
    counts.append(change_of(session, "r1"))
    undo_edit(session, "r1")
    counts.append(change_of(session, "r1"))
    redo_edit(session, "r1")
    counts.append(change_of(session, "r1"))
    assert counts == sorted(set(counts))


# Copying


def test_a_copy_has_the_plan_under_ids_of_its_own_and_no_runs(session, routine):
    original = replace(routine, processes=(make_process(),))
    edit_routine(session, "r1", lambda _: original, "added a process", NOW_MS)
    create_run(session, original, RULES, NOW_MS)
    copy = copy_routine(session, "r1", NOW_MS)
    assert [part.name for part in copy.segments] == [part.name for part in original.segments]
    old, new = {part.id for part in original.segments}, {part.id for part in copy.segments}
    assert not old & new
    assert copy.processes[0].after_segment_id == copy.segments[0].id
    assert list_runs(session, copy.id) == []


def test_a_copy_stands_on_top_under_a_free_name(session, routine):
    first = copy_routine(session, "r1", NOW_MS)
    second = copy_routine(session, "r1", NOW_MS)
    assert [first.name, second.name] == ["Low tide (copy)", "Low tide (copy 2)"]
    assert listed(session) == [second.id, first.id, "r1"]


def test_a_copy_of_a_long_name_still_fits(session, routine):
    rename(session, "x" * LINE)
    assert len(copy_routine(session, "r1", NOW_MS).name) <= LINE


def test_editing_a_copy_leaves_the_original_alone(session, routine):
    copy = copy_routine(session, "r1", NOW_MS)
    rename(session, "changed", copy.id)
    assert load_routine(session, "r1").routine == routine


# Order, delete, restore


@pytest.fixture
def three(session):
    for routine_id in ("c", "b", "a"):
        create_routine(session, make_routine(routine_id=routine_id), NOW_MS)


def test_a_new_routine_stands_on_top(session, three):
    assert listed(session) == ["a", "b", "c"]


@pytest.mark.parametrize(
    ("moved", "to", "order"),
    [("a", 1, "bac"), ("a", 2, "bca"), ("c", 0, "cab"), ("b", 99, "acb"), ("b", 1, "abc")],
)
def test_a_routine_is_moved_to_a_place_in_the_list(session, three, moved, to, order):
    move_routine(session, moved, to)
    assert listed(session) == list(order)


def test_a_deleted_routine_leaves_the_list_and_can_still_be_opened(session, three):
    delete_routine(session, "b", NOW_MS)
    assert listed(session) == ["a", "c"]
    assert listed(session, deleted=True) == ["b"]
    assert load_routine(session, "b").deleted


def test_the_latest_deleted_comes_first(session, three):
    delete_routine(session, "b", NOW_MS)
    delete_routine(session, "a", NOW_MS + 1)
    assert listed(session, deleted=True) == ["a", "b"]


def test_a_restored_routine_stands_where_it_was(session, three):
    delete_routine(session, "b", NOW_MS)
    restore_routine(session, "b")
    assert listed(session) == ["a", "b", "c"]
    assert not load_routine(session, "b").deleted


def test_a_restored_routine_stands_where_it_was_also_after_others_moved(session, three):
    delete_routine(session, "c", NOW_MS)
    move_routine(session, "b", 0)
    restore_routine(session, "c")
    assert listed(session) == ["b", "a", "c"]


def test_a_restored_routine_has_its_history_and_its_runs(session, routine):
    rename(session, "one")
    create_run(session, routine, RULES, NOW_MS)
    delete_routine(session, "r1", NOW_MS)
    restore_routine(session, "r1")
    assert load_routine(session, "r1").undo_label == "one"
    assert len(list_runs(session, "r1")) == 1


def test_a_deleted_routine_has_no_place_to_be_moved_to(session, three):
    delete_routine(session, "b", NOW_MS)
    with pytest.raises(Conflict, match="deleted"):
        move_routine(session, "b", 0)
