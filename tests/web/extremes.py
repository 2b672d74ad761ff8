"""Extreme plans and logs, and a process of its own that shows every page of some.

    .venv/bin/python -m tests.web.extremes FOLDER CASE...

prints what each page took, and ends with 1 where one was not answered, took longer than SLOWEST_S
or needed more than MOST_MB beyond what the app holds after the pages of an ordinary plan.
"""

import resource
import sys
import time
from dataclasses import replace
from pathlib import Path

from server.domain.routine.routine import Spread
from tests.factories import RULES, make_event, make_process, make_routine, make_segment
from tests.web.conftest import app_in
from tests.web.shelf import keep, keep_run

MOST_MB = 512
SLOWEST_S = 20.0
"""Far above what a page takes (under 2 s on an idle machine), far below what a fault took."""

PLACES = (
    "plan", "plan/chance", "plan?edit=segment-s1", "plan/risk", "plan/risk?order=yes",
    "plan/what-if", "plan/what-if?longer=s1&seconds=-1", "plan/sheet", "script", "claims", "drinks",
    "declaration", "rehearse", "runs", "runs?show=all", "runs?show=sessions", "runs?show=figures",
    "runs/by-hand", "drift", "drift/compare", "drift?open=report", "drift/report.json",
    "export.json", "splits.csv",
)  # fmt: skip


def plan_of(count, *spread_s):
    """A routine of `count` segments of one lowest, likely and highest duration."""
    low_s, likely_s, high_s = spread_s
    lasting = Spread(likely_s, low_s, high_s)
    return make_routine(
        segments=tuple(
            make_segment(f"s{n}", duration=lasting, movable=n < 4) for n in range(1, count + 1)
        ),
        processes=(make_process(after="s1", before=f"s{count}", duration=lasting),),
    )


def log_of(step_ms, cause="sleep", end_s=180.0):
    """The log of a run whose device tells of a step of its clock."""
    stepped = {"step_ms": step_ms, "cause": cause}
    return (
        make_event("e0", "start"),
        make_event("e1", "clock_step", seq=1, at_s=30.0, **stepped),
        make_event("e2", "done", seq=2, at_s=60.0, segment_id="s1"),
        make_event("e3", "done", seq=3, at_s=end_s - 60, segment_id="s2"),
        make_event("e4", "finish", seq=4, at_s=end_s),
    )


USUAL = plan_of(3, 50, 60, 80)
CASES = {
    "a slip for a minute": (plan_of(3, 1, 30, 600), []),
    "a wide segment": (plan_of(3, 10, 30, 500), []),
    "two hundred wide segments": (plan_of(200, 1, 3, 400), []),
    "segments of a day": (plan_of(3, 0, 86_400, 86_400), []),
    "a sleep of ages": (USUAL, [log_of(2.0**53)] * 3),
    "a clock set by ages": (USUAL, [log_of(2.0**53, "set"), log_of(-(2.0**53), "set")]),
    "a run of ages": (USUAL, [log_of(0.0, end_s=2.0**42)] * 3),
    "runs of a day": (USUAL, [log_of(0.0, end_s=86_000.0)] * 3),
}
"""What is kept -> the routine, and the logs of its runs."""


def main(folder: str, *cases: str) -> int:
    with app_in(Path(folder) / "usual") as client:
        usual = make_routine()
        warm = keep(client, usual)
        keep_run(client, usual)
        for place in PLACES:
            client.get(f"{warm}/{place}")
    failed = [case for case in cases if not _is_shown(case, Path(folder) / case)]
    print("failed:", *failed)
    return 1 if failed else 0


def _is_shown(case: str, folder: Path) -> bool:
    routine, logs = CASES[case]
    with app_in(folder) as client:
        path = keep(client, routine, RULES)
        runs = [keep_run(client, routine, _own(log, n)) for n, log in enumerate(logs)]
        runs = runs or [keep_run(client, routine, ())]
        addresses = [f"{path}/{place}" for place in PLACES]
        addresses += ["/", *(f"/runs/{run}{tail}" for run in runs[:1] for tail in ("", "/stage"))]
        most = (_held_kb() + MOST_MB * 1024) * 1024
        _, hard = resource.getrlimit(resource.RLIMIT_DATA)
        resource.setrlimit(resource.RLIMIT_DATA, (most, hard))
        print(f"{case}:")
        return not [address for address in addresses if not _shown(client, address)]


def _own(log, number):
    """A log with ids of its own."""
    return tuple(replace(event, id=f"r{number}-{event.id}") for event in log)


def _shown(client, address):
    began_s = time.process_time()
    answer = client.get(address)
    took_s = time.process_time() - began_s
    is_well = answer.status_code == 200 and took_s < SLOWEST_S
    sign = " " if is_well else "!"
    print(f"{sign} {answer.status_code} {took_s:6.2f} s {len(answer.content):>9,} bytes {address}")
    return is_well


def _held_kb():
    """What the process holds, as its kernel counts it."""
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmData:"))


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
