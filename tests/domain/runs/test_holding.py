"""Who holds the clock of a run: laws of any log. Worked cases are in `run_cases.json`."""

from dataclasses import replace

from hypothesis import assume, given
from hypothesis import strategies as st

from server.domain.runs.clock import elapsed_times, in_order
from server.domain.runs.holding import chains, counted, holders, takeovers
from server.domain.runs.run import fold
from tests.domain.run_logs import OUTLINE, events_from, random_log

seeds = st.integers(min_value=0, max_value=2**32 - 1)
CLOCKLESS = {"note", "about", "retract"}


def log_of(seed):
    return in_order(events_from(random_log(seed)))


@given(seeds)
def test_a_log_that_one_device_claims_counts_whole(seed):
    log = log_of(seed)
    assume(not takeovers(log))
    assert counted(log, elapsed_times(log)) == log
    assert chains(log) == [log]


@given(seeds)
def test_each_mark_that_counts_was_made_by_the_holder_of_that_moment(seed):
    log = log_of(seed)
    assume(takeovers(log))
    times = elapsed_times(log)
    held = holders(log, times)
    for event in counted(log, times):
        if event.kind not in CLOCKLESS:
            before = [device_id for at_ms, device_id in held if at_ms <= times[event.id]]
            assert event.device_id == before[-1]


@given(seeds, st.sampled_from(["tablet", "laptop", "phone"]))
def test_what_a_device_marks_after_it_lost_the_clock_changes_nothing(seed, loser):
    log = log_of(seed)
    assume(any(event.kind == "start" for event in log))
    last_ms = max(elapsed_times(log).values()) + 1000.0
    number = max(event.seq for event in log) + 1
    taken = replace(log[0], id="t", device_id="watch", boot_id="watch", seq=number, kind="hold",
                    at_ms=last_ms, mono_ms=0.0, cause=None, step_ms=None)  # fmt: skip
    late = replace(taken, id="l", device_id=loser, boot_id="late", seq=number + 1,
                   kind="finish", wall_ms=log[0].wall_ms + 10**10, at_ms=None)  # fmt: skip
    assert fold([*log, taken, late], OUTLINE) == fold([*log, taken], OUTLINE)


@given(seeds)
def test_notes_count_whoever_holds_the_clock(seed):
    log = log_of(seed)
    valid = counted(log, elapsed_times(log))
    assert {e.id for e in log if e.kind == "note"} <= {e.id for e in valid}


def test_random_logs_hold_many_that_two_devices_claim():
    contested = [seed for seed in range(300) if takeovers(log_of(seed))]
    assert 40 < len(contested) < 260
