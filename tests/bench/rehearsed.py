"""A data folder with a routine that has been rehearsed often, the same each time."""

from itertools import accumulate, count
from pathlib import Path
from random import Random

from server.domain.base.durations import DAY_MS
from server.domain.routine.routine import Process, Routine, Segment, Spread
from server.domain.runs.paper import PaperRun, paper_events
from server.settings import DATABASE_NAME
from server.store.database import Database
from server.store.first_time import furnish
from server.store.routines import create_routine
from server.store.rule_sheets import list_rule_sheets
from server.store.runs import append_events, create_run

ROUTINE_ID = "rehearsed"
FIRST_DAY_MS = 1_700_000_000_000
SEGMENT_S = 15.0


def rehearse(folder: Path, runs: int, segments: int, address: str = "") -> None:
    """Put a routine of `segments` segments with `runs` finished runs into a new database."""
    database = Database(address or folder / DATABASE_NAME, folder=folder)
    database.migrate()
    routine = routine_of(segments)
    random = Random(950)
    with database.writing() as session:
        furnish(session, FIRST_DAY_MS, demo=False)
        create_routine(session, routine, FIRST_DAY_MS)
        (rules,) = list_rule_sheets(session)
        for number in range(runs):
            started_ms = FIRST_DAY_MS + number * DAY_MS
            events = paper_events(routine, _run(routine, random), started_ms, _ids(number))
            run_id = create_run(session, routine, rules, started_ms)
            append_events(session, run_id, events, started_ms)
    database.close()


def routine_of(segments: int) -> Routine:
    """A routine of equal segments with one process beside them."""
    parts = tuple(
        Segment(f"segment-{n}", f"Pour and tell, part {n}", Spread(SEGMENT_S))
        for n in range(1, segments + 1)
    )
    drip = Process("drip", "Cold drip", Spread(60.0), parts[1].id, parts[-2].id)
    return Routine(
        ROUTINE_ID, "Often rehearsed", "rules-house", segments=parts, processes=(drip,)
    )  # fmt: skip


def _run(routine: Routine, random: Random) -> PaperRun:
    splits = [random.gauss(SEGMENT_S, 2.0) for _ in routine.segments]
    ends = [round(end_s, 3) for end_s in accumulate(max(1.0, split) for split in splits)]
    ids = [segment.id for segment in routine.segments]
    return PaperRun(ends[-1], dict(zip(ids, ends, strict=True)), {"drip": ends[-4]})


def _ids(number: int):
    numbers = count()
    return lambda: f"run-{number}-{next(numbers)}"
