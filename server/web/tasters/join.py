"""Joining a tasting: a code and a name, no account. The same phone stays the same taster."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.domain.base.errors import Conflict, InvalidInput, TooMany
from server.domain.runs.joining import read_name
from server.store.database import Database
from server.store.tastings.sittings import sitting_to_join
from server.store.tastings.tasters import Taster, admit_taster
from server.web.frame.cookies import (
    cookie_of,
    keep_pass,
    name_kept,
    taste_cookie,
    taste_tokens,
)
from server.web.frame.dependencies import HeldDatabase, NowMs, TypedForm
from server.web.frame.forms import Form, Typed
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.frame.throttle import HeldTurn, Turn, refused_code

router = APIRouter(prefix="/taste")


@dataclass(frozen=True, kw_only=True)
class TasteJoinPage(Page, folder="taste_join"):
    """Where one who tastes types the code of a tasting and a name."""

    form: Form


@router.get("")
def taste_join_page(request: Request) -> Response:
    name = name_kept(request)
    shown = TasteJoinPage(form=Form({"code": "", "name": name}))
    return page(request, shown)


@router.post("")
def post_taste_join(
    request: Request, held: HeldDatabase, now_ms: NowMs, typed: TypedForm, turn: HeldTurn
) -> Response:
    try:
        turn.require()
        sitting_id, taster, token = _admitted(request, held, typed, now_ms, turn)
    except (InvalidInput, TooMany, Conflict) as error:
        form, status = refused_code(typed, error)
        return page(request, TasteJoinPage(form=form), status)
    answer = see(f"/tastings/{sitting_id}/taste")
    keep_pass(request, answer, taste_cookie(sitting_id), token, taster.name)
    return answer


def _admitted(
    request: Request, held: Database, typed: Typed, now_ms: int, turn: Turn
) -> tuple[str, Taster, str]:
    """Who joins which sitting; a wrong code counts against the address it comes from."""
    name = typed.take(lambda: read_name(typed.text("name")), "") if typed.text("name") else ""
    if not typed.text("name"):
        typed.fault("name", "Give your name: the host sees it beside your card, nobody else.")
    with held.writing() as session:
        sitting_id = typed.take(lambda: sitting_to_join(session, typed.text("code"), now_ms), "")
        if sitting_id or not typed.text("code"):
            turn.was_right()
        typed.check()
        before = cookie_of(request, taste_cookie(sitting_id))
        taster, token = admit_taster(
            session, sitting_id, name, now_ms, before, taste_tokens(request)
        )
    return sitting_id, taster, token
