"""Takes that leave and enter with the file of their routine: their words, not their sound."""

import json
from collections.abc import Collection, Mapping

from sqlmodel import Session, col, select

from server.domain.base.languages import supported
from server.domain.heard.alignment import spoken_segments
from server.domain.heard.record import (
    MOST_TAKES,
    ListenedRecord,
    StartRecord,
    TakeRecord,
    word_records,
)
from server.domain.heard.words import Transcript, transcript_document, transcript_from
from server.domain.whole.exchange import to_json
from server.store.heard.table import TakeRow
from server.store.heard.takes import Take, list_takes, words_of
from server.store.plans import load_plan


def take_records(
    session: Session, routine_id: str, run_ids: Collection[str]
) -> tuple[TakeRecord, ...]:
    """The takes of a routine that have words, the first first; they name only those runs."""
    takes = [each for each in list_takes(session, routine_id) if each.words_from][:MOST_TAKES]
    return tuple(_record(session, each, run_ids) for each in reversed(takes))


def add_takes(
    session: Session, routine_id: str, records: Collection[TakeRecord], keys: Mapping[str, str]
) -> None:
    """Keep the takes of a routine that has just come in with its file; `keys` of plans as here."""
    session.add_all(_row(routine_id, each, keys[each.plan_key]) for each in records)


def has_take(session: Session, records: Collection[TakeRecord]) -> bool:
    """Whether one of these takes is here already, be it deleted."""
    ids = [each.id for each in records]
    return session.exec(select(TakeRow.id).where(col(TakeRow.id).in_(ids))).first() is not None


def _record(session: Session, take: Take, run_ids: Collection[str]) -> TakeRecord:
    transcript = transcript_from(json.loads(words_of(session, take.id) or "{}"))
    return TakeRecord(
        take.id,
        take.plan_key,
        take.created_ms,
        transcript.kind,
        transcript.timed,
        word_records(transcript),
        take.name,
        take.started_ms,
        take.words_from,
        _starts(session, take, transcript),
        tuple(ListenedRecord(*each) for each in sorted(take.decided.claims.items())),
        take.onsets_ms,
        take.run_id if take.run_id in run_ids else None,
        take.beside_run_id if take.beside_run_id in run_ids else None,
    )


def _starts(session: Session, take: Take, transcript: Transcript) -> tuple[StartRecord, ...]:
    """Where each segment begins: as it was heard, or where the person put it."""
    # Loaded where a take leaves: the start does without.
    from server.domain.heard.aligning import align

    found: dict[str, int] = {}
    if transcript.timed:
        routine = load_plan(session, take.plan_key).routine
        onsets_s = [each / 1000 for each in take.onsets_ms]
        language = supported(routine.language).code
        laid = align(transcript, spoken_segments(routine), onsets_s, language)
        found = {each.segment_id: round(each.start_s * 1000) for each in laid.boundaries}
        found |= {"start": round(laid.start_s * 1000), "finish": round(laid.finish_s * 1000)}
    set_ = take.decided.at_ms
    return tuple(
        StartRecord(key, at_ms, key in set_) for key, at_ms in sorted((found | set_).items())
    )


def _row(routine_id: str, take: TakeRecord, plan_key: str) -> TakeRow:
    words = transcript_document(take.transcript)
    return TakeRow(
        id=take.id,
        routine_id=routine_id,
        plan_key=plan_key,
        name=take.name,
        created_ms=take.created_ms,
        started_ms=take.started_ms,
        words=json.dumps(words, ensure_ascii=False),
        words_from=take.words_from or take.kind,
        decided=to_json(take.decided),
        onsets=json.dumps(take.onsets_ms) if take.onsets_ms else None,
        run_id=take.run_id,
        beside_run_id=take.beside_run_id,
    )
