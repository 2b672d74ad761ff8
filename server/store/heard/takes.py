"""Takes: kept, found again, given their words, decided on, made a run, deleted and brought back."""

from collections.abc import Callable, Collection
from dataclasses import dataclass, fields, replace

from sqlmodel import Session, col, func, select

from server.domain.base.errors import Gone
from server.domain.base.text import LINE
from server.domain.heard.decided import Decided
from server.domain.heard.probe import SecondThought
from server.domain.whole.exchange import to_json
from server.store.database import row_there
from server.store.heard.table import TakeRow, onsets_in_row, thoughts_in_row
from server.store.ids import new_id
from server.store.readable import readable
from server.store.routines import touch_routine
from server.store.tables import RunRow
from server.store.uploads.media_place import MediaPlace
from server.store.uploads.recordings import restore_recording
from server.store.uploads.table import RecordingRow

NO_TAKE = "There is no such take."


@dataclass(frozen=True)
class Sound:
    """The sound of a take: a file in the folder of recordings, and how much of it is here."""

    file: str
    kind: str
    media_type: str
    lasts_ms: int
    size_bytes: int
    received_bytes: int
    received_parts: int
    done: bool


@dataclass(frozen=True)
class Take:
    """A take without its words, which can be long: see `words_of`.

    `started_ms` is when it was made, ms since 1970, where known; `words_from` where the words come
    from, "" for none; `thoughts` are what a second listening thinks, and `was_heard_again` whether
    there was one; `job_what` is AGAIN while the job is that. `onsets_ms` are what a browser heard,
    `has_onsets` whether one listened.
    """

    id: str
    routine_id: str
    plan_key: str
    name: str
    created_ms: int
    started_ms: int | None
    recording_id: str | None
    words_from: str
    decided: Decided
    job: str
    job_share: int
    job_says: str
    beside_run_id: str | None
    run_id: str | None
    onsets_ms: tuple[int, ...] = ()
    has_onsets: bool = False
    job_what: str = ""
    thoughts: tuple[SecondThought, ...] = ()
    was_heard_again: bool = False
    sound: Sound | None = None

    @property
    def doing(self) -> str:
        """What is being done with it, another word for each step; "" for nothing."""
        return f"{self.job} {self.job_what}".strip() if self.job else ""

    @property
    def is_decided_on(self) -> bool:
        """Whether a person decided anything of it: a boundary, a claim, that it is a run."""
        return self.run_id is not None or self.decided != Decided()

    @property
    def is_beside_itself(self) -> bool:
        """Whether what was heard went into the run that was marked by hand."""
        return self.run_id is not None and self.run_id == self.beside_run_id


_MADE = "decided", "onsets_ms", "has_onsets", "sound", "thoughts", "was_heard_again"
_OWN = tuple(each.name for each in fields(Take) if each.name not in _MADE)
_NARROW = tuple(
    getattr(TakeRow, each) for each in TakeRow.model_fields if each not in ("words", "deleted_ms")
)


def create_take(
    session: Session,
    routine_id: str,
    plan_key: str,
    name: str,
    now_ms: int,
    started_ms: int | None = None,
) -> str:
    """A take of a routine against a plan, with neither sound nor words; returns its id."""
    row = TakeRow(
        id=new_id(),
        routine_id=routine_id,
        plan_key=plan_key,
        name=" ".join(name.split())[-LINE:],
        created_ms=now_ms,
        started_ms=started_ms,
    )
    save_take(session, row)
    return row.id


def load_take(session: Session, take_id: str) -> Take:
    """A take. Raises NotFound and Gone."""
    return _take(session, live_take(session, take_id))


def list_takes(session: Session, routine_id: str) -> list[Take]:
    """The takes of a routine that are not deleted, latest first, without their sound."""
    statement = (
        select(*_NARROW)
        .where(TakeRow.routine_id == routine_id)
        .where(col(TakeRow.deleted_ms).is_(None))
        .order_by(col(TakeRow.created_ms).desc(), TakeRow.id)
    )
    return [
        Take(
            **{name: row[name] for name in _OWN},
            decided=_decided(row["decided"], row["id"]),
            onsets_ms=onsets_in_row(row["onsets"]),
            has_onsets=row["onsets"] is not None,
            thoughts=thoughts_in_row(row["again"]),
            was_heard_again=row["again"] is not None,
        )
        for row in session.connection().execute(statement).mappings()
    ]


def takes_bytes(session: Session, within: Collection[str] | None = None) -> int:
    """How much room the sounds of takes take that came as files of their own, bytes.

    `within` are the ids of the routines whose takes are counted, None for all.
    """
    held = select(func.sum(TakeRow.received_bytes)).where(col(TakeRow.deleted_ms).is_(None))
    if within is not None:
        held = held.where(col(TakeRow.routine_id).in_(within))
    return session.exec(held).one() or 0


