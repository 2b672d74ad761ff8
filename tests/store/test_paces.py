"""What runs tell about a presenter's pace."""

import pytest

from server.domain.belief.words_pace import SpokenSplit
from server.store.annotating import delete_run, exclude_run
from server.store.paces import spoken_in_runs
from server.store.routines import create_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import append_events, create_run
from tests.factories import NOW_MS, RULES, make_events, make_routine, make_segment

WORDS = "We begin by the river. Then we climb."
ROUTINE = make_routine(
    segments=(make_segment("s1", said=WORDS, lane="voice"), make_segment("s2", lane="hands"))
)


@pytest.fixture
def run_ids(session):
    save_rule_sheet(session, RULES)
    create_routine(session, ROUTINE, NOW_MS)
    ids = [create_run(session, ROUTINE, RULES, NOW_MS) for _ in range(2)]
    for number, run_id in enumerate(ids):
        log = make_events({"s1": 30 + number, "s2": 60}, total_s=60, prefix=f"e{number}-")
        append_events(session, run_id, log, NOW_MS)
    return ids


def test_each_finished_run_gives_the_splits_of_segments_with_words(session, run_ids):
    found = sorted(spoken_in_runs(session, ROUTINE), key=lambda split: split.split_s)
    assert found == [
        SpokenSplit("s1", 8, 2, 30.0, "voice"),
        SpokenSplit("s1", 8, 2, 31.0, "voice"),
    ]


def test_runs_that_are_excluded_or_deleted_tell_nothing(session, run_ids):
    exclude_run(session, run_ids[0], excluded=True)
    delete_run(session, run_ids[1], NOW_MS)
    session.flush()
    assert spoken_in_runs(session, ROUTINE) == []


def test_a_run_under_way_tells_nothing_yet(session, run_ids):
    run_id = create_run(session, ROUTINE, RULES, NOW_MS)
    append_events(session, run_id, make_events({"s1": 90}, prefix="w"), NOW_MS)
    assert len(spoken_in_runs(session, ROUTINE)) == 2
