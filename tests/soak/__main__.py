"""python -m tests.soak: random faults, a real browser, and not one mark lost.

Each schedule is a run of some seconds in which the network, the server, the browser and the clock
of the device fail at random moments. `--seed` is the first schedule; `--only N` plays that one
alone, step by step as it was.
"""

import argparse
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from statistics import median

from tests.soak.abreast import Outcome, busy_cores, play_abreast
from tests.soak.schedule import Step, schedule_of
from tests.soak.truth import Verdict

CHANGES = 40
"""How many changes of who may what are tried in one schedule of `--people`."""


def main() -> int:
    """Play the schedules asked for; the exit status is 0 when every run came out right."""
    asked = arguments()
    seeds = (
        [asked.only] if asked.only is not None else range(asked.seed, asked.seed + asked.schedules)
    )
    if asked.people:
        return let_people_act(seeds, asked.minutes)
    if asked.postgresql:
        return kill_workers(seeds, asked.minutes)
    began_s = time.monotonic()
    outcome = Outcome()
    with busy_cores(asked.busy):
        for said in play_abreast(seeds, min(asked.abreast, len(seeds)), asked.minutes):
            if isinstance(said, Outcome):
                outcome = said
            else:
                tell(*said, schedule_of(said[0]))
    verdicts, network = outcome.verdicts, outcome.network
    failed = [seed for seed, verdict in verdicts.items() if verdict.faults]
    print(f"{len(verdicts)} schedules from seed {seeds[0]} in {time.monotonic() - began_s:.0f} s")
    print("done: " + ", ".join(f"{what} {count}" for what, count in outcome.did.most_common()))
    print("network: " + ", ".join(f"{what} {count}" for what, count in network.most_common()))
    print(f"marks: {sum(verdict.marks for verdict in verdicts.values())}")
    took_ms = [each for verdict in verdicts.values() for each in verdict.press_ms]
    if took_ms:
        most_ms, usual_ms = max(took_ms), median(took_ms)
        print(f"a press took the driver {usual_ms:.1f} ms (median), {most_ms:.0f} ms at most")
        worst_ms = max(verdict.worst_ms for verdict in verdicts.values())
        print(f"worst error beyond that: {worst_ms:.1f} ms")
    for each in outcome.broken:
        print(each)
    print("FAILED: " + ", ".join(map(str, failed)) if failed else "not one mark lost or doubled")
    return 1 if failed or outcome.broken else 0


def kill_workers(seeds: Sequence[int], minutes: float) -> int:
    """The same without a browser, over two workers on PostgreSQL that are killed at random."""
    from tests.soak.workers import Told, TwoWorkers, blows_of

    began_s = time.monotonic()
    told: dict[int, Told] = {}
    with tempfile.TemporaryDirectory() as folder, TwoWorkers(Path(folder)) as ground:
        for seed in seeds:
            if time.monotonic() - began_s > minutes * 60:
                break
            told[seed] = ground.play(seed)
            said = "FAILED" if told[seed].faults else f"{told[seed].marks} marks"
            print(f"{seed}: {said}; {', '.join(map(str, blows_of(seed)))}", flush=True)
            for fault in told[seed].faults:
                print(f"    {fault}", flush=True)
        did = ground.did
    failed = [seed for seed, each in told.items() if each.faults]
    print(f"{len(told)} schedules from seed {seeds[0]} in {time.monotonic() - began_s:.0f} s")
    print("workers: " + ", ".join(f"{what} {count}" for what, count in did.most_common()))
    print(f"marks: {sum(each.marks for each in told.values())}")
    print("FAILED: " + ", ".join(map(str, failed)) if failed else "not one mark lost or doubled")
    return 1 if failed else 0


def let_people_act(seeds: Sequence[int], minutes: float) -> int:
    """People who share and take back over two workers, while all ask for everything."""
    from tests.soak.house import House

    began_s, faults = time.monotonic(), []
    with tempfile.TemporaryDirectory() as folder, House(Path(folder)) as house:
        for seed in seeds:
            if time.monotonic() - began_s > minutes * 60:
                break
            found = house.play(seed, CHANGES)
            print(f"{seed}: " + (f"FAILED {found}" if found else "nobody read more"), flush=True)
            faults += found
    print(f"{sum(house.did.values())} changes in {time.monotonic() - began_s:.0f} s")
    print("answers: " + ", ".join(f"{what} {count}" for what, count in house.asked.most_common()))
    print("FAILED" if faults else "nobody read what is not theirs, and nothing failed")
    return 1 if faults else 0


def arguments() -> argparse.Namespace:
    """What the command line asks for."""
    parser = argparse.ArgumentParser(prog="python -m tests.soak", description=__doc__)
    parser.add_argument("--schedules", type=int, default=300, help="how many (300)")
    parser.add_argument("--seed", type=int, default=1, help="the first of them (1)")
    parser.add_argument("--minutes", type=float, default=60, help="begin none after these (60)")
    parser.add_argument("--abreast", type=int, default=3, help="so many at once (3)")
    parser.add_argument(
        "--busy", action="store_true", help="beside a process on each core that is never done"
    )
    parser.add_argument(
        "--postgresql",
        action="store_true",
        help="two workers on PostgreSQL that are killed at random, without a browser",
    )
    parser.add_argument(
        "--people",
        action="store_true",
        help="people who share and take back over two workers on PostgreSQL, without a browser",
    )
    parser.add_argument("--only", type=int, help="play this one alone")
    return parser.parse_args()


def tell(seed: int, verdict: Verdict, steps: list[Step]) -> None:
    """Say how a schedule went; if badly, with everything needed to play it again."""
    if not verdict.faults:
        print(f"{seed}: {verdict.marks} marks, worst {verdict.worst_ms:.1f} ms", flush=True)
        return
    print(f"{seed}: FAILED; play it again with --only {seed}")
    for fault in verdict.faults:
        print(f"    {fault}")
    print("    " + "; ".join(map(str, steps)), flush=True)


if __name__ == "__main__":
    sys.exit(main())
