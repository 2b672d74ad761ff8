"""What is ticked: things packed for an occasion, and tasks done; several devices tick at once.

A tick says what is so, not what has changed: sent twice it does no harm. One that comes late, from
a device that was away, counts as of when it was said: what was said after it stands.
"""

from collections.abc import Iterable
from typing import cast, get_args

from sqlalchemy import ColumnElement, case
from sqlmodel import Session, col, func, select, update

from server.domain.base.errors import InvalidInput
from server.domain.base.text import LINE
from server.domain.prepare.ticks import MOST_TICKS, PackedTick, Ticked, TickedFor, tick_of
from server.store.routines import change_of, touch_routine
from server.store.tables import PackedRow


def ticks_of(session: Session, routine_id: str, occasion: TickedFor) -> dict[str, Ticked]:
    """Key -> how it stands, of everything that ever was ticked. Raises NotFound."""
    change_of(session, routine_id)
    rows = session.exec(
        select(PackedRow.key, PackedRow.packed, PackedRow.packed_for).where(
            *_of(routine_id, occasion)
        )
    )
    return {key: Ticked(packed, packed_for or "") for key, packed, packed_for in rows}


def done_tasks(session: Session, routine_id: str) -> set[str]:
    """The ids of the tasks that are done. Raises NotFound."""
    return {key for key, each in ticks_of(session, routine_id, "made").items() if each.packed}


def was_packed_before(session: Session, routine_id: str, occasion: TickedFor) -> bool:
    """Whether anything was packed the time before."""
    held = select(func.count()).where(*_of(routine_id, occasion), col(PackedRow.before))
    return session.exec(held).one() > 0


def tick(
    session: Session,
    routine_id: str,
    occasion: str,
    key: str,
    *,
    packed: bool,
    said_ms: int,
    amount: str = "",
) -> None:
    """Note that a thing was packed, or was not, at `said_ms`; `amount` is for how much, as whoever
    packed it was told. Raises NotFound and InvalidInput.
    """
    change_of(session, routine_id)
    if occasion not in get_args(TickedFor):
        raise InvalidInput.of("occasion", "Choose an occasion from the list.")
    known = cast(TickedFor, occasion)
    if len(key) > LINE or tick_of(known, key, packed=packed, before=False) is None:
        raise InvalidInput.of("key", "Say which thing it is.")
    row = session.get(PackedRow, (routine_id, occasion, key))
    if row is None:
        count = session.exec(
            select(func.count()).where(col(PackedRow.routine_id) == routine_id)
        ).one()
        if count >= MOST_TICKS:
            raise InvalidInput.of("key", f"At most {MOST_TICKS:,} things can be ticked.")
        row = PackedRow(routine_id=routine_id, occasion=occasion, key=key)
    if (row.said_ms or 0) > said_ms:
        return
    row.said_ms = said_ms
    # An amount of many units can be longer than a line: that one is not kept.
    packed_for = (amount if len(amount) <= LINE else "") if packed else row.packed_for
    if (row.packed, row.packed_for) != (packed, packed_for):
        # The first page of the routine tells what is still to be packed.
        touch_routine(session, routine_id)
    row.packed, row.packed_for = packed, packed_for
    session.add(row)


def pack_anew(session: Session, routine_id: str, occasion: TickedFor, said_ms: int) -> None:
    """Take every tick away; `pack_as_before` brings them back. With no tick nothing happens."""
    if not any(each.packed for each in ticks_of(session, routine_id, occasion).values()):
        return
    session.exec(
        update(PackedRow)
        .where(*_of(routine_id, occasion))
        .values(before=PackedRow.packed, packed=False, said_ms=said_ms)
    )
    touch_routine(session, routine_id)


def pack_as_before(session: Session, routine_id: str, occasion: TickedFor, said_ms: int) -> None:
    """Tick all that was packed the time before, for as much as then; what is ticked stays so."""
    change_of(session, routine_id)
    session.exec(
        update(PackedRow)
        .where(*_of(routine_id, occasion))
        .values(
            packed=case((col(PackedRow.before), True), else_=col(PackedRow.packed)),
            said_ms=said_ms,
        )
    )
    touch_routine(session, routine_id)


def all_ticks(session: Session, routine_id: str) -> tuple[PackedTick, ...]:
    """What is ticked, or ever was, for all occasions."""
    rows = session.exec(
        select(PackedRow)
        .where(PackedRow.routine_id == routine_id)
        .order_by(col(PackedRow.occasion), col(PackedRow.key))
    )
    ticks = (
        tick_of(
            cast(TickedFor, row.occasion),
            row.key,
            packed=row.packed,
            before=row.before,
            amount=row.packed_for or "",
        )
        for row in rows
    )
    return tuple(each for each in ticks if each is not None)


def add_ticks(session: Session, routine_id: str, ticks: Iterable[PackedTick]) -> None:
    """Keep the ticks of a routine that has just come in with its file."""
    session.add_all(
        PackedRow(
            routine_id=routine_id,
            occasion=each.occasion,
            key=each.key,
            packed=each.packed,
            before=each.before,
            packed_for=each.amount,
        )
        for each in ticks
    )


def _of(routine_id: str, occasion: TickedFor) -> tuple[ColumnElement[bool], ColumnElement[bool]]:
    return col(PackedRow.routine_id) == routine_id, col(PackedRow.occasion) == occasion
