"""What an admin sees of the house: people and teams with counts and sizes, never what they hold."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session, col, func, select

from server.store.heard.table import TakeRow
from server.store.people.persons import list_people
from server.store.people.table import SignInRow
from server.store.sharing.table import ShareRow, TeamMemberRow, TeamRoutineRow, TeamRow
from server.store.tables import DeviceRow, RoutineRow, RunRow, TrackRow
from server.store.uploads.table import RecordingRow


@dataclass(frozen=True)
class Household:
    """A person or a team: how many routines are theirs, and what room their files take, bytes."""

    name: str
    routines: int
    recorded_bytes: int
    music_bytes: int
    is_admin: bool = False
    has_ended: bool = False
    seen_ms: int | None = None
    members: int = 0

    @property
    def kept_bytes(self) -> int:
        """All their files together."""
        return self.recorded_bytes + self.music_bytes


def households(session: Session) -> list[Household]:
    """Everybody with an account, by name: what they own themselves, and when they were last here.

    A routine of several owners counts with each.
    """
    owned = select(ShareRow.person_id, ShareRow.routine_id).where(ShareRow.standing == "owner")
    counts, recorded, music = _sums(session, session.exec(owned).all())
    seen = _last_seen(session)
    return [
        Household(
            each.name,
            counts[each.id],
            recorded[each.id],
            music[each.id],
            each.is_admin,
            each.ended_ms is not None,
            seen.get(each.id),
        )
        for each in list_people(session)
    ]


def team_households(session: Session) -> list[Household]:
    """Every team, by name, with what it owns."""
    owned = select(TeamRoutineRow.team_id, TeamRoutineRow.routine_id)
    counts, recorded, music = _sums(session, session.exec(owned).all())
    members = Counter(session.exec(select(TeamMemberRow.team_id)))
    rows = session.exec(
        select(TeamRow)
        .where(col(TeamRow.dissolved_ms).is_(None))
        .order_by(func.lower(TeamRow.name), col(TeamRow.id))
    )
    return [
        Household(
            row.name, counts[row.id], recorded[row.id], music[row.id], members=members[row.id]
        )
        for row in rows
    ]


def jobs_of_all(session: Session) -> dict[str, int]:
    """How many recordings wait to be listened to, are listened to, or failed to be."""
    asked = select(TakeRow.job, func.count()).where(TakeRow.job != "").group_by(TakeRow.job)
    return dict(session.exec(asked).all())


def _last_seen(session: Session) -> dict[str, int]:
    rows = session.exec(
        select(SignInRow.person_id, func.max(DeviceRow.used_ms))
        .join(DeviceRow, col(DeviceRow.key) == col(SignInRow.device_key))
        .group_by(SignInRow.person_id)
    )
    return dict(rows.all())


def _sums(
    session: Session, owned: Sequence[tuple[str, str]]
) -> tuple[Counter[str], Counter[str], Counter[str]]:
    """Of each holder: routines not deleted, bytes of recordings and sounds, bytes of music."""
    live = set(session.exec(select(RoutineRow.id).where(col(RoutineRow.deleted_ms).is_(None))))
    recorded = _recorded(session)
    music = dict(session.exec(select(TrackRow.routine_id, TrackRow.size)).all())
    routines, sound, tracks = Counter[str](), Counter[str](), Counter[str]()
    for holder, routine_id in owned:
        routines[holder] += routine_id in live
        sound[holder] += recorded[routine_id]
        tracks[holder] += music.get(routine_id, 0)
    return routines, sound, tracks


def _recorded(session: Session) -> Counter[str]:
    """Routine id -> bytes of its recordings, and of the sounds of takes that came by themselves."""
    of_runs = (
        select(RunRow.routine_id, func.sum(RecordingRow.received_bytes))
        .join(RecordingRow, col(RecordingRow.run_id) == col(RunRow.id))
        .group_by(RunRow.routine_id)
    )
    of_takes = select(TakeRow.routine_id, func.sum(TakeRow.received_bytes)).group_by(
        TakeRow.routine_id
    )
    found = Counter[str]()
    for asked in (of_runs, of_takes):
        for routine_id, size in session.exec(asked):
            found[routine_id] += int(size or 0)
    return found
