"""Joining a run to watch it: a code and a name, no account."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.errors import InvalidInput, TooMany
from server.domain.runs.joining import read_name
from server.store.watchers import admit, run_to_join
from server.web.frame.cookies import cookie_of, keep_pass, name_kept, watch_cookie
from server.web.frame.dependencies import HeldDatabase, NowMs, TypedForm
from server.web.frame.forms import Form, Typed
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.frame.throttle import HeldTurn, Turn, refused_code
from server.web.live.bus import LiveBus
from server.web.live.followers import HeldBus

router = APIRouter(prefix="/join")


@dataclass(frozen=True, kw_only=True)
class JoinPage(Page, folder="join"):
    """Where one who wants to watch types the code and a name."""

    form: Form


@router.get("")
def join_page(request: Request) -> Response:
    name = name_kept(request)
    return page(request, JoinPage(form=Form({"code": "", "name": name})))


@router.post("")
def post_join(
    request: Request,
    held: HeldDatabase,
    bus: HeldBus,
    now_ms: NowMs,
    typed: TypedForm,
    turn: HeldTurn,
) -> Response:
    try:
        turn.require()
        with held.writing() as session:
            run_id, name = _read(session, bus, typed, now_ms, turn)
            before = cookie_of(request, watch_cookie(run_id))
            watcher, token = admit(session, run_id, name, now_ms, before)
            bus.end_pass_with(session, run_id, watcher.key)
    except (InvalidInput, TooMany) as error:
        form, status = refused_code(typed, error)
        return page(request, JoinPage(form=form), status)
    answer = see(f"/runs/{run_id}/watch")
    keep_pass(request, answer, watch_cookie(run_id), token, name)
    return answer


def _read(session: Session, bus: LiveBus, typed: Typed, now_ms: int, turn: Turn) -> tuple[str, str]:
    """The run and the name; a wrong code counts against the address it comes from."""
    name = typed.take(lambda: read_name(typed.text("name")), "")
    try:
        run_id = run_to_join(session, typed.text("code"), now_ms)
        turn.was_right()
    except InvalidInput as error:
        if not typed.text("code"):
            turn.was_right()
        for fault in error.faults:
            typed.fault(fault.field, fault.message)
        run_id = ""
    typed.check()
    bus.require_room(run_id)
    return run_id, name
