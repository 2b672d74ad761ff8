"""Nothing is a run before the person says so here; and here that is taken back."""

from fastapi import APIRouter, Request, Response

from server.domain.base.errors import InvalidInput
from server.domain.base.text import line_faults
from server.web.frame.dependencies import HeldDatabase, HeldSettings, NowMs, TypedForm
from server.web.frame.forms import Form
from server.web.frame.render import page, see
from server.web.frame.uploads.uploaded import RecordingsFolder
from server.web.heard.held import HeldHearing
from server.web.heard.reading import require_reading
from server.web.heard.take_page import Asked, take_page_of
from server.web.heard.take_to_run import add_claims, make_run, take_back
from server.web.live.followers import HeldBus
from server.web.runs.paper import started_ms_of

router = APIRouter(prefix="/takes/{take_id}/run")


@router.post("")
def post_run(
    request: Request,
    held: HeldDatabase,
    bus: HeldBus,
    settings: HeldSettings,
    hearing: HeldHearing,
    folder: RecordingsFolder,
    now_ms: NowMs,
    take_id: str,
    typed: TypedForm,
) -> Response:
    """Make a take a run, or add its claims to the one marked by hand (`times` is "hand")."""
    with held.reading() as session:
        reading = require_reading(session, take_id, folder)
    try:
        if typed.text("times") == "hand":
            with held.writing() as session:
                run_id = add_claims(session, bus, reading, now_ms)
        else:
            started_ms = typed.take(lambda: started_ms_of(typed.text("when"), now_ms), now_ms)
            for fault in line_faults(typed.text("label"), "label"):
                typed.fault(fault.field, fault.message)
            typed.check()
            with held.writing() as session:
                run_id = make_run(session, reading, typed.text("label"), started_ms, now_ms)
    except InvalidInput as error:
        form = Form(typed.values, error.faults)
        with held.reading() as session:
            asked = Asked(edit="run")
            shown = take_page_of(session, settings, take_id, hearing, asked, form)
        return page(request, shown, 422)
    return see(f"/runs/{run_id}?made=take")


@router.post("/undo")
def post_undo(held: HeldDatabase, bus: HeldBus, now_ms: NowMs, take_id: str) -> Response:
    with held.writing() as session:
        take_back(session, bus, take_id, now_ms)
    return see(f"/takes/{take_id}")
