"""What watchers remarked of a run, on its page: shown, taken away, brought back; points given."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Annotated

from fastapi import APIRouter, Depends, Response
from sqlmodel import Session

from server.domain.base.errors import NotFound
from server.domain.base.numbers import write_number
from server.domain.routine.rules import Criterion
from server.domain.runs.events import DESK, LONGEST_WHO, Event
from server.store.ids import new_id
from server.store.runs import StoredRun, append_events, load_run
from server.web.frame.dependencies import NowMs, WriteSession
from server.web.frame.door import HeldAsker
from server.web.frame.forms import Form, Typed
from server.web.frame.guard import opened
from server.web.frame.render import see
from server.web.live.bus import LiveBus
from server.web.live.followers import HeldBus, tell_followers
from server.web.script.due import due_in

router = APIRouter(prefix="/runs/{run_id}")


@dataclass(frozen=True)
class Seat:
    """Who gives points on a page, as a log names them: where people have accounts each of them by a
    name of their own, else what a coach gave would be the presenter's.
    """

    name: str = DESK
    who: str | None = None


async def _seat(asker: HeldAsker) -> Seat:
    person = asker.person
    if person is None:
        return Seat()
    return Seat(f"{DESK}-{person.id}", person.name[:LONGEST_WHO])


HeldSeat = Annotated[Seat, Depends(_seat)]


@router.post("/remarks/{event_id}/delete")
def post_delete_remark(
    session: WriteSession, bus: HeldBus, now_ms: NowMs, run_id: str, event_id: str
) -> Response:
    run = load_run(session, run_id)
    remarked = _event(run, event_id)
    if not remarked.is_watched:
        raise NotFound("There is no such remark on this run.")
    taken = from_desk(run, now_ms, "retract", target_id=event_id)
    _append(session, bus, run, [taken], now_ms)
    return see(f"/runs/{run_id}?taken={taken.id}#remarks-made")


@router.post("/remarks/{event_id}/restore")
def post_restore_remark(
    session: WriteSession, bus: HeldBus, now_ms: NowMs, run_id: str, event_id: str
) -> Response:
    """Bring back what the retraction `event_id` took away."""
    run = load_run(session, run_id)
    taken = _event(run, event_id)
    if taken.kind != "retract" or not taken.is_watched:
        raise NotFound("No remark was taken away by that.")
    # A retraction stands for good; what it took comes back as an event of its own, once.
    again = replace(_event(run, taken.target_id or ""), id=f"{event_id[:58]}-again")
    _append(session, bus, run, [again], now_ms)
    return see(f"/runs/{run_id}?open=remarks#remarks-made")


def give_points(
    session: Session, bus: LiveBus, run: StoredRun, seat: Seat, typed: Typed, now_ms: int
) -> None:
    """Record the points in a form, those that changed. Raises InvalidInput with every fault."""
    standing = own_points(run, seat)
    given: list[tuple[Criterion, float | None]] = []
    for criterion in run.plan.rules.criteria:
        points = typed.optional_number(f"points-{criterion.id}", 0, criterion.most_points)
        given.append((criterion, points))
    typed.check()
    events = []
    for criterion, points in given:
        kept = standing.get(criterion.id)
        if points is not None and (kept is None or kept[1] != points):
            fields: dict[str, object] = {"criterion": criterion.id, "points": points}
            events.append(from_desk(run, now_ms, "score", seat, who=seat.who, **fields))
        elif points is None and kept is not None:
            events.append(from_desk(run, now_ms, "retract", seat, target_id=kept[0]))
    if events:
        _append(session, bus, run, events, now_ms)


def own_points(run: StoredRun, seat: Seat) -> dict[str, tuple[str, float]]:
    """Criterion -> the event and the points that were given on this page."""
    own = [score for score in run.state.scores if score.device_id == seat.name]
    return {score.criterion: (score.id, score.points) for score in own}


def points_form(run: StoredRun, seat: Seat) -> Form:
    """The form for giving points, as they stand."""
    given = own_points(run, seat)
    names = [each.id for each in run.plan.rules.criteria]
    return opened({f"points-{key}": write_number(given[key][1]) if key in given else ""
                   for key in names})  # fmt: skip


def from_desk(
    run: StoredRun,
    now_ms: int,
    kind: str,
    seat: Seat = Seat(),
    **fields: object,
) -> Event:
    """An event recorded on a page of the app, after all that are in the log."""
    last_seq = max((event.seq for event in run.record.events), default=0)
    make: Callable[..., Event] = Event
    return make(
        id=new_id(),
        device_id=seat.name,
        boot_id=DESK,
        seq=last_seq + 1,
        kind=kind,
        wall_ms=now_ms,
        mono_ms=0.0,
        at_ms=float(run.state.total_ms or 0),
        **fields,
    )


def _append(
    session: Session, bus: LiveBus, run: StoredRun, events: list[Event], now_ms: int
) -> None:
    appended = append_events(session, run.record.id, events, now_ms)
    tell_followers(session, bus, run.record.id, appended)


def _event(run: StoredRun, event_id: str) -> Event:
    found = next((event for event in run.record.events if event.id == event_id), None)
    if found is None:
        raise NotFound("There is no such remark on this run.")
    return found


def claim_labels(run: StoredRun) -> dict[str, str]:
    """Key of a claim -> its words, where any was ticked."""
    # Reading a script takes long: only where something was ticked.
    if not run.state.claims:
        return {}
    due = due_in(run.record.plan_key, run.plan)
    return {str(each["key"]): str(each["label"]) for each in due.claims}
