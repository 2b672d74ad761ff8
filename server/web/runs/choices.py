"""What is decided of a run in a list of runs: whether it counts, and that it is over."""

from fastapi import APIRouter, Response

from server.domain.runs.ending import ending, going_on
from server.store.annotating import exclude_run, leave_split_out
from server.store.arrivals import arrivals
from server.store.ids import new_id
from server.store.runs import append_events, load_run, require_run_of
from server.web.frame.dependencies import NowMs, TypedForm, WriteSession
from server.web.frame.render import see
from server.web.live.followers import HeldBus, tell_followers
from server.web.runs.place import OPEN, runs_url

router = APIRouter()


@router.post("/routines/{routine_id}/runs/counting")
def post_counting(session: WriteSession, routine_id: str, typed: TypedForm) -> Response:
    """Take runs into the figures and out of them: `count` and `leave_out` name them."""
    for name, excluded in (("count", False), ("leave_out", True)):
        if run_id := typed.text(name):
            require_run_of(session, routine_id, run_id)
            exclude_run(session, run_id, excluded)
    opened = typed.text("open").removeprefix(OPEN)
    return see(runs_url(routine_id, typed.text("show"), opened))


@router.post("/runs/{run_id}/counting")
def post_counting_of_one(session: WriteSession, run_id: str, typed: TypedForm) -> Response:
    """The same from the page of a run."""
    exclude_run(session, run_id, bool(typed.text("leave_out")))
    return see(f"/runs/{run_id}")


@router.post("/runs/{run_id}/splits/counting")
def post_counting_of_split(session: WriteSession, run_id: str, typed: TypedForm) -> Response:
    """Take one split of a run out of the figures, or into them again."""
    left_out = bool(typed.text("leave_out"))
    leave_split_out(session, run_id, typed.text("segment"), left_out=left_out)
    return see(f"/runs/{run_id}?open={typed.text('open')}#splits-title")


@router.post("/runs/{run_id}/end")
def post_end(session: WriteSession, bus: HeldBus, now_ms: NowMs, run_id: str) -> Response:
    """End a run that was left open; one that is over already is left alone."""
    run = load_run(session, run_id)
    if run.state.status == "running":
        known = arrivals(session, run_id)
        made = ending(known.events, known.started_ms, now_ms, new_id)
        tell_followers(session, bus, run_id, append_events(session, run_id, made, now_ms))
    return see(f"/routines/{run.routine_id}/runs?ended={run_id}")


@router.post("/runs/{run_id}/go-on")
def post_go_on(session: WriteSession, bus: HeldBus, now_ms: NowMs, run_id: str) -> Response:
    """Take such an end back."""
    run = load_run(session, run_id)
    if made := going_on(run.record.events, now_ms, new_id):
        tell_followers(session, bus, run_id, append_events(session, run_id, made, now_ms))
    return see(f"/routines/{run.routine_id}/runs")
