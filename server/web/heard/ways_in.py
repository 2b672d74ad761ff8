"""The ways in: a file of sound, captions, or the recording of a run; and the takes there are."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.routine.plan import Plan
from server.settings import Settings
from server.store.heard.jobs import FAILED, WAITING, WORKING
from server.store.heard.of_recordings import take_of_recording
from server.store.heard.takes import Take, create_take, list_takes, set_words
from server.store.plans import freeze_plan
from server.store.routines import StoredRoutine, load_routine
from server.store.rule_sheets import load_rule_sheet
from server.store.uploads.media import MB
from server.store.uploads.media_place import place_at
from server.web.frame.dependencies import HeldSettings, NowMs, ReadSession, WriteSession
from server.web.frame.editing import routine_context
from server.web.frame.filters import short_day
from server.web.frame.forms import Form
from server.web.frame.render import page, see
from server.web.frame.shown import RoutinePage
from server.web.heard.habits import OftenLeftOut, often_left_out
from server.web.heard.held import PASTED, HeldHearing, HeldWords

router = APIRouter()


@dataclass(frozen=True)
class TakeLine:
    """A take in the list: what it is called, and what it waits for."""

    take: Take
    name: str
    state: str


@dataclass(frozen=True, kw_only=True)
class TakesPage(RoutinePage, folder="takes"):
    """The ways in, and the takes there are; `deleted` names the one just deleted."""

    form: Form
    takes: tuple[TakeLine, ...]
    most_bytes: int
    hearing_trouble: str
    has_script: bool
    left_out: list[OftenLeftOut]
    just_deleted: str


@router.get("/routines/{routine_id}/takes")
def takes_page(
    request: Request,
    session: ReadSession,
    settings: HeldSettings,
    hearing: HeldHearing,
    routine_id: str,
    deleted: str = "",
) -> Response:
    stored = load_routine(session, routine_id)
    shown = _shown(session, stored, settings, hearing.trouble, Form(), deleted)
    return page(request, shown)


@router.post("/takes/of/{routine_id}")
def post_words_of_a_take(
    words: HeldWords, settings: HeldSettings, hearing: HeldHearing, now_ms: NowMs, routine_id: str
) -> Response:
    def keep(session: Session, name: str, text: str) -> str:
        routine = load_routine(session, routine_id).routine
        key = freeze_plan(session, Plan(routine, load_rule_sheet(session, routine.rule_sheet_id)))
        take_id = create_take(session, routine_id, key, name, now_ms)
        set_words(session, take_id, text, name or PASTED)
        return f"/takes/{take_id}"

    def again(session: Session, form: Form) -> TakesPage:
        stored = load_routine(session, routine_id)
        return _shown(session, stored, settings, hearing.trouble, form, "")

    return words.take_in(keep, again)


@router.post("/recordings/{recording_id}/take")
def post_take_of_recording(session: WriteSession, now_ms: NowMs, recording_id: str) -> Response:
    """Open the take of a run's recording, made where there is none yet."""
    return see(f"/takes/{take_of_recording(session, recording_id, now_ms)}")


def take_name(take: Take) -> str:
    """What a take is called: its file, its run, or when it was made."""
    return take.name or f"Take of {short_day(take.started_ms or take.created_ms)}"


def _shown(
    session: Session,
    stored: StoredRoutine,
    settings: Settings,
    trouble: str,
    form: Form,
    deleted: str,
) -> TakesPage:
    folder = place_at(settings.files, settings.recordings_folder)
    return TakesPage(
        **routine_context(session, stored, "runs"),
        form=form,
        takes=tuple(
            TakeLine(each, take_name(each), _state(each))
            for each in list_takes(session, stored.routine.id)
        ),
        most_bytes=settings.recording_mb * MB,
        hearing_trouble=trouble,
        left_out=often_left_out(session, stored.routine.id, folder),
        has_script=any(each.said.strip() for each in stored.routine.segments),
        just_deleted=deleted,
    )


def _state(take: Take) -> str:
    if take.run_id is not None:
        return "claims added to its run" if take.is_beside_itself else "made a run"
    if take.job == WORKING:
        return f"being listened to, {take.job_share} %"
    if take.job in (WAITING, FAILED):
        return "waits to be listened to" if take.job == WAITING else "could not be listened to"
    return f"words from {take.words_from}, no run yet" if take.words_from else "no words yet"
