"""What was deleted and can still be brought back: for thirty days, in one list."""

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal

from sqlmodel import Session, col, select

from server.domain.base.errors import NotFound
from server.domain.routine.drink import Drink
from server.domain.routine.edits import put_drink
from server.domain.routine.routine import Routine
from server.domain.tasters.sitting import Sitting
from server.store.heard.forgetting import deleted_takes
from server.store.readable import readable
from server.store.routines import edit_routine, list_routines
from server.store.tables import RecordingRow, RevisionRow, RoutineRow, RunRow, SittingRow

KEPT_MS = 30 * 24 * 3_600_000
"""How long a deleted thing can be brought back."""

Kind = Literal["routine", "run", "recording", "drink", "take", "tasting"]


@dataclass(frozen=True)
class DeletedThing:
    """Something that can be brought back until `until_ms`; `of` says whose it was."""

    kind: Kind
    id: str
    name: str
    of: str
    routine_id: str
    deleted_ms: int

    @property
    def until_ms(self) -> int:
        """When it is gone for good."""
        return self.deleted_ms + KEPT_MS


def deleted_things(
    session: Session, now_ms: int, within: Collection[str] | None = None
) -> list[DeletedThing]:
    """What was deleted in the last thirty days, latest first.

    `within` are the ids of the routines of which it is wanted, None for all.
    """
    since_ms = now_ms - KEPT_MS
    live = list_routines(session, within=within)
    names = {routine.id: routine.name for routine in live}
    found = [
        *_routines(session),
        *_runs(session, names),
        *_recordings(session, names),
        *_takes(session, names),
        *_tastings(session, names),
        *(each for routine in live for each in _drinks(session, routine, since_ms)),
    ]
    wanted = (each for each in found if within is None or each.routine_id in within)
    kept = (each for each in wanted if each.deleted_ms >= since_ms)
    return sorted(kept, key=lambda each: each.deleted_ms, reverse=True)


def bring_drink_back(session: Session, routine_id: str, drink_id: str, now_ms: int) -> None:
    """Put a deleted drink behind the others of its routine. Raises NotFound."""
    drink = _lost_drinks(session, routine_id, now_ms - KEPT_MS).get(drink_id)
    if drink is None:
        raise NotFound("This drink is no longer kept.")
    label = f"brought back “{drink[0].name}”"
    edit_routine(session, routine_id, lambda routine: put_drink(routine, drink[0]), label, now_ms)


def _routines(session: Session) -> list[DeletedThing]:
    rows = dict(session.exec(select(RoutineRow.id, RoutineRow.deleted_ms)).all())
    return [
        DeletedThing("routine", each.id, each.name, "", each.id, rows[each.id] or 0)
        for each in list_routines(session, deleted=True)
    ]


def _runs(session: Session, names: dict[str, str]) -> list[DeletedThing]:
    rows = session.exec(select(RunRow).where(col(RunRow.deleted_ms).is_not(None)))
    return [
        DeletedThing(
            "run", row.id, row.label, names[row.routine_id], row.routine_id, row.deleted_ms or 0
        )
        for row in rows
        if row.routine_id in names
    ]


def _recordings(session: Session, names: dict[str, str]) -> list[DeletedThing]:
    rows = session.exec(
        select(RecordingRow, RunRow)
        .join(RunRow, col(RunRow.id) == col(RecordingRow.run_id))
        .where(col(RecordingRow.deleted_ms).is_not(None))
        .where(RecordingRow.received_parts > 0)
    )
    return [
        DeletedThing(
            "recording",
            row.id,
            run.label,
            names.get(run.routine_id, ""),
            run.routine_id,
            row.deleted_ms or 0,
        )
        for row, run in rows
    ]


def _takes(session: Session, names: dict[str, str]) -> list[DeletedThing]:
    return [
        DeletedThing("take", take_id, name, names[routine_id], routine_id, deleted_ms)
        for take_id, name, routine_id, deleted_ms in deleted_takes(session)
        if routine_id in names
    ]


def _tastings(session: Session, names: dict[str, str]) -> list[DeletedThing]:
    rows = session.exec(select(SittingRow).where(col(SittingRow.deleted_ms).is_not(None)))
    read = ((row, readable(Sitting, row.document, row.routine_id)) for row in rows)
    return [
        DeletedThing(
            "tasting", row.id, kept.name, names[row.routine_id], row.routine_id, row.deleted_ms or 0
        )
        for row, kept in read
        if kept is not None and row.routine_id in names
    ]


def _drinks(session: Session, routine: Routine, since_ms: int) -> list[DeletedThing]:
    there = {drink.id for drink in routine.drinks}
    lost = _lost_drinks(session, routine.id, since_ms)
    return [
        DeletedThing("drink", drink.id, drink.name, routine.name, routine.id, deleted_ms)
        for drink, deleted_ms in lost.values()
        if drink.id not in there
    ]


def _lost_drinks(session: Session, routine_id: str, since_ms: int) -> dict[str, tuple[Drink, int]]:
    """Drink id -> the drink as a state before its deletion has it, and when it was deleted."""
    row = session.get(RoutineRow, routine_id)
    if row is None:
        return {}
    deletions = session.exec(
        select(RevisionRow.number, RevisionRow.saved_ms)
        .where(RevisionRow.routine_id == routine_id)
        .where(RevisionRow.number <= row.head)
        .where(RevisionRow.saved_ms >= since_ms)
        .where(col(RevisionRow.label).startswith("deleted “"))
        .order_by(col(RevisionRow.number))
    ).all()
    lost: dict[str, tuple[Drink, int]] = {}
    for number, saved_ms in deletions:
        before, after = (_drinks_at(session, routine_id, each) for each in (number - 1, number))
        lost |= {key: (before[key], saved_ms) for key in before.keys() - after.keys()}
    return lost


def _drinks_at(session: Session, routine_id: str, number: int) -> dict[str, Drink]:
    row = session.get(RevisionRow, (routine_id, number))
    routine = None if row is None else readable(Routine, row.document, routine_id)
    return {} if routine is None else {drink.id: drink for drink in routine.drinks}
