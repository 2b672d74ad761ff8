"""Where people are signed in: devices that are let in as a person, each until its time is over.

How long: 30 days from signing in, whatever was done meanwhile (NIST SP 800-63B, 4.1.3, for what
needs one factor), and 14 days without use. A rehearsal is never lost to it: what a device marked
stays on it and is sent once it is signed in again.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sqlmodel import Session, col, select

from server.domain.base.durations import DAY_MS
from server.domain.base.errors import NotFound
from server.domain.people.person import Person
from server.store.devices import PERSONS, Device, device_of, hash_of, let_in, take_out
from server.store.people.persons import find_person, load_person
from server.store.people.table import SignInRow
from server.store.tables import DeviceRow

LASTS_MS = 30 * DAY_MS
IDLE_MS = 14 * DAY_MS


def is_over(device: Device, now_ms: int) -> bool:
    """Whether the time of a sign-in is over."""
    return now_ms - device.let_in_ms >= LASTS_MS or now_ms - device.used_ms >= IDLE_MS


@dataclass(frozen=True)
class SignedIn:
    """A browser that is signed in, and who by."""

    device: Device
    person: Person


def sign_in(
    session: Session, person_id: str, name: str, now_ms: int, before: Sequence[str] = ()
) -> tuple[SignedIn, str]:
    """Let a device in as a person; returns that and the new secret for its cookie.

    `before` are the secrets it showed until now. They end: the same person's device stays the one
    it was, and who else was signed in there is so no longer. Raises NotFound for an unknown person.
    """
    held = [row for token in before if (row := session.get(DeviceRow, hash_of(token)))]
    own = {row.key for row in held if _person_of(session, row.key) == person_id}
    for row in held:
        if row.key not in own:
            row.taken_ms = row.taken_ms or now_ms
            session.add(row)
    kept = [token for token in before if _key_of(held, token) in own]
    device, secret = let_in(session, PERSONS, name, now_ms, kept)
    found = session.get(SignInRow, device.key)
    whose = found or SignInRow(device_key=device.key, person_id=person_id, signed_in_ms=now_ms)
    whose.signed_in_ms = now_ms
    session.add(whose)
    session.flush()
    return SignedIn(as_person(device), load_person(session, person_id)), secret


def signed_in_with(session: Session, token: str, now_ms: int) -> SignedIn | None:
    """Who is signed in with this secret; None where nobody is, or no longer."""
    row = session.get(DeviceRow, hash_of(token)) if token else None
    if row is None or row.taken_ms is not None or row.role != PERSONS:
        return None
    device = as_person(device_of(row))
    person_id = _person_of(session, row.key)
    person = find_person(session, person_id) if person_id and not is_over(device, now_ms) else None
    return None if person is None else SignedIn(device, person)


def sign_ins_of(session: Session, person_id: str, now_ms: int) -> list[Device]:
    """The devices where a person is signed in, the one used last first."""
    rows = session.exec(
        select(DeviceRow)
        .join(SignInRow, col(SignInRow.device_key) == DeviceRow.key)
        .where(SignInRow.person_id == person_id, col(DeviceRow.taken_ms).is_(None))
        .order_by(col(DeviceRow.used_ms).desc(), DeviceRow.name)
    )
    devices = [as_person(device_of(row)) for row in rows]
    return [device for device in devices if not is_over(device, now_ms)]


def end_sign_in(session: Session, person_id: str, key: str, now_ms: int) -> None:
    """Sign a person out on one of their devices. Raises NotFound for any that is not theirs."""
    if _person_of(session, key) != person_id:
        raise NotFound("You are not signed in on such a device.")
    take_out(session, key, now_ms)


def end_sign_ins(session: Session, person_id: str, now_ms: int, but: str = "") -> None:
    """Sign a person out everywhere, but on the device with the key `but`."""
    rows = session.exec(
        select(DeviceRow)
        .join(SignInRow, col(SignInRow.device_key) == DeviceRow.key)
        .where(SignInRow.person_id == person_id, col(DeviceRow.taken_ms).is_(None))
        .where(DeviceRow.key != but)
    )
    for row in rows:
        row.taken_ms = now_ms
        session.add(row)


def as_person(device: Device) -> Device:
    """A device as whoever is signed in there uses it."""
    return replace(device, role="mine")


def _person_of(session: Session, key: str) -> str | None:
    row = session.get(SignInRow, key)
    return None if row is None else row.person_id


def _key_of(rows: Sequence[DeviceRow], token: str) -> str | None:
    return next((row.key for row in rows if row.token_hash == hash_of(token)), None)


def device_known_for(session: Session, person_id: str, tokens: Sequence[str]) -> str:
    """The key of the device where a person was signed in by one of these secrets, ended or not.

    "" where they never were.
    """
    rows = (session.get(DeviceRow, hash_of(token)) for token in tokens)
    keys = (row.key for row in rows if row is not None)
    return next((key for key in keys if _person_of(session, key) == person_id), "")
