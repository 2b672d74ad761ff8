"""One more mark on a log of thousands, stored and derived, against a log of twenty.

Half of the log are marks and half what two who watch remark; the database is a real file and each
mark is its own durable transaction. Times are processor time, so that what else the machine does
counts little.
"""

import tempfile
import time
from collections.abc import Iterator
from itertools import count
from pathlib import Path
from statistics import median

from server.domain.routine.routine import Routine
from server.store.database import Database
from server.store.routines import create_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import append_events, create_run
from tests.bench.figures import Figure
from tests.factories import NOW_MS, RULES, make_event, make_routine

LONG, SHORT = 6000, 20
SEGMENTS = tuple(f"s{n}" for n in range(40))
ROUNDS = 200


def measure(quick: bool) -> Iterator[Figure]:
    rounds = 20 if quick else ROUNDS
    with tempfile.TemporaryDirectory() as name:
        database = Database(Path(name) / "bench.db")
        database.migrate()
        routine = make_routine(segments=SEGMENTS)
        with database.writing() as session:
            save_rule_sheet(session, RULES)
            create_routine(session, routine, NOW_MS)
        try:
            long, short = (_marks_ms(database, routine, size, rounds) for size in (LONG, SHORT))
        finally:
            database.close()
    for percent, place in ((50, 0.5), (99, 0.99)):
        ours, peer = (sorted(times)[int(place * (rounds - 1))] for times in (long, short))
        yield Figure(f"mark on {LONG:,} events, p{percent}", ours, "ms", peer, "under 10 ms at 50")
    yield Figure(f"mark on {SHORT} events", median(short), "ms")


def _marks_ms(database: Database, routine: Routine, size: int, rounds: int) -> list[float]:
    with database.writing() as session:
        run_id = create_run(session, routine, RULES, NOW_MS)
        append_events(session, run_id, [_event(n) for n in range(size)], NOW_MS)
    times = []
    for number in count(size):
        if len(times) == rounds:
            return times
        began = time.process_time()
        with database.writing() as session:
            append_events(session, run_id, [_event(number)], NOW_MS)
        times.append((time.process_time() - began) * 1000)
    return times


def _event(number: int):
    name, at_s = f"e{number}", number * 0.1
    if number == 0:
        return make_event(name, "start")
    if number % 2:
        claim = {"claim": f"claim {number % 50}", "verdict": "heard", "at_ms": at_s * 1000}
        return make_event(name, "claim", seq=number, at_s=at_s, **claim)
    segment_id = SEGMENTS[number // 2 % len(SEGMENTS)]
    return make_event(name, "done", seq=number, at_s=at_s, segment_id=segment_id)
