"""People: made, found, called something else, ended and given back."""

from collections.abc import Callable

from sqlmodel import Session, col, func, select

from server.domain.base.errors import Conflict, InvalidInput, refuse_if
from server.domain.people.person import Person, person_faults, sign_in_key
from server.store.database import row_there
from server.store.ids import new_id
from server.store.people.table import PersonRow
from server.store.sharing.taking_over import own_everything

WHEN_FIRST: tuple[Callable[[Session, Person, int], None], ...] = (own_everything,)
"""Called with the first person and the time (ms) in the transaction that makes them: whoever keeps
what was made before makes it theirs here."""

TAKEN = "This name to sign in by is taken. Choose another one."


def make_person(
    session: Session, name: str, sign_in: str, now_ms: int, *, password: str | None = None
) -> Person:
    """A new person; `password` is what is kept of one. The first is the admin.

    Raises InvalidInput for a name that is missing, too long or taken.
    """
    refuse_if(person_faults(name, sign_in))
    if person_by_sign_in(session, sign_in) is not None:
        raise InvalidInput.of("sign_in", TAKEN)
    is_first = not has_people(session)
    row = PersonRow(
        id=new_id(),
        name=name.strip(),
        sign_in=sign_in.strip(),
        sign_in_key=sign_in_key(sign_in),
        is_admin=is_first,
        password=password,
        made_ms=now_ms,
    )
    session.add(row)
    session.flush()
    person = _person(row)
    if is_first:
        for take_over in WHEN_FIRST:
            take_over(session, person, now_ms)
    return person


def has_people(session: Session) -> bool:
    """Whether anybody has an account here, ended or not."""
    return session.exec(select(PersonRow.id).limit(1)).first() is not None


def load_person(session: Session, person_id: str) -> Person:
    """A person, ended or not. Raises NotFound."""
    return _person(_row(session, person_id))


def find_person(session: Session, person_id: str) -> Person | None:
    """A person whose account is not ended; None for any other id."""
    row = session.get(PersonRow, person_id)
    return None if row is None or row.ended_ms is not None else _person(row)


def person_by_sign_in(session: Session, typed: str) -> Person | None:
    """The person, ended or not, whose sign-in name this is however it is written."""
    chosen = select(PersonRow).where(PersonRow.sign_in_key == sign_in_key(typed))
    row = session.exec(chosen).first()
    return None if row is None else _person(row)


def list_people(session: Session) -> list[Person]:
    """Everybody, by name; those whose account is ended last."""
    rows = session.exec(
        select(PersonRow).order_by(
            col(PersonRow.ended_ms).is_not(None), func.lower(PersonRow.name), PersonRow.id
        )
    )
    return [_person(row) for row in rows]


def change_person(session: Session, person_id: str, name: str, sign_in: str) -> None:
    """Call a person something else. Raises NotFound, and InvalidInput as `make_person` does."""
    refuse_if(person_faults(name, sign_in))
    other = person_by_sign_in(session, sign_in)
    if other is not None and other.id != person_id:
        raise InvalidInput.of("sign_in", TAKEN)
    row = _row(session, person_id)
    row.name, row.sign_in, row.sign_in_key = name.strip(), sign_in.strip(), sign_in_key(sign_in)
    session.add(row)


def set_admin(session: Session, person_id: str, is_admin: bool) -> None:
    """Make a person an admin, or one no longer. Raises NotFound, Conflict for the last admin."""
    row = _row(session, person_id)
    if not is_admin:
        _require_another_admin(session, row)
    row.is_admin = is_admin
    session.add(row)


def end_person(session: Session, person_id: str, now_ms: int) -> None:
    """End an account: nobody signs in by it. Raises NotFound, Conflict for the last admin."""
    row = _row(session, person_id)
    _require_another_admin(session, row)
    row.ended_ms = row.ended_ms or now_ms
    session.add(row)


def give_back(session: Session, person_id: str) -> None:
    """Open an account again that was ended. Raises NotFound."""
    row = _row(session, person_id)
    row.ended_ms = None
    session.add(row)


def _require_another_admin(session: Session, row: PersonRow) -> None:
    others = session.exec(
        select(PersonRow.id)
        .where(col(PersonRow.is_admin), col(PersonRow.ended_ms).is_(None))
        .where(PersonRow.id != row.id)
    ).first()
    if row.is_admin and others is None:
        raise Conflict(f"{row.name} is the only admin: make somebody else one first.")


def _row(session: Session, person_id: str) -> PersonRow:
    return row_there(session, PersonRow, person_id, "There is no such person.")


def _person(row: PersonRow) -> Person:
    return Person(row.id, row.name, row.sign_in, row.is_admin, row.made_ms, row.ended_ms)
