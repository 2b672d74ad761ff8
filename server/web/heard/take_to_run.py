"""A take becomes a run once the person says so; and that can be taken back."""

from sqlmodel import Session

from server.domain.base.errors import Conflict
from server.domain.heard.marks import HEARD, claim_events, run_events
from server.domain.learn.recorded import marks_of_talk
from server.store.annotating import annotate_run, delete_run, exclude_run
from server.store.heard.takes import Take, load_take, tie_run
from server.store.ids import new_id
from server.store.learning import mark_from_run, unmark_from_run
from server.store.runs import append_events, create_run_of, load_run
from server.web.heard.claims_view import claims_with_verdicts
from server.web.heard.reading import Reading, accepted
from server.web.live.bus import LiveBus
from server.web.live.followers import tell_followers
from server.web.runs.remarks import from_desk


def make_run(session: Session, reading: Reading, name: str, started_ms: int, now_ms: int) -> str:
    """Make a run of what was heard; returns its id.

    A run of the same performance that was marked by hand is taken out of the figures: nothing
    counts twice. Raises InvalidInput for boundaries that make no run, Conflict for a second one.
    """
    take = load_take(session, reading.take.id)
    _require_none(take)
    if not reading.transcript.timed:
        raise Conflict("These words have no times, so no run can be made of them.")
    events = run_events(reading.plan.routine, accepted(reading), started_ms, new_id)
    claims = claim_events(
        claims_with_verdicts(reading), reading.now.start_s, started_ms, new_id, len(events)
    )
    run_id = create_run_of(session, reading.plan, now_ms, "heard")
    append_events(session, run_id, [*events, *claims], now_ms)
    annotate_run(session, run_id, name, "")
    # Who accepts a take means it, however few of its boundaries were heard; but one without its
    # beginning has no time of the whole.
    exclude_run(session, run_id, excluded=reading.now.lacks_beginning)
    tie_run(session, take.id, run_id)
    _mark_sentences(session, reading, run_id, started_ms)
    if take.beside_run_id is not None:
        exclude_run(session, take.beside_run_id, excluded=True)
    return run_id


def add_claims(session: Session, bus: LiveBus, reading: Reading, now_ms: int) -> str:
    """Add what was heard of the claims to the run that was marked by hand, whose marks stand.

    Returns its id. Raises Conflict where there is none, or where that was done.
    """
    take = load_take(session, reading.take.id)
    _require_none(take)
    if take.beside_run_id is None:
        raise Conflict("No run was marked by hand beside this take.")
    run = load_run(session, take.beside_run_id)
    last_seq = max((event.seq for event in run.record.events), default=0)
    events = claim_events(
        claims_with_verdicts(reading), reading.now.start_s, now_ms, new_id, last_seq + 1
    )
    if events:
        tell_followers(
            session, bus, run.record.id, append_events(session, run.record.id, events, now_ms)
        )
    tie_run(session, take.id, run.record.id)
    _mark_sentences(session, reading, run.record.id, run.line.started_ms or now_ms)
    return run.record.id


def take_back(session: Session, bus: LiveBus, take_id: str, now_ms: int) -> None:
    """Undo either: the run goes to what was deleted, or the claims leave the run by hand."""
    take = load_take(session, take_id)
    if take.run_id is None:
        return
    if take.is_beside_itself:
        _take_claims_back(session, bus, take.run_id, now_ms)
    else:
        delete_run(session, take.run_id, now_ms)
        if take.beside_run_id is not None:
            exclude_run(session, take.beside_run_id, excluded=None)
    unmark_from_run(session, take.run_id)
    tie_run(session, take_id, None)


def _mark_sentences(session: Session, reading: Reading, run_id: str, said_ms: int) -> None:
    """What was left out, or said in other words, comes back at once where the script is learnt."""
    marks = marks_of_talk(reading.now, reading.language, run_id, said_ms, new_id)
    mark_from_run(session, reading.take.routine_id, marks)


def _take_claims_back(session: Session, bus: LiveBus, run_id: str, now_ms: int) -> None:
    run = load_run(session, run_id)
    standing = {each.id for each in run.state.claims}
    heard = [each for each in run.record.events if each.device_id == HEARD and each.id in standing]
    events = [from_desk(run, now_ms, "retract", target_id=each.id) for each in heard]
    if events:
        tell_followers(session, bus, run_id, append_events(session, run_id, events, now_ms))


def _require_none(take: Take) -> None:
    if take.run_id is not None:
        raise Conflict("A run was made of this take already. Take that back first.")
