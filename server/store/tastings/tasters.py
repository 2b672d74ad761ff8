"""Who tastes: a phone joins by a code, takes its place, and sends its answers as often as it likes.

The same phone stays one taster, however often it joins, and carries one key to all its tastings: so
what was drunk at several of them in an evening can be added up.
"""

import secrets
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from sqlmodel import Session, col, func, select

from server.domain.base.errors import Conflict
from server.domain.runs.joining import PASS_LASTS_MS
from server.domain.tasters.sitting import Sitting
from server.domain.tasters.taster_answers import NOTHING_YET, Answer
from server.domain.whole.exchange import to_json
from server.store.database import row_there
from server.store.devices import hash_of
from server.store.readable import readable
from server.store.routines import touch_routine
from server.store.tastings.table import SittingRow, TasterRow

MOST_JOINED = 200
"""More than can taste: some who join may not."""


@dataclass(frozen=True)
class Taster:
    """One who joined; `place` is 0 until they said that they may taste, `joins` how often."""

    key: str
    name: str
    joins: int
    place: int
    answer: Answer
    apart: bool
    joined_ms: int = 0

    @property
    def counts(self) -> bool:
        """Whether the answer enters the result."""
        return self.answer.done and not self.apart


def admit_taster(
    session: Session,
    sitting_id: str,
    name: str,
    now_ms: int,
    before: str = "",
    others: Sequence[str] = (),
) -> tuple[Taster, str]:
    """Admit a phone; returns who it is and the token to be shown, which is kept nowhere.

    `before` is the token that it showed for this sitting already: it stays that taster, with a new
    pass. `others` are its tokens of other sittings: it keeps the key it had there. Raises Conflict
    where nobody else fits in.
    """
    token = secrets.token_urlsafe(24)
    row = _with_token(session, sitting_id, before) if before else None
    if row is None:
        joined = select(func.count()).where(col(TasterRow.sitting_id) == sitting_id)
        if session.exec(joined).one() >= MOST_JOINED:
            raise Conflict(f"At most {MOST_JOINED} phones join a tasting.")
        row = TasterRow(
            sitting_id=sitting_id,
            key=_free_key(session, sitting_id, others),
            token_hash="",
            name=name,
            joined_ms=now_ms,
            joins=0,
        )
    row.token_hash, row.name, row.joined_ms = hash_of(token), name, now_ms
    row.joins += 1
    session.add(row)
    return _taster(row), token


def taster_with(session: Session, sitting_id: str, token: str, now_ms: int) -> Taster | None:
    """Who shows this token; None where it does not admit to the sitting, or no longer."""
    row = _with_token(session, sitting_id, token) if token else None
    if row is None or row.joined_ms + PASS_LASTS_MS <= now_ms:
        return None
    return _taster(row)


def take_place(session: Session, sitting_id: str, key: str, most: int) -> int:
    """The place of one who may taste, from 1; the same again for who has one.

    Raises NotFound, and Conflict where all places are taken.
    """
    row = _row(session, sitting_id, key)
    if not row.place:
        last = select(func.max(TasterRow.place)).where(col(TasterRow.sitting_id) == sitting_id)
        place = (session.exec(last).one() or 0) + 1
        if place > most:
            raise Conflict("All places of this tasting are taken.")
        row.place = place
        session.add(row)
    return row.place


def keep_answer(session: Session, sitting_id: str, key: str, answer: Answer, now_ms: int) -> bool:
    """Keep an answer unless a later one is kept; whether it was. Raises NotFound and Conflict."""
    row = _row(session, sitting_id, key)
    if not row.place:
        raise Conflict("First say that you may taste.")
    if row.answered_ms is not None and answer.count <= row.count:
        return False
    row.count, row.answer, row.answered_ms = answer.count, to_json(answer), now_ms
    session.add(row)
    routine = session.exec(select(SittingRow.routine_id).where(SittingRow.id == sitting_id)).one()
    touch_routine(session, routine)
    return True


def keep_apart(session: Session, sitting_id: str, key: str, *, apart: bool) -> None:
    """Leave a taster out of the result, or count them again. Raises NotFound."""
    row = _row(session, sitting_id, key)
    row.apart = apart
    session.add(row)
    routine = session.exec(select(SittingRow.routine_id).where(SittingRow.id == sitting_id)).one()
    touch_routine(session, routine)


def tasters_of(session: Session, sitting_id: str) -> list[Taster]:
    """All who may taste, by their places."""
    chosen = select(TasterRow).where(
        col(TasterRow.sitting_id) == sitting_id, col(TasterRow.place) > 0
    )
    return [_taster(row) for row in session.exec(chosen.order_by(col(TasterRow.place)))]


def _free_key(session: Session, sitting_id: str, others: Sequence[str]) -> str:
    """The key that a phone had at its latest other tasting, unless that is taken here; a new one
    otherwise.
    """
    chosen = select(TasterRow.key).where(col(TasterRow.token_hash).in_(map(hash_of, others)))
    known = session.exec(chosen.order_by(col(TasterRow.joined_ms).desc())).first()
    if known is not None and session.get(TasterRow, (sitting_id, known)) is None:
        return known
    return secrets.token_urlsafe(9)


def tasted_by(session: Session, keys: Collection[str], since_ms: int) -> dict[str, list[Sitting]]:
    """Key of a taster -> the sittings at which they took a place since then, the first one first.

    Deleted ones too: what was drunk was drunk. Damaged ones are left out.
    """
    chosen = (
        select(TasterRow.key, SittingRow.document, SittingRow.routine_id)
        .join(SittingRow, col(SittingRow.id) == col(TasterRow.sitting_id))
        .where(col(TasterRow.key).in_(keys), col(TasterRow.place) > 0)
        .where(col(TasterRow.joined_ms) >= since_ms)
        .order_by(col(TasterRow.joined_ms))
    )
    found: dict[str, list[Sitting]] = {}
    for key, document, routine_id in session.exec(chosen):
        sitting = readable(Sitting, document, f"routine {routine_id}")
        if sitting is not None:
            found.setdefault(key, []).append(sitting)
    return found


def _with_token(session: Session, sitting_id: str, token: str) -> TasterRow | None:
    held = (col(TasterRow.sitting_id) == sitting_id, col(TasterRow.token_hash) == hash_of(token))
    return session.exec(select(TasterRow).where(*held)).first()


def _taster(row: TasterRow) -> Taster:
    answer = NOTHING_YET
    if row.answered_ms is not None:
        answer = readable(Answer, row.answer, f"sitting {row.sitting_id}") or NOTHING_YET
    return Taster(row.key, row.name, row.joins, row.place, answer, row.apart, row.joined_ms)


def _row(session: Session, sitting_id: str, key: str) -> TasterRow:
    return row_there(session, TasterRow, (sitting_id, key), "There is no such taster.")
