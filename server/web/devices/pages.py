"""The devices that are let in: listed, called something else, taken out; and letting one in."""

from collections.abc import Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Depends, Request, Response
from sqlmodel import Session

from server.domain.base.errors import InvalidInput, NotFound
from server.domain.base.rights import ROLES, Role
from server.store.between.codes import (
    DeviceCode,
    close_device_code,
    make_device_code,
    standing_device_code,
)
from server.store.database import after_commit
from server.store.devices import (
    Device,
    bring_back,
    device_named,
    list_devices,
    rename_device,
    take_out,
)
from server.web.frame.dependencies import NowMs, ReadSession, TypedForm, WriteSession
from server.web.frame.door import HERE, Asker, Door, HeldAsker, HeldDoor
from server.web.frame.editing import Sent
from server.web.frame.forms import Form
from server.web.frame.guard import opened
from server.web.frame.reach import address_for_others, qr_svg
from server.web.frame.render import page, see
from server.web.frame.shown import Page


async def _are_let_in(request: Request, asker: HeldAsker) -> None:
    if asker.person is not None and request.method == "POST":
        raise NotFound("Where people have accounts, a device is signed in: see your account.")


router = APIRouter(prefix="/devices", dependencies=[Depends(_are_let_in)])


@dataclass(frozen=True, kw_only=True)
class DevicesPage(Page, folder="device_list"):
    """The devices that are let in."""

    devices: Sequence[Device]
    roles: dict[Role, str]
    own_key: str
    is_here: bool
    is_open: bool
    edit: str
    form: Form
    taken: Device | None
    """The one just taken out, which can be brought back."""
    code: DeviceCode | None
    minutes_left: int
    address: str | None


@router.get("")
def devices_page(
    request: Request,
    session: ReadSession,
    door: HeldDoor,
    asker: HeldAsker,
    now_ms: NowMs,
    edit: str = "",
    taken: str = "",
) -> Response:
    if asker.person is not None:
        return see("/account")  # Where people have accounts a device is signed in, not let in.
    devices = list_devices(session)
    form = opened({"name": next((each.name for each in devices if each.key == edit), "")})
    out = None
    if taken and taken not in {each.key for each in devices}:
        out = device_named(session, taken)
    code = standing_device_code(session, now_ms)
    return page(request, _shown(request, door, asker, now_ms, devices, code, edit, form, out))


@router.post("/code")
def post_code(session: WriteSession, now_ms: NowMs, typed: TypedForm) -> Response:
    role = typed.text("role")
    if role not in ROLES:
        raise InvalidInput.of("role", "Choose whether it is yours or a helper’s.")
    make_device_code(session, role, now_ms)
    return see("/devices")


@router.post("/code/close")
def post_close(session: WriteSession) -> Response:
    close_device_code(session)
    return see("/devices")


@router.get("/code.svg")
def code_image(request: Request, session: ReadSession, now_ms: NowMs) -> Response:
    code, address = standing_device_code(session, now_ms), address_for_others(request)
    if code is None or address is None:
        raise NotFound("There is no code to scan just now.")
    image = qr_svg(f"{address}/in#{code.code}", "Let a device in")
    return Response(image, media_type="image/svg+xml", headers={"Cache-Control": "no-store"})


@router.post("/{key}")
def post_name(
    request: Request, sent: Sent, door: HeldDoor, asker: HeldAsker, now_ms: NowMs, key: str
) -> Response:
    def change(session: Session) -> str:
        typed = sent.merged({"name": device_named(session, key).name})
        rename_device(session, key, typed.text("name"))
        after_commit(session, door.forget)
        return "/devices"

    def again(session: Session, form: Form) -> DevicesPage:
        devices, code = list_devices(session), standing_device_code(session, now_ms)
        return _shown(request, door, asker, now_ms, devices, code, key, form)

    return sent.save(change, again)


@router.post("/{key}/take")
def post_take(session: WriteSession, door: HeldDoor, now_ms: NowMs, key: str) -> Response:
    take_out(session, key, now_ms)
    after_commit(session, door.forget)
    return see(f"/devices?taken={key}")


@router.post("/{key}/back")
def post_back(session: WriteSession, door: HeldDoor, key: str) -> Response:
    bring_back(session, key)
    after_commit(session, door.forget)
    return see("/devices")


def _shown(
    request: Request,
    door: Door,
    asker: Asker,
    now_ms: int,
    devices: Sequence[Device],
    code: DeviceCode | None,
    edit: str,
    form: Form,
    taken: Device | None = None,
) -> DevicesPage:
    return DevicesPage(
        devices=devices,
        roles=ROLES,
        own_key=asker.key,
        is_here=asker.key == HERE,
        is_open=door.is_open,
        edit=edit,
        form=form,
        taken=taken,
        code=code,
        minutes_left=0 if code is None else -((now_ms - code.expires_ms) // 60_000),
        address=address_for_others(request),
    )
