"""The code by which the owner lets one more device in: shown on theirs, typed or scanned there."""

import secrets
from dataclasses import dataclass
from hmac import compare_digest
from threading import Lock

from server.domain.base.rights import Role
from server.domain.runs.joining import join_code, read_code

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


class DeviceCodes:
    """The one code that is good just now, once. It is in no file, and gone with a restart."""

    def __init__(self) -> None:
        self._open: DeviceCode | None = None
        self._lock = Lock()

    def make(self, role: Role, now_ms: int) -> DeviceCode:
        """A new code; an earlier one is good no longer."""
        made = DeviceCode(join_code(secrets.choice, LENGTH), role, now_ms + LASTS_MS)
        with self._lock:
            self._open = made
        return made

    def close(self) -> None:
        """Let nobody in by a code."""
        with self._lock:
            self._open = None

    def standing(self, now_ms: int) -> DeviceCode | None:
        """The code that is good just now."""
        found = self._open
        return found if found is not None and found.expires_ms > now_ms else None

    def use(self, typed: str, now_ms: int) -> Role | None:
        """What a typed code lets in as, once; None for a wrong or an old one."""
        with self._lock:
            found = self.standing(now_ms)
            if found is None or not compare_digest(found.code.encode(), read_code(typed).encode()):
                return None
            self._open = None
            return found.role