def take_of_run(session: Session, run_id: str) -> str | None:
    """The take that a run was made of, or that its claims were heard in; None where none was."""
    return session.exec(
        select(TakeRow.id).where(TakeRow.run_id == run_id).where(col(TakeRow.deleted_ms).is_(None))
    ).first()


def words_of(session: Session, take_id: str) -> str | None:
    """The words of a take as they are kept, a JSON text; None while there are none."""
    return live_take(session, take_id).words


def set_words(session: Session, take_id: str, words: str, words_from: str) -> None:
    """Give a take its words. What was decided on others is dropped, and so is a job on it."""
    row = live_take(session, take_id)
    row.words, row.words_from = words, words_from[-LINE:]
    row.decided = to_json(Decided())
    row.job = row.job_says = ""
    row.again = None
    save_take(session, row)


def decide(session: Session, take_id: str, change: Callable[[Decided], Decided]) -> Decided:
    """Change what was decided of a take; returns it. Raises NotFound, Gone, what `change` does."""
    row = live_take(session, take_id)
    decided = change(_decided(row.decided, take_id))
    row.decided = to_json(decided)
    save_take(session, row)
    return decided


def set_plan(session: Session, take_id: str, plan_key: str) -> None:
    """Lay a take against another plan. What was decided of boundaries stays for those it has."""
    row = live_take(session, take_id)
    row.plan_key = plan_key
    row.again = None
    save_take(session, row)


def set_beside(session: Session, take_id: str, run_id: str | None) -> None:
    """Say which run, marked by hand, is the same performance; None for none."""
    row = live_take(session, take_id)
    row.beside_run_id = run_id
    save_take(session, row)


def tie_run(session: Session, take_id: str, run_id: str | None) -> None:
    """Note which run was made of a take; None where that was taken back."""
    row = live_take(session, take_id)
    row.run_id = run_id
    save_take(session, row)


def delete_take(session: Session, take_id: str, now_ms: int) -> str:
    """Delete a take with its words and its recording; returns the id of its routine."""
    row = live_take(session, take_id)
    row.deleted_ms = now_ms
    row.job = ""
    if row.recording_id is not None:
        recording = session.get_one(RecordingRow, row.recording_id)
        recording.deleted_ms = recording.deleted_ms or now_ms
        session.add(recording)
    save_take(session, row)
    return row.routine_id


def restore_take(session: Session, folder: MediaPlace, take_id: str) -> None:
    """Bring a deleted take back with its recording. Raises NotFound, and Gone for good."""
    row = row_there(session, TakeRow, take_id, NO_TAKE)
    if row.words is None and not row.received_bytes and row.recording_id is None:
        raise Gone("This take was deleted for good.")
    if row.recording_id is not None:
        restore_recording(session, folder, row.recording_id)
    row.deleted_ms = None
    save_take(session, row)


def live_take(session: Session, take_id: str) -> TakeRow:
    """The row of a take that is not deleted. Raises NotFound and Gone."""
    row = row_there(session, TakeRow, take_id, NO_TAKE)
    if row.deleted_ms is not None:
        raise Gone("This take was deleted.")
    return row


def save_take(session: Session, row: TakeRow) -> None:
    """Keep a changed row and count it as a change of its routine."""
    session.add(row)
    touch_routine(session, row.routine_id)
    session.flush()


def _take(session: Session, row: TakeRow) -> Take:
    take = Take(
        **{name: getattr(row, name) for name in _OWN},
        decided=_decided(row.decided, row.id),
        onsets_ms=onsets_in_row(row.onsets),
        has_onsets=row.onsets is not None,
        thoughts=thoughts_in_row(row.again),
        was_heard_again=row.again is not None,
    )
    return replace(take, sound=_sound(session, row), run_id=_live_run_id(session, row))


def _live_run_id(session: Session, row: TakeRow) -> str | None:
    """The run that was made of a take, unless that was deleted since."""
    run = None if row.run_id is None else session.get(RunRow, row.run_id)
    return None if run is None or run.deleted_ms is not None else run.id


def _sound(session: Session, row: TakeRow) -> Sound | None:
    if row.recording_id is not None:
        recording = session.get_one(RecordingRow, row.recording_id)
        return None if recording.deleted_ms is not None else _sound_of(recording)
    return _sound_of(row) if row.file else None


def _sound_of(row: TakeRow | RecordingRow) -> Sound:
    return Sound(**{each.name: getattr(row, each.name) for each in fields(Sound)})


def _decided(document: str, whose: str) -> Decided:
    return readable(Decided, document, whose) or Decided()
