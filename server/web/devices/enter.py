"""How a device is let in: by the link that the terminal prints, or by a code of the owner's."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from server.domain.base.errors import Fault, TooMany
from server.domain.base.rights import Role
from server.store.between.codes import standing_device_code, use_device_code
from server.store.between.terminal_links import is_printed
from server.store.devices import let_in, take_invitation
from server.web.devices.naming import device_name
from server.web.frame.cookies import keep_token, tokens_of
from server.web.frame.dependencies import HeldDatabase, NowMs, TypedForm, made_of
from server.web.frame.door import HeldAsker, HeldDoor
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


@dataclass(frozen=True)
class Newcomer:
    """A browser that is about to be let in, as a device or as somebody's."""

    request: Request
    held: HeldDatabase
    door: HeldDoor
    asker: HeldAsker
    now_ms: NowMs

    @property
    def device_name(self) -> str:
        """What it is called from now on, as it says itself what it is."""
        return device_name(self.request.headers.get("user-agent", ""))


@dataclass(frozen=True)
class Entering(Newcomer):
    """A device that asks to be let in, with what it typed."""

    typed: TypedForm

    @property
    def is_of_before(self) -> bool:
        """Whether people have accounts: then neither link nor code opens any longer."""
        return self.asker.must_sign_in or self.asker.person is not None

    def shut(self, fault: Fault, status: int = 422, *, keeps_typed: bool = True) -> Response:
        """The page again, with what is wrong."""
        typed = self.typed.values if keeps_typed else {}
        return door_page(self.request, typed | {"role": self.asker.role or ""}, (fault,), status)

    def by_code(self, code: str) -> Role | None:
        """What a typed code lets in as, once."""
        with self.held.reading() as session:
            if standing_device_code(session, self.now_ms) is None:
                return None
        with self.held.writing() as session:
            return use_device_code(session, code, self.now_ms)

    def by_link(self, secret: str) -> Role | None:
        """What the secret of a link lets in as: the link of a terminal, or one for one device."""
        if self.door.opens_to(secret):
            return "mine"
        with self.held.writing() as session:
            if is_printed(session, secret, self.now_ms):
                return "mine"
            return take_invitation(session, secret, self.now_ms)

    def enter(self, role: Role, to: str) -> Response:
        """Let it in, and lead it where it wanted to go."""
        asker = self.asker
        if asker.device is not None and asker.role == "mine":
            return see(to)  # It may do all already, and stays the device that it is.
        with self.held.writing() as session:
            _, token = let_in(session, role, self.device_name, self.now_ms, tokens_of(self.request))
        self.door.forget()
        answer = see(to)
        keep_token(self.request, answer, token)
        return answer


Enters = Annotated[Entering, Depends(made_of(Entering))]


@router.get("")
def enter_page(request: Request, asker: HeldAsker) -> Response:
    if asker.must_sign_in or asker.person is not None:
        return see("/sign-in")
    # The secret of a link stands behind a "#": no server, proxy or log hears it when it is opened.
    return door_page(request, {"role": asker.role or ""})


@router.post("/link")
def post_link(device: Enters) -> Response:
    """By the secret of a link. It is longer than any code, and nobody guesses it."""
    if device.is_of_before:
        return see("/sign-in")
    secret = device.typed.text("secret")
    role = device.by_link(secret)
    if role is None:
        return device.shut(Fault("", OLD_LINK), keeps_typed=False)
    return device.enter(role, "/")


@router.post("")
def post_code(device: Enters, turn: HeldTurn) -> Response:
    """By the code that a device of the owner's shows."""
    if device.is_of_before:
        return see("/sign-in")
    code = device.typed.text("code")
    try:
        turn.require()
    except TooMany as error:
        return device.shut(Fault("code", error.message), 429)
    role = device.by_code(code) if code else None
    if role is not None or not code:
        turn.was_right()
    if role is None:
        return device.shut(Fault("code", WRONG_CODE if code else NO_CODE))
    return device.enter(role, local_path(device.typed.text("to")))


def local_path(path: str) -> str:
    """Where one wanted to go, if that is a page of this app."""
    is_local = path.startswith("/") and not path.startswith(("//", "/\\", "/in"))
    return path if is_local and path.isprintable() else "/"
