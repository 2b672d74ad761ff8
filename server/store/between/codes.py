"""The code that lets one more device in: good just now, once, whichever process is asked."""

import secrets
from dataclasses import dataclass
from hmac import compare_digest
from typing import cast

from sqlmodel import Session, delete, select

from server.domain.base.rights import Role
from server.domain.runs.joining import join_code, read_code
from server.store.between.table import DeviceCodeRow

LENGTH = 8
"""Two signs more than a run's code: it opens more. 110 thousand million codes."""

LASTS_MS = 10 * 60_000


@dataclass(frozen=True)
class DeviceCode:
    """A code, what it lets in as, and until when."""

    code: str
    role: Role
    expires_ms: int

    @property
    def shown(self) -> str:
        """As it is read out."""
        return f"{self.code[:4]} {self.code[4:]}"


def make_device_code(session: Session, role: Role, now_ms: int) -> DeviceCode:
    """A new code; an earlier one is good no longer."""
    close_device_code(session)
    made = DeviceCode(join_code(secrets.choice, LENGTH), role, now_ms + LASTS_MS)
    session.add(DeviceCodeRow(code=made.code, role=role, expires_ms=made.expires_ms))
    return made


def close_device_code(session: Session) -> None:
    """Let nobody in by a code."""
    session.exec(delete(DeviceCodeRow))


def standing_device_code(session: Session, now_ms: int) -> DeviceCode | None:
    """The code that is good just now."""
    row = session.exec(select(DeviceCodeRow)).first()
    if row is None or row.expires_ms <= now_ms:
        return None
    return DeviceCode(row.code, cast(Role, row.role), row.expires_ms)


def use_device_code(session: Session, typed: str, now_ms: int) -> Role | None:
    """What a typed code lets in as, once; None for a wrong or an old one."""
    found = standing_device_code(session, now_ms)
    if found is None or not compare_digest(found.code.encode(), read_code(typed).encode()):
        return None
    close_device_code(session)
    return found.role
