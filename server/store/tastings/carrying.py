"""Tastings that leave and enter with the file of their routine: closed, and without names."""

from dataclasses import replace

from sqlmodel import Session, col, select

from server.domain.tasters.record import SittingRecord, TasterRecord
from server.domain.tasters.sitting import Sitting
from server.domain.tasters.taster_answers import NOTHING_YET
from server.domain.whole.exchange import to_json
from server.store.tastings.sittings import keep_sitting, sittings_of
from server.store.tastings.table import SittingRow, TasterRow
from server.store.tastings.tasters import tasters_of


def sitting_records(session: Session, routine_id: str) -> tuple[SittingRecord, ...]:
    """All tastings of a routine that are not deleted or damaged, with who tasted; the first first.

    Those of one moment stand in the order of their ids.
    """
    sittings = sorted(sittings_of(session, routine_id), key=lambda each: (each.made_ms, each.id))
    return tuple(_record(session, each) for each in sittings)


def add_sittings(session: Session, routine_id: str, records: tuple[SittingRecord, ...]) -> None:
    """Keep the tastings of a routine that has just come in with its file; no code opens them."""
    for each in records:
        keep_sitting(session, replace(each.sitting, routine_id=routine_id))
        session.flush()
        session.add_all(_row(each.sitting.id, taster) for taster in each.tasters)


def has_sitting(session: Session, records: tuple[SittingRecord, ...]) -> bool:
    """Whether one of these tastings is here already, be it deleted."""
    ids = [each.sitting.id for each in records]
    return (
        session.exec(select(SittingRow.id).where(col(SittingRow.id).in_(ids))).first() is not None
    )


def _record(session: Session, sitting: Sitting) -> SittingRecord:
    rows = session.exec(
        select(TasterRow)
        .where(TasterRow.sitting_id == sitting.id, col(TasterRow.place) > 0)
        .order_by(col(TasterRow.place))
    )
    moments = {row.key: (row.joined_ms, row.answered_ms) for row in rows}
    return SittingRecord(
        sitting,
        tuple(
            TasterRecord(
                each.key,
                each.place,
                moments[each.key][0],
                each.joins,
                each.answer,
                moments[each.key][1],
                each.apart,
            )
            for each in tasters_of(session, sitting.id)
        ),
    )


def _row(sitting_id: str, taster: TasterRecord) -> TasterRow:
    has_answered = taster.answer != NOTHING_YET
    return TasterRow(
        sitting_id=sitting_id,
        key=taster.key,
        token_hash="",  # No phone comes back to it: its pass stayed where it tasted.
        name=f"Taster {taster.place}",
        joined_ms=taster.joined_ms,
        joins=taster.joins,
        place=taster.place,
        count=taster.answer.count,
        answer=to_json(taster.answer) if has_answered else "{}",
        answered_ms=taster.answered_ms or (taster.joined_ms if has_answered else None),
        apart=taster.apart,
    )
