import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from sqlmodel import func, select

from server.domain.base.errors import Gone, InvalidInput, NotFound
from server.domain.routine.plan import Plan
from server.domain.runs.counting import Tally
from server.domain.runs.events import MOST_EVENTS
from server.domain.runs.labels import NOTHING_SAID, Occasion
from server.domain.runs.run import fold, outline_of
from server.domain.runs.summary import RunSummary, summarise
from server.domain.whole.exchange import RunRecord
from server.store.across_runs import list_occasions, tally_runs
from server.store.annotating import annotate_run, delete_run, exclude_run, restore_run, set_occasion
from server.store.incoming import lots
from server.store.plans import frame_of, freeze_plan
from server.store.routines import change_of, create_routine, edit_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.run_logs import derive_again
from server.store.runs import (
    Appended,
    append_events,
    create_run,
    list_runs,
    load_run,
    segment_names,
)
from server.store.tables import EventRow, PlanRow
from tests.domain.run_logs import PROCESSES, SEGMENTS, events_from, random_log
from tests.factories import NOW_MS, RULES, make_event, make_events, make_process, make_routine
from tests.laws import ON_ONE_FOLDER

SHARED = hypothesis_settings(suppress_health_check=ON_ONE_FOLDER)

STAGED = make_routine(
    segments=SEGMENTS,
    processes=tuple(
        make_process(process_id=link.id, after=link.after_segment_id, before=link.before_segment_id)
        for link in PROCESSES
    ),
)


@pytest.fixture
def run_id(session, routine):
    return create_run(session, routine, RULES, NOW_MS)


@pytest.fixture
def kept_run(database):
    """A run that later transactions find."""
    with database.writing() as session:
        save_rule_sheet(session, RULES)
        create_routine(session, make_routine(), NOW_MS)
        return create_run(session, make_routine(), RULES, NOW_MS)


def line_of(session, run_id, routine_id="r1"):
    (line,) = [line for line in list_runs(session, routine_id) if line.id == run_id]
    return line


def batches_of(log, rng):
    """The log out of order, in pieces, some of them twice."""
    shuffled = rng.sample(log, len(log))
    pieces = []
    while shuffled:
        size = rng.randint(1, len(shuffled))
        pieces.append(shuffled[:size])
        shuffled = shuffled[size:]
    pieces += [rng.sample(log, rng.randint(1, len(log))) for _ in range(rng.randint(0, 3))]
    return rng.sample(pieces, len(pieces))


# Appending


def test_a_new_run_waits_and_has_no_times(session, run_id):
    line = line_of(session, run_id)
    assert (line.status, line.total_ms, line.summary.ends_ms) == ("waiting", None, {})


def test_appended_events_are_kept_as_they_were_sent(session, run_id):
    events = make_events({"s1": 61.5}, total_s=180.25)
    assert append_events(session, run_id, events, NOW_MS) == Appended(
        tuple(event.id for event in events), ()
    )
    assert load_run(session, run_id).record.events == events
    assert load_run(session, run_id).record.events == events


def test_appending_twice_is_appending_once(session, run_id):
    events = make_events({"s1": 61.5}, total_s=180.25)
    first = append_events(session, run_id, events, NOW_MS)
    after = line_of(session, run_id), change_of(session, "r1")
    assert append_events(session, run_id, events, NOW_MS + 5) == first
    assert (line_of(session, run_id), change_of(session, "r1")) == after
    assert len(load_run(session, run_id).record.events) == len(events)


@SHARED
@given(st.integers(0, 100_000))
def test_any_order_splitting_and_doubling_of_batches_gives_the_same_run(session, seed):
    rng = random.Random(seed)
    log = events_from(random_log(seed))
    if len({event.id for event in log}) == 0:
        return
    unique = list({event.id: event for event in log}.values())
    with session.begin_nested() as attempt:
        create_routine(session, STAGED, NOW_MS)
        run_id = create_run(session, STAGED, RULES, NOW_MS)
        for batch in batches_of(unique, rng):
            append_events(session, run_id, batch, NOW_MS)
        outline = outline_of(STAGED)
        state = fold(unique, outline)
        line = line_of(session, run_id)
        assert line.summary == summarise(state, outline)
        assert (line.status, line.total_ms) == (state.status, state.total_ms)
        assert load_run(session, run_id).state == state
        attempt.rollback()
        session.expire_all()


