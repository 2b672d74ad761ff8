"""Going on from the last state comes to the same as folding anew, and costs next to nothing."""

import random

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from server.domain.runs.clock import in_order
from server.domain.runs.folding import Folding
from server.domain.runs.holding import takeovers
from server.domain.runs.run import fold
from tests.domain.run_logs import CASES, OUTLINE, events_from, outline_from, random_log
from tests.factories import make_event
from tests.steps import steps_of
from tests.table import table

seeds = st.integers(min_value=0, max_value=2**32 - 1)


def batches_of(seed, *, one_device):
    """A random log as it may arrive: nearly in order, in parts of any size."""
    rng = random.Random(seed)
    log = in_order(events_from(random_log(seed)))
    if one_device:
        started = next((event for event in log if event.kind == "start"), None)
        log = [e for e in log if e.kind not in ("start", "hold") or e is started]
    if len(log) > 1 and rng.random() < 0.3:
        late = log.pop(rng.randrange(len(log)))
        log.insert(rng.randrange(len(log) + 1), late)
    while log:
        size = rng.randint(1, 4)
        yield log[:size]
        log = log[size:]


@given(seeds, st.booleans())
@example(12, True)
def test_a_log_that_grows_folds_to_the_state_of_the_whole(seed, one_device):
    folding, arrived = Folding(OUTLINE), []
    for batch in batches_of(seed, one_device=one_device):
        arrived += batch
        folding.add(batch)
        assert folding.state() == fold(arrived, OUTLINE)
        assert list(folding.takeovers) == takeovers(in_order(arrived))
        assert len(folding) == len({event.id for event in arrived})


@table("case", CASES, ids=lambda case: case["name"])
def test_a_worked_case_folds_event_by_event_to_the_same(case):
    outline, arrived = outline_from(case["outline"]), []
    folding = Folding(outline)
    for event in events_from(case["events"]):
        arrived.append(event)
        folding.add([event])
        assert folding.state() == fold(arrived, outline)


@pytest.mark.parametrize(
    ("kind", "more"),
    [
        ("done", {"segment_id": "grind"}),
        ("clock_step", {"step_ms": 5.0, "cause": "sleep"}),
        ("claim", {"claim": "plum", "verdict": "heard", "at_ms": 9e6}),
    ],
)
def test_a_mark_on_a_long_log_takes_no_more_steps_than_on_a_short_one(kind, more):
    def long_log(number):
        ready = [
            make_event(f"r{n}", "ready", seq=n, at_s=n, process_id="chill")
            for n in range(1, number)
        ]
        return Folding(OUTLINE, [make_event("e0", "start"), *ready])

    short, long = long_log(10), long_log(1000)
    late = make_event("late", kind, seq=2000, at_s=2000, **more)
    assert steps_of(lambda: long.add([late])) == steps_of(lambda: short.add([late]))
