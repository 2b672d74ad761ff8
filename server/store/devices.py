"""Devices that were let in, the links that let one in, and whose a name in a run's log is."""

import secrets
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Literal, cast

from sqlmodel import Session, col, delete, select

from server.domain.base.durations import DAY_MS
from server.domain.base.errors import InvalidInput, NotFound
from server.domain.base.rights import ROLES, Role
from server.domain.base.text import line_faults
from server.store.engines.insert_new import InsertNew
from server.store.tables import DeviceRow, InvitationRow, LogDeviceRow

_NAMES = InsertNew(LogDeviceRow, "run_id", "device_id")

LINK_LASTS_MS = 15 * 60_000
"""A link from the terminal is for the device beside it."""

FORGOTTEN_AFTER_MS = 400 * DAY_MS
"""As long as a browser keeps a cookie (RFC 6265bis, 5.5)."""

PERSONS: Literal["person"] = "person"
"""Kept in place of a role where a device was let in by a person signing in (`people/sign_ins.py`):
what is said here of the owner's devices leaves those out."""


@dataclass(frozen=True)
class Device:
    """A device that was let in; `key` tells it from others of the same name."""

    key: str
    role: Role
    name: str
    let_in_ms: int
    used_ms: int


def let_in(
    session: Session,
    role: Role | Literal["person"],
    name: str,
    now_ms: int,
    before: Sequence[str] = (),
    token: str = "",
) -> tuple[Device, str]:
    """Let a device in; returns it and the secret for its cookie, which is kept nowhere here.

    `before` are the secrets it showed until now: where one is known it stays the same device, and
    that secret ends. `token` is a secret that was made elsewhere.
    """
    secret = token or secrets.token_urlsafe(32)
    rows = (session.get(DeviceRow, hash_of(each)) for each in before)
    earlier = next((row for row in rows if row is not None), None)
    key = secrets.token_urlsafe(9) if earlier is None else earlier.key
    if earlier is not None:
        session.delete(earlier)
    row = DeviceRow(
        token_hash=hash_of(secret),
        key=key,
        role=role,
        name=name if earlier is None else earlier.name,
        let_in_ms=now_ms,
        used_ms=now_ms,
    )
    session.add(row)
    gone = col(DeviceRow.taken_ms) < now_ms - FORGOTTEN_AFTER_MS
    session.exec(delete(DeviceRow).where(gone))
    return device_of(row), secret


def device_with(session: Session, token: str) -> Device | None:
    """The device that shows this secret; None where none does, or it was taken out."""
    row = session.get(DeviceRow, hash_of(token)) if token else None
    is_in = row is not None and row.taken_ms is None and row.role in ROLES
    return device_of(row) if row is not None and is_in else None


def list_devices(session: Session) -> list[Device]:
    """All devices that are let in, the one used last first."""
    rows = session.exec(
        select(DeviceRow)
        .where(col(DeviceRow.taken_ms).is_(None), col(DeviceRow.role).in_(ROLES))
        .order_by(col(DeviceRow.used_ms).desc(), DeviceRow.name)
    )
    return [device_of(row) for row in rows]


def take_out(session: Session, key: str, now_ms: int) -> Device:
    """Let a device in no longer; it can be brought back. Raises NotFound."""
    row = _row(session, key)
    row.taken_ms = row.taken_ms or now_ms
    session.add(row)
    return device_of(row)


def bring_back(session: Session, key: str) -> Device:
    """Let a device in again that was taken out. Raises NotFound."""
    row = _row(session, key)
    row.taken_ms = None
    session.add(row)
    return device_of(row)


def device_named(session: Session, key: str) -> Device:
    """A device, taken out or not. Raises NotFound."""
    return device_of(_row(session, key))


def rename_device(session: Session, key: str, name: str) -> None:
    """Call a device something else. Raises NotFound, and InvalidInput for no name or a long one."""
    if not name:
        raise InvalidInput.of("name", "Give the device a name.")
    faults = line_faults(name, "name")
    if faults:
        raise InvalidInput(faults)
    row = _row(session, key)
    row.name = name
    session.add(row)


def note_use(session: Session, key: str, now_ms: int) -> None:
    """Remember when a device was used."""
    row = session.exec(select(DeviceRow).where(DeviceRow.key == key)).first()
    if row is not None:
        row.used_ms = max(row.used_ms, now_ms)
        session.add(row)


def invite(session: Session, role: Role, now_ms: int) -> str:
    """A secret that lets one device in, for a while; it is kept nowhere here."""
    secret = secrets.token_urlsafe(16)
    session.exec(delete(InvitationRow).where(col(InvitationRow.expires_ms) <= now_ms))
    lasts_ms = now_ms + LINK_LASTS_MS
    session.add(InvitationRow(secret_hash=hash_of(secret), role=role, expires_ms=lasts_ms))
    return secret


def take_invitation(session: Session, secret: str, now_ms: int) -> Role | None:
    """What a secret lets in as, once; None where it does not, or no longer."""
    row = session.get(InvitationRow, hash_of(secret))
    if row is None or row.expires_ms <= now_ms:
        return None
    session.delete(row)
    return cast(Role, row.role)


def owners_of(session: Session, run_id: str, device_ids: Collection[str]) -> dict[str, str]:
    """Whose these names in a run's log are: name -> key, without those that are nobody's yet."""
    rows = session.exec(
        select(LogDeviceRow)
        .where(LogDeviceRow.run_id == run_id)
        .where(col(LogDeviceRow.device_id).in_(device_ids))
    )
    return {row.device_id: row.key for row in rows}


def keep_names(session: Session, run_id: str, device_ids: Collection[str], key: str) -> None:
    """From now on these names in a run's log are those of `key`, where they are nobody's yet."""
    rows = [{"run_id": run_id, "device_id": each, "key": key} for each in sorted(device_ids)]
    if rows:
        _NAMES.put(session, rows)


def names_of(session: Session, run_id: str, key: str) -> set[str]:
    """The names in a run's log that are those of `key`."""
    chosen = select(LogDeviceRow.device_id).where(LogDeviceRow.run_id == run_id)
    return set(session.exec(chosen.where(LogDeviceRow.key == key)))


def hash_of(secret: str) -> str:
    """What is kept of a secret."""
    # Of at least 128 random bits: it needs neither salt nor stretching.
    return sha256(secret.encode()).hexdigest()


def _row(session: Session, key: str) -> DeviceRow:
    row = session.exec(select(DeviceRow).where(DeviceRow.key == key)).first()
    if row is None:
        raise NotFound("There is no such device.")
    return row


def device_of(row: DeviceRow) -> Device:
    """A row as what it stands for."""
    return Device(row.key, cast(Role, row.role), row.name, row.let_in_ms, row.used_ms)