def test_an_event_sent_again_with_other_content_is_reported_and_the_first_stands(session, run_id):
    first = make_event("e1", "note", text="first")
    append_events(session, run_id, [first], NOW_MS)
    other = [replace(first, text="second"), make_event("e2", "note", text="new")]
    appended = append_events(session, run_id, other, NOW_MS)
    assert appended == Appended(("e1", "e2"), ("e1",))
    assert load_run(session, run_id).record.events[0] == first


def test_the_first_stands_also_within_one_batch(session, run_id):
    first = make_event("e1", "note", text="first")
    appended = append_events(session, run_id, [first, replace(first, text="second")], NOW_MS)
    assert appended == Appended(("e1",), ("e1",))
    assert load_run(session, run_id).record.events == (first,)


def test_runs_may_hold_events_of_one_id(session, routine, run_id):
    other_id = create_run(session, routine, RULES, NOW_MS)
    for each, text in ((run_id, "one"), (other_id, "two")):
        append_events(session, each, [make_event("e1", "note", text=text)], NOW_MS)
    assert [event.text for event in load_run(session, other_id).record.events] == ["two"]


def notes(first, end):
    return [make_event(f"e{seq}", "note", seq=seq, text="x") for seq in range(first, end)]


def test_a_full_log_takes_no_more_but_acknowledges_what_it_has(session, run_id):
    append_events(session, run_id, notes(0, MOST_EVENTS), NOW_MS)
    with pytest.raises(InvalidInput, match="this one is full"):
        append_events(session, run_id, notes(MOST_EVENTS - 1, MOST_EVENTS + 1), NOW_MS)
    assert append_events(session, run_id, notes(0, 2), NOW_MS).accepted == ("e0", "e1")
    assert session.exec(select(func.count()).select_from(EventRow)).one() == MOST_EVENTS


def test_a_longer_log_from_a_file_is_taken_whole(session, routine):
    plan = Plan(routine, RULES)
    key = freeze_plan(session, plan)
    record = RunRecord("long", key, NOW_MS, events=tuple(notes(0, MOST_EVENTS + 1)))
    for lot in lots([record], "r1", {key: frame_of(plan)}, NOW_MS):
        lot.put(session)
    assert len(load_run(session, "long").record.events) == MOST_EVENTS + 1


def test_what_a_failed_write_added_is_not_remembered(database, kept_run):
    def fail():
        with database.writing() as session:
            append_events(session, kept_run, make_events({"s1": 60}), NOW_MS)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail()
    with database.writing() as session:
        append_events(session, kept_run, make_events(), NOW_MS)
        assert line_of(session, kept_run).summary.ends_ms == {}


def test_marks_of_one_write_after_the_other_add_up(database, kept_run):
    for event in make_events({"s1": 60, "s2": 120}, total_s=180):
        with database.writing() as session:
            append_events(session, kept_run, [event], NOW_MS)
    with database.reading() as session:
        assert line_of(session, kept_run).summary == RunSummary(
            {"s1": 60_000, "s2": 120_000, "s3": 180_000},
            {"s1": 60_000, "s2": 60_000, "s3": 60_000},
        )


def test_a_deleted_run_takes_nothing_more_but_keeps_what_it_had(session, run_id):
    events = make_events({"s1": 60}, total_s=180)
    append_events(session, run_id, events, NOW_MS)
    delete_run(session, run_id, NOW_MS)
    for refused in (
        lambda: append_events(session, run_id, events, NOW_MS),
        lambda: annotate_run(session, run_id, "", ""),
    ):
        with pytest.raises(Gone):
            refused()
    restore_run(session, run_id)
    assert load_run(session, run_id).record.events == events


