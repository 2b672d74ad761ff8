"""What was deleted and can still be brought back: for thirty days, in one list."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Literal

from sqlmodel import Session, col, select

from server.domain.base.durations import DAY_MS
from server.domain.base.errors import NotFound
from server.domain.routine.edits import give_drink_back, part_of
from server.domain.routine.routine import Routine
from server.domain.tasters.sitting import Sitting
from server.store.heard.forgetting import deleted_takes
from server.store.readable import readable
from server.store.routines import edit_routine, list_routines
from server.store.tables import RevisionRow, RoutineRow, RunRow
from server.store.tastings.table import SittingRow
from server.store.uploads.table import RecordingRow

KEPT_MS = 30 * DAY_MS
"""How long a deleted thing can be brought back."""

_DELETION = "deleted “"
"""How the labels of what deletes something begin."""

Kind = Literal["routine", "run", "recording", "drink", "take", "tasting"]


_WITHOUT_ITS_ROUTINE: tuple[Kind, ...] = ("routine", "recording")
"""What can be brought back although its routine is deleted, or is one."""


@dataclass(frozen=True)
class DeletedThing:
    """Something that can be brought back until `until_ms`; `of` says whose it was.

    `made_ms` is when a run began: most have no name, and several are deleted at a time.
    """

    kind: Kind
    id: str
    name: str
    of: str
    routine_id: str
    deleted_ms: int
    made_ms: int | None = None

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
    found = [
        *_routines(session, since_ms),
        *_runs(session, since_ms),
        *_recordings(session, since_ms),
        *_takes(session, since_ms),
        *_tastings(session, since_ms),
        *_drinks(session, since_ms),
    ]
    found = [each for each in found if within is None or each.routine_id in within]
    routines = list_routines(session, within={each.routine_id for each in found})
    names = {routine.id: routine.name for routine in routines}
    named = (
        replace(each, of=names.get(each.routine_id, each.of))
        for each in found
        if each.routine_id in names or each.kind in _WITHOUT_ITS_ROUTINE
    )
    return sorted(named, key=lambda each: each.deleted_ms, reverse=True)


def bring_drink_back(session: Session, routine_id: str, drink_id: str, now_ms: int) -> None:
    """Put a deleted drink behind the others of its routine, with what was about it.

    Raises NotFound.
    """
    lost = _lost_drinks(session, routine_id, now_ms - KEPT_MS).get(drink_id)
    if lost is None:
        raise NotFound("This drink is no longer kept.")
    before = lost.before
    label = f"brought back “{lost.name_of(drink_id)}”"
    edit_routine(
        session, routine_id, lambda now: give_drink_back(now, drink_id, before), label, now_ms
    )


def _routines(session: Session, since_ms: int) -> list[DeletedThing]:
    statement = select(RoutineRow.id, RoutineRow.deleted_ms)
    rows = dict(session.exec(statement.where(col(RoutineRow.deleted_ms) >= since_ms)).all())
    return [
        DeletedThing("routine", each.id, each.name, "", each.id, rows[each.id] or 0)
        for each in list_routines(session, deleted=True, within=rows)
    ]


def _runs(session: Session, since_ms: int) -> list[DeletedThing]:
    rows = session.exec(select(RunRow).where(col(RunRow.deleted_ms) >= since_ms))
    return [
        DeletedThing(
            "run", row.id, row.label, "", row.routine_id, row.deleted_ms or 0, _began_ms(row)
        )
        for row in rows
    ]


def _recordings(session: Session, since_ms: int) -> list[DeletedThing]:
    rows = session.exec(
        select(RecordingRow, RunRow)
        .join(RunRow, col(RunRow.id) == col(RecordingRow.run_id))
        .where(col(RecordingRow.deleted_ms) >= since_ms)
        .where(RecordingRow.received_parts > 0)
    )
    return [
        DeletedThing(
            "recording", row.id, run.label, "", run.routine_id, row.deleted_ms or 0, _began_ms(run)
        )
        for row, run in rows
    ]


def _began_ms(run: RunRow) -> int:
    return run.started_ms or run.created_ms


def _takes(session: Session, since_ms: int) -> list[DeletedThing]:
    return [
        DeletedThing("take", take_id, name, "", routine_id, deleted_ms)
        for take_id, name, routine_id, deleted_ms in deleted_takes(session, since_ms)
    ]


def _tastings(session: Session, since_ms: int) -> list[DeletedThing]:
    rows = session.exec(select(SittingRow).where(col(SittingRow.deleted_ms) >= since_ms))
    read = ((row, readable(Sitting, row.document, row.routine_id)) for row in rows)
    return [
        DeletedThing("tasting", row.id, kept.name, "", row.routine_id, row.deleted_ms or 0)
        for row, kept in read
        if kept is not None
    ]


def _drinks(session: Session, since_ms: int) -> list[DeletedThing]:
    changed = session.exec(
        select(RevisionRow.routine_id)
        .where(col(RevisionRow.saved_ms) >= since_ms)
        .where(col(RevisionRow.label).startswith(_DELETION))
    )
    # Made single here: asked to do it, SQLite would go through all routines.
    return [
        DeletedThing("drink", drink_id, lost.name_of(drink_id), "", routine.id, lost.deleted_ms)
        for routine in list_routines(session, within=set(changed))
        for drink_id, lost in _lost_drinks(session, routine.id, since_ms).items()
        if drink_id not in {each.id for each in routine.drinks}
    ]


@dataclass(frozen=True)
class _Lost:
    """The state of a routine that still had what was deleted, and when that was deleted."""

    before: Routine
    deleted_ms: int

    def name_of(self, drink_id: str) -> str:
        """What a drink was called in it."""
        return part_of(self.before.drinks, drink_id).name


def _lost_drinks(session: Session, routine_id: str, since_ms: int) -> dict[str, _Lost]:
    """Drink id -> the state before its deletion, and when it was deleted."""
    row = session.get(RoutineRow, routine_id)
    if row is None:
        return {}
    deletions = session.exec(
        select(RevisionRow.number, RevisionRow.saved_ms)
        .where(RevisionRow.routine_id == routine_id)
        .where(RevisionRow.number <= row.head)
        .where(RevisionRow.saved_ms >= since_ms)
        .where(col(RevisionRow.label).startswith(_DELETION))
        .order_by(col(RevisionRow.number))
    ).all()
    lost: dict[str, _Lost] = {}
    for number, saved_ms in deletions:
        before, after = (_state_at(session, routine_id, each) for each in (number - 1, number))
        if before is not None:
            gone = _drink_ids(before) - (set() if after is None else _drink_ids(after))
            lost |= dict.fromkeys(gone, _Lost(before, saved_ms))
    return lost


def _drink_ids(routine: Routine) -> set[str]:
    return {drink.id for drink in routine.drinks}


def _state_at(session: Session, routine_id: str, number: int) -> Routine | None:
    row = session.get(RevisionRow, (routine_id, number))
    return None if row is None else readable(Routine, row.document, routine_id)
