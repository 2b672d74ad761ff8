"""Routines that have been rehearsed often, put where the app under test will find them."""

from itertools import accumulate

from server.domain.base.durations import DAY_MS
from server.domain.runs.labels import NOTHING_SAID
from server.store.annotating import exclude_run, set_occasion
from server.store.ids import new_id
from server.store.runs import append_events, create_run
from tests.factories import NOW_MS, RULES, make_event, make_events, make_routine, make_segment
from tests.web.shelf import keep

FIRST_MS = NOW_MS - 60 * DAY_MS

PLAN = make_routine(
    segments=(make_segment("s1", 180), make_segment("s2", 200), make_segment("s3", 205))
)
PATH = "/routines/r1/drift"


def practise(client, *runs, routine=PLAN, every_ms=DAY_MS):
    """Keep the routine and runs of it, each given by its splits or as a dict with more of it."""
    if runs is not None and not _is_kept(client):
        keep(client, routine)
    return [
        practise_once(client, run, routine, FIRST_MS + at * every_ms) for at, run in enumerate(runs)
    ]


def practise_once(client, run, routine=PLAN, started_ms=FIRST_MS):
    """Keep one run; returns its id. Splits of None are marks that are missing."""
    given = run if isinstance(run, dict) else {"splits": run}
    splits, ids = given["splits"], [segment.id for segment in routine.segments]
    ends = dict(zip(ids, accumulate(split or 0 for split in splits), strict=False))
    marked = {key: end for (key, end), split in zip(ends.items(), splits, strict=False) if split}
    total_s = given.get("total_s", max(ends.values(), default=0))
    prefix = new_id()
    log = make_events(
        marked, total_s=total_s, closing=given.get("closing", "finish"),
        started_ms=started_ms, prefix=prefix,
    )  # fmt: skip
    if "incident_s" in given:
        spill = make_event(
            f"{prefix}-i", "incident", seq=1, at_s=given["incident_s"], what="spill",
            started_ms=started_ms,
        )  # fmt: skip
        log = (*log[:1], spill, *log[1:])
    with client.app.state.database.writing() as session:
        run_id = create_run(session, routine, RULES, started_ms)
        append_events(session, run_id, log, started_ms)
        exclude_run(session, run_id, given.get("excluded", False))
        set_occasion(session, run_id, given.get("occasion", NOTHING_SAID))
    return run_id


def _is_kept(client):
    return client.get("/routines/r1/plan").status_code == 200
