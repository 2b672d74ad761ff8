"""How a browser sends the sound of a take, and how a page plays it."""

from dataclasses import asdict, dataclass
from typing import Annotated

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse
from pydantic import ConfigDict, Field

from server.domain.base.documents import Instant
from server.domain.base.errors import NotFound
from server.domain.routine.plan import Plan
from server.domain.whole.exchange import from_json
from server.store.heard.sound import (
    AnnouncedSound,
    Arrived,
    announce_sound,
    append_sound,
    arriving_sound,
    sound_row,
)
from server.store.heard.takes import create_take, load_take
from server.store.plans import freeze_plan
from server.store.routines import load_routine
from server.store.rule_sheets import load_rule_sheet
from server.store.uploads.before_writing import looked_at, sent_ahead
from server.store.uploads.media import MB
from server.web.frame.dependencies import Body, HeldDatabase, HeldSettings, NowMs, ReadSession
from server.web.frame.uploads.uploaded import PartNumber, RecordingsFolder
from server.web.runs.recordings import played

router = APIRouter()


@dataclass(frozen=True)
class AnnouncedTake:
    """A file that begins a take; `made_ms` is when it was recorded, as its date says."""

    __pydantic_config__ = ConfigDict(extra="forbid", strict=True)

    name: Annotated[str, Field(max_length=1000)]
    sound: AnnouncedSound
    made_ms: Instant | None = None


@router.post("/api/routines/{routine_id}/takes")
def post_take(
    held: HeldDatabase,
    folder: RecordingsFolder,
    settings: HeldSettings,
    now_ms: NowMs,
    routine_id: str,
    body: Body,
) -> Response:
    told = from_json(AnnouncedTake, body)
    made_ms = told.made_ms if told.made_ms is not None and told.made_ms <= now_ms else None
    with held.writing() as session:
        routine = load_routine(session, routine_id).routine
        key = freeze_plan(session, Plan(routine, load_rule_sheet(session, routine.rule_sheet_id)))
        take_id = create_take(session, routine_id, key, told.name, now_ms, made_ms)
        most = settings.recording_mb * MB
        arrived = announce_sound(session, folder, take_id, told.sound, most)
    return JSONResponse({"id": take_id, **asdict(arrived)})


@router.post("/api/takes/{take_id}/sound")
def post_sound(
    held: HeldDatabase, folder: RecordingsFolder, settings: HeldSettings, take_id: str, body: Body
) -> Response:
    told = from_json(AnnouncedSound, body)
    folder = looked_at(held, folder, sound_row(take_id))
    with held.writing() as session:
        most = settings.recording_mb * MB
        arrived = announce_sound(session, folder, take_id, told, most)
    return _state(arrived)


@router.put("/api/takes/{take_id}/parts/{number}")
def put_sound_part(
    held: HeldDatabase, folder: RecordingsFolder, take_id: str, number: PartNumber, body: Body
) -> Response:
    folder = sent_ahead(held, folder, arriving_sound(take_id), number, body)
    with held.writing() as session:
        arrived = append_sound(session, folder, take_id, number, body)
    return _state(arrived)


@router.api_route("/takes/{take_id}/sound", methods=["GET", "HEAD"])
def get_sound(
    request: Request, session: ReadSession, folder: RecordingsFolder, take_id: str
) -> Response:
    sound = load_take(session, take_id).sound
    if sound is None or not sound.done:
        raise NotFound("This take has no sound, or not all of it has arrived.")
    gone = "The file of this take is missing from where recordings are kept."
    return played(request, folder, sound, f"take-{take_id}", gone)


def _state(arrived: Arrived) -> Response:
    # What a browser needs to go on from here.
    return JSONResponse(asdict(arrived))