def test_an_unknown_run_is_not_found(session):
    for refused in (
        lambda: append_events(session, "nobody", make_events(), NOW_MS),
        lambda: load_run(session, "nobody"),
        lambda: delete_run(session, "nobody", NOW_MS),
        lambda: restore_run(session, "nobody"),
    ):
        with pytest.raises(NotFound):
            refused()


# Plans


def test_runs_of_one_plan_keep_it_once(session, routine):
    for _ in range(3):
        create_run(session, routine, RULES, NOW_MS)
    assert session.exec(select(func.count()).select_from(PlanRow)).one() == 1


def test_a_run_keeps_the_plan_it_was_run_against(session, routine, run_id):
    edit_routine(session, "r1", lambda old: replace(old, segments=()), "emptied", NOW_MS)
    append_events(session, run_id, make_events({"s1": 61}), NOW_MS)
    run = load_run(session, run_id)
    assert run.plan.routine == routine
    assert run.state.ends_ms == (61_000, None, None)


def test_a_changed_rule_sheet_makes_another_plan(session, routine, run_id):
    create_run(session, routine, replace(RULES, slot_s=900), NOW_MS)
    assert session.exec(select(func.count()).select_from(PlanRow)).one() == 2
    assert load_run(session, run_id).plan.rules == RULES


def test_a_segment_is_called_by_the_name_it_had_last(session, routine):
    for number, name in enumerate(("Pour", "Shake", "Build", "Strain", "Serve")):
        named = replace(routine, segments=(replace(routine.segments[0], name=name),))
        create_run(session, named, RULES, NOW_MS + number)
        assert segment_names(session, "r1") == {"s1": name}


# Listing


def test_runs_are_listed_in_the_order_they_were_started(session, routine):
    ids = [create_run(session, routine, RULES, NOW_MS) for _ in range(3)]
    for run_id, minute in zip(ids, (30, 10, 20), strict=True):
        log = make_events(total_s=600, started_ms=NOW_MS + minute * 60_000)
        append_events(session, run_id, log, NOW_MS)
    assert [line.id for line in list_runs(session, "r1")] == [ids[1], ids[2], ids[0]]


@pytest.mark.parametrize("off_days", [-365, 365])
def test_a_device_whose_clock_is_a_year_off_moves_no_run_in_the_lists(session, routine, off_days):
    ids = []
    for day, clock_off in ((0, 0), (1, off_days), (2, 0)):
        made_ms = NOW_MS + day * 86_400_000
        ids.append(create_run(session, routine, RULES, made_ms))
        log = make_events(total_s=600 + day, started_ms=made_ms + clock_off * 86_400_000)
        append_events(session, ids[-1], log, made_ms)
        exclude_run(session, ids[-1], excluded=False)
    lines = list_runs(session, "r1")
    assert [line.id for line in lines] == ids
    assert lines[1].started_ms == NOW_MS + 86_400_000
    assert tally_runs(session, ["r1"]) == {"r1": Tally(3, 0, 602_000)}


def test_deleted_runs_are_not_listed(session, routine, run_id):
    delete_run(session, run_id, NOW_MS)
    assert list_runs(session, "r1") == []
    restore_run(session, run_id)
    assert [line.id for line in list_runs(session, "r1")] == [run_id]


def test_remarks_are_kept_with_the_run(session, run_id):
    annotate_run(session, run_id, "Monday", "wet floor")
    exclude_run(session, run_id, excluded=True)
    line = line_of(session, run_id)
    assert (line.label, line.notes, line.excluded) == ("Monday", "wet floor", True)
    assert load_run(session, run_id).record.excluded


def test_runs_are_tallied_with_the_total_of_the_last_that_counts(session, routine):
    for total_s, minute, closing in ((600, 1, "finish"), (590, 2, "finish"), (300, 3, "abandon")):
        run_id = create_run(session, routine, RULES, NOW_MS)
        log = make_events(total_s=total_s, closing=closing, started_ms=NOW_MS + minute * 60_000)
        append_events(session, run_id, log, NOW_MS)
        exclude_run(session, run_id, excluded=False)
    assert tally_runs(session, ["r1"]) == {"r1": Tally(2, 1, 590_000)}


def test_a_run_that_never_began_is_not_tallied(session, run_id):
    assert tally_runs(session, ["r1"]) == {}


