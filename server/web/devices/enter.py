"""How a device is let in: by the link that the terminal prints, or by a code of the owner's."""

from fastapi import APIRouter, Request, Response

from server.domain.base.errors import Fault, TooMany
from server.domain.base.rights import Role
from server.store.database import Database
from server.store.devices import let_in, take_invitation
from server.web.devices.naming import device_name
from server.web.frame.cookies import keep_token, tokens_of
from server.web.frame.dependencies import HeldDatabase, NowMs, TypedForm
from server.web.frame.door import Asker, Door, HeldAsker, HeldDoor
from server.web.frame.errors import door_page
from server.web.frame.render import see
from server.web.frame.throttle import HeldTurn

router = APIRouter(prefix="/in")

OLD_LINK = (
    "This link opens no longer. Those that the terminal prints are good until the app stops, those "
    "of ./run let-me-in for 15 minutes and one device."
)
WRONG_CODE = (
    "Nothing opens to this code. Compare it with the one that is shown, or ask for another."
)
NO_CODE = "Type the code that the owner’s device shows."


@router.get("")
def enter_page(request: Request, asker: HeldAsker) -> Response:
    # The secret of a link stands behind a "#": no server, proxy or log hears it when it is opened.
    return door_page(request, {"role": asker.role or ""})


@router.post("/link")
def post_link(
    request: Request,
    held: HeldDatabase,
    door: HeldDoor,
    asker: HeldAsker,
    now_ms: NowMs,
    typed: TypedForm,
) -> Response:
    """By the secret of a link. It is longer than any code, and nobody guesses it."""
    secret = typed.text("secret")
    role: Role | None = "mine" if door.opens_to(secret) else None
    if role is None:
        with held.writing() as session:
            role = take_invitation(session, secret, now_ms)
    if role is None:
        return door_page(request, {"role": asker.role or ""}, (Fault("", OLD_LINK),), 422)
    return _enter(request, held, door, asker, role, "/", now_ms)


@router.post("")
def post_code(
    request: Request,
    held: HeldDatabase,
    door: HeldDoor,
    asker: HeldAsker,
    now_ms: NowMs,
    typed: TypedForm,
    turn: HeldTurn,
) -> Response:
    """By the code that a device of the owner's shows."""
    code, shown = typed.text("code"), typed.values | {"role": asker.role or ""}
    try:
        turn.require()
    except TooMany as error:
        return door_page(request, shown, (Fault("code", error.message),), 429)
    role = door.codes.use(code, now_ms) if code else None
    if role is not None or not code:
        turn.was_right()
    if role is None:
        fault = Fault("code", WRONG_CODE if code else NO_CODE)
        return door_page(request, shown, (fault,), 422)
    return _enter(request, held, door, asker, role, local_path(typed.text("to")), now_ms)


def local_path(path: str) -> str:
    """Where one wanted to go, if that is a page of this app."""
    is_local = path.startswith("/") and not path.startswith(("//", "/\\", "/in"))
    return path if is_local and path.isprintable() else "/"


def _enter(
    request: Request,
    held: Database,
    door: Door,
    asker: Asker,
    role: Role,
    to: str,
    now_ms: int,
) -> Response:
    if asker.device is not None and asker.role == "mine":
        return see(to)  # It may do all already, and stays the device that it is.
    name = device_name(request.headers.get("user-agent", ""))
    with held.writing() as session:
        _, token = let_in(session, role, name, now_ms, tokens_of(request))
    door.forget()
    answer = see(to)
    keep_token(request, answer, token)
    return answer
