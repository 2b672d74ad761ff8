"""The admin's page: people and sizes, disk, jobs and errors. Nothing of what anybody made."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.durations import DAY_MS
from server.domain.base.errors import Unreachable
from server.faults import CountedFault, LateFaults
from server.settings import ROOT, Settings
from server.store.sharing.house import Household, households, jobs_of_all, team_households
from server.store.uploads.media import MediaFolder, free_bytes
from server.store.uploads.media_place import place_at
from server.web.frame.dependencies import HeldDatabase, NowMs, ReadSession
from server.web.frame.health import LEAST_FREE_BYTES
from server.web.frame.offered.scope import HeldSignedIn
from server.web.frame.render import page
from server.web.frame.shown import Page

router = APIRouter(prefix="/house")

DAYS = 7


@dataclass(frozen=True, kw_only=True)
class HousePage(Page, folder="house"):
    """What an admin sees."""

    people: Sequence[Household]
    teams: Sequence[Household]
    database_bytes: int
    kept_bytes: int | None
    """None where the store of files cannot be reached."""
    files: str
    """Address of that store, "" where they lie in the data folder."""
    files_trouble: str
    left_behind: int
    """Files in the data folder from before they went into a store, where none is looked for."""
    free_bytes: int
    is_full: bool
    """Whether so little room is left that it needs somebody now."""
    jobs: dict[str, int]
    following: int
    trouble: Sequence[str]
    copied_ms: int | None
    copy_leaves_out: str
    """Of the newest nightly backup; None and "" where there is none here."""
    copies: int
    """How many nightly backups are kept; 0 where none are made."""
    faults: Sequence[CountedFault]
    days: int
    engine: str
    version: str


@router.get("")
def house_page(
    request: Request,
    session: ReadSession,
    database: HeldDatabase,
    person: HeldSignedIn,
    now_ms: NowMs,
) -> Response:
    state, settings = request.app.state, request.app.state.settings
    faults: LateFaults | None = state.faults
    people, teams = households(session), team_households(session)
    kept, files_trouble = _kept_bytes(settings)
    free, copied = free_bytes(settings.data_dir), state.nightly.last()
    shown = HousePage(
        people=people,
        teams=teams,
        database_bytes=database.engine.size_bytes(),
        kept_bytes=kept,
        files=settings.files,
        files_trouble=files_trouble,
        left_behind=_left_behind(settings) if settings.files else 0,
        free_bytes=free,
        is_full=free < LEAST_FREE_BYTES,
        jobs=jobs_of_all(session),
        following=state.live.count,
        copied_ms=copied.made_ms if copied else None,
        copy_leaves_out=copied.leaves_out if copied else "",
        copies=settings.backups,
        trouble=[each for each in (state.nightly.trouble,) if each],
        faults=faults.since(now_ms - DAYS * DAY_MS) if faults else (),
        days=DAYS,
        engine=_engine(session),
        version=_version(),
    )
    return page(request, shown)


def _kept_bytes(settings: Settings) -> tuple[int | None, str]:
    """What recordings and music take, those deleted and not yet gone included, or why not."""
    places = (
        place_at(settings.files, folder)
        for folder in (settings.recordings_folder, settings.music_dir)
    )
    try:
        return sum(size for place in places for _, size in place.files()), ""
    except Unreachable as error:
        return None, error.message


def _left_behind(settings: Settings) -> int:
    folders = (settings.recordings_folder, settings.music_dir)
    return sum(1 for folder in folders for _ in MediaFolder(folder).files())


def _engine(session: Session) -> str:
    dialect = session.connection().dialect
    number = ".".join(map(str, dialect.server_version_info or ()))
    names = {"sqlite": "SQLite", "postgresql": "PostgreSQL"}
    return f"{names.get(dialect.name, dialect.name)} {number}".strip()


@lru_cache(maxsize=1)
def _version() -> str:
    try:
        text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
        return str(tomllib.loads(text)["project"]["version"])
    except (OSError, KeyError, ValueError):
        return ""
