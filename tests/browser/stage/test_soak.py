"""A short soak: a handful of fixed schedules of `python -m tests.soak`, which plays hundreds."""

from tests.soak.play import Playground
from tests.soak.schedule import schedule_of

# Between them these kill the server and the browser, close tabs, set clocks and try each network,
# stall a body and start a second server.
SEEDS = (11, 88)


def test_not_one_mark_is_lost_or_doubled_whatever_goes_wrong(browser_type, tmp_path):
    with Playground(browser_type, tmp_path) as ground:
        verdicts = {seed: ground.play(schedule_of(seed)) for seed in SEEDS}
    assert {seed: verdict.faults for seed, verdict in verdicts.items() if verdict.faults} == {}
    assert sum(verdict.marks for verdict in verdicts.values()) > 20


def test_the_fixed_schedules_hold_every_kind_of_accident():
    steps = [step for seed in SEEDS for step in schedule_of(seed)]
    accidents = {step.what for step in steps} - {"press", "start server"}
    assert accidents == {
        "network",
        "kill server",
        "reload",
        "close tab",
        "kill browser",
        "set clock",
        "stalled body",
        "two servers",
    }


def test_a_schedule_is_the_same_for_ever():
    assert schedule_of(7) == schedule_of(7)
    assert schedule_of(7) != schedule_of(8)