@pytest.mark.parametrize("change", ["create", "append", "annotate", "delete", "restore"])
def test_every_change_of_a_run_is_a_change_of_its_routine(session, routine, run_id, change):
    before = change_of(session, "r1")
    {
        "create": lambda: create_run(session, routine, RULES, NOW_MS),
        "append": lambda: append_events(session, run_id, make_events(), NOW_MS),
        "annotate": lambda: annotate_run(session, run_id, "a", "b"),
        "delete": lambda: delete_run(session, run_id, NOW_MS),
        "restore": lambda: restore_run(session, run_id),
    }[change]()
    assert change_of(session, "r1") > before


def test_a_run_derived_by_an_older_version_is_derived_anew_from_its_log(session, run_id):
    append_events(session, run_id, make_events(total_s=600), NOW_MS)
    line = line_of(session, run_id)
    session.connection().exec_driver_sql("UPDATE run SET derived = 1, summary = '{}', total_ms = 1")
    assert derive_again(session) == 1
    assert line_of(session, run_id) == line
    assert derive_again(session) == 0


# Where and how a run was made

COACHED = Occasion("Back bar", ("coach", "travel kit"))


def test_nothing_is_said_of_where_a_run_was_made_until_somebody_does(session, run_id):
    assert line_of(session, run_id).occasion == NOTHING_SAID
    set_occasion(session, run_id, COACHED)
    assert line_of(session, run_id).occasion == load_run(session, run_id).record.occasion == COACHED


def test_a_run_that_is_labelled_counts_as_a_change_of_its_routine(session, run_id):
    before = change_of(session, "r1")
    set_occasion(session, run_id, COACHED)
    assert change_of(session, "r1") == before + 1


def test_a_label_is_taken_off_again(session, run_id):
    set_occasion(session, run_id, COACHED)
    set_occasion(session, run_id, NOTHING_SAID)
    assert line_of(session, run_id).occasion == NOTHING_SAID


def test_a_deleted_run_is_not_labelled(session, run_id):
    delete_run(session, run_id, NOW_MS)
    with pytest.raises(Gone):
        set_occasion(session, run_id, COACHED)


def test_occasions_are_listed_for_the_runs_that_have_one(session, run_id):
    set_occasion(session, run_id, COACHED)
    gone = create_run(session, make_routine(), RULES, NOW_MS)
    set_occasion(session, gone, Occasion("Cellar"))
    delete_run(session, gone, NOW_MS)
    create_run(session, make_routine(), RULES, NOW_MS)
    assert list_occasions(session, "r1") == [COACHED]


def said(event_id, seq=50, **fields):
    return make_event(event_id, "about", seq=seq, at_s=seq, **fields)


def test_what_is_said_at_the_finish_is_kept_with_the_run(session, run_id):
    words = said("a1", counts=False, label="Dress", venue="Back bar", text="Too fast")
    append_events(session, run_id, [*make_events(total_s=60), words], NOW_MS)
    line = line_of(session, run_id)
    assert (line.excluded, line.label, line.notes) == (True, "Dress", "Too fast")
    assert line.occasion.venue == "Back bar"


def test_an_answer_sent_again_undoes_nothing_that_was_changed_here_since(session, run_id):
    words = said("a1", counts=False, label="Dress")
    append_events(session, run_id, [words], NOW_MS)
    exclude_run(session, run_id, excluded=False)
    annotate_run(session, run_id, "Second", "")
    append_events(session, run_id, [words, said("a2", 51, counts=False, label="Third")], NOW_MS)
    line = line_of(session, run_id)
    assert (line.excluded, line.label) == (False, "Second")


def test_a_run_tapped_through_does_not_count_until_somebody_says_so(session, run_id):
    append_events(session, run_id, make_events({"s1": 2, "s2": 4, "s3": 6}, total_s=6), NOW_MS)
    assert (line_of(session, run_id).doubt, line_of(session, run_id).counts) == ("short", False)
    append_events(session, run_id, [said("a1", counts=True)], NOW_MS)
    assert line_of(session, run_id).counts
