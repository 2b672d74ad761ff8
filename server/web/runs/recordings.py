"""Recordings: how a device sends them, how a page plays them, and how they are deleted."""

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse
from sqlmodel import Session

from server.domain.base.errors import NotFound
from server.domain.runs.chapters import Chapter, chapters, web_vtt
from server.domain.whole.exchange import from_json
from server.settings import Settings
from server.store.heard.of_recordings import takes_of_recordings
from server.store.heard.takes import Sound, delete_take, takes_bytes
from server.store.runs import StoredRun, load_run
from server.store.uploads.before_writing import looked_at, sent_ahead
from server.store.uploads.media import MB
from server.store.uploads.media_place import MediaPlace, Whereabouts, place_at, whereabouts
from server.store.uploads.recordings import (
    Announced,
    KeptRecording,
    Recording,
    announce_recording,
    append_part,
    arriving_recording,
    delete_recording,
    every_recording,
    load_recording,
    recording_row,
    run_recordings,
)
from server.web.frame.dependencies import (
    Body,
    HeldDatabase,
    HeldSettings,
    NowMs,
    ReadSession,
    TypedForm,
    WriteSession,
)
from server.web.frame.offered.scope import HeldScope
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.frame.uploads.placed_file import placed_file
from server.web.frame.uploads.uploaded import PartNumber, RecordingsFolder

router = APIRouter()

FILE_POLICY = "default-src 'none'; sandbox"
"""An uploaded file that was opened by itself may do nothing at all."""


@dataclass(frozen=True)
class HeardRecording:
    """A recording as the review shows it."""

    recording: Recording
    chapters: tuple[Chapter, ...]
    file_is: Whereabouts
    """Where its file is: a database may have come back from a backup without it."""
    has_words: bool
    """Whether a take holds the words that were found in it."""

    @property
    def arrived(self) -> int:
        """How much of it has arrived, in per cent."""
        return self.recording.received_bytes * 100 // self.recording.size_bytes


@dataclass(frozen=True, kw_only=True)
class RecordingsPage(Page):
    """All recordings with the room they take; `edit` names the one about to be deleted."""

    folder: ClassVar[str] = "recordings"

    kept: list[KeptRecording]
    used_bytes: int
    takes_bytes: int
    """Of those, sounds of takes that came as files of their own."""
    left_out: str
    """What the newest nightly backup leaves out; told to whoever sees the house."""
    free_bytes: int | None
    """None where they lie in a store, which does not say."""
    worded: frozenset[str]
    """Those whose words a take holds."""
    deletable: frozenset[str]
    """Those that whoever asks may delete."""
    edit: str


@router.post("/api/runs/{run_id}/recordings")
def post_recording(
    held: HeldDatabase,
    folder: RecordingsFolder,
    settings: HeldSettings,
    now_ms: NowMs,
    run_id: str,
    body: Body,
) -> Response:
    announced = from_json(Announced, body)
    most = settings.recording_mb * MB
    folder = looked_at(held, folder, recording_row(announced.id))
    with held.writing() as session:
        found = announce_recording(session, folder, run_id, announced, most, now_ms)
    return _state(found)


@router.put("/api/recordings/{recording_id}/parts/{number}")
def put_part(
    held: HeldDatabase, folder: RecordingsFolder, recording_id: str, number: PartNumber, body: Body
) -> Response:
    folder = sent_ahead(held, folder, arriving_recording(recording_id), number, body)
    with held.writing() as session:
        found = append_part(session, folder, recording_id, number, body)
    return _state(found)


@router.get("/recordings")
def recordings_page(
    request: Request, session: ReadSession, scope: HeldScope, folder: RecordingsFolder
) -> Response:
    within, own = scope.routines(session, "hear"), scope.routines(session, "edit")
    kept, of_takes = every_recording(session, within), takes_bytes(session, within)
    shown = RecordingsPage(
        kept=kept,
        used_bytes=sum(each.recording.received_bytes for each in kept) + of_takes,
        takes_bytes=of_takes,
        left_out=_left_out(request) if scope.sees_the_house else "",
        free_bytes=folder.free,
        worded=frozenset(takes_of_recordings(session, _ids(kept))),
        deletable=_ids(kept if within is None else every_recording(session, own)),
        edit=request.query_params.get("edit", ""),
    )
    return page(request, shown)


def _left_out(request: Request) -> str:
    copied = request.app.state.nightly.last()
    return copied.leaves_out if copied else ""


def _ids(kept: list[KeptRecording]) -> frozenset[str]:
    return frozenset(each.recording.id for each in kept)


@router.api_route("/recordings/{recording_id}", methods=["GET", "HEAD"])
def get_recording(
    request: Request, session: ReadSession, folder: RecordingsFolder, recording_id: str
) -> Response:
    recording = _complete(session, recording_id)
    gone = "The file of this recording is missing from where recordings are kept."
    return played(request, folder, recording, f"run-{recording.run_id}", gone)


def played(
    request: Request, place: MediaPlace, file: Recording | Sound, name: str, gone: str
) -> Response:
    """A recorded file as a page plays it; `name` is what it is called when it is saved.

    Raises NotFound, which says `gone`, where the file is missing or cut.
    """
    place = place.ahead()
    if not place.holds(file.file, file.received_bytes):
        raise NotFound(gone)
    return placed_file(
        request,
        place,
        file.file,
        gone,
        media_type=file.media_type,
        filename=f"{name}.{file.media_type.split('/')[1]}",
        disposition="inline",
        headers={
            "Cache-Control": "private, no-cache",
            "Content-Security-Policy": FILE_POLICY,
            "Cross-Origin-Resource-Policy": "same-origin",
        },
    )


@router.get("/recordings/{recording_id}/chapters.vtt")
def get_chapters(session: ReadSession, recording_id: str) -> Response:
    recording = _complete(session, recording_id)
    text = web_vtt(chapters_of(load_run(session, recording.run_id), recording))
    headers = {"Cache-Control": "no-store"}
    return Response(text, media_type="text/vtt; charset=utf-8", headers=headers)


@router.post("/recordings/{recording_id}/delete")
def post_delete(
    request: Request, session: WriteSession, now_ms: NowMs, recording_id: str, typed: TypedForm
) -> Response:
    """Delete a recording, and with `words` the take that holds what was said in it."""
    take_id = takes_of_recordings(session, [recording_id]).get(recording_id)
    run_id = delete_recording(session, recording_id, now_ms)
    if take_id and typed.ticked("words"):
        delete_take(session, take_id, now_ms)
    to_list = "list" in request.query_params
    return see("/recordings" if to_list else f"/runs/{run_id}")


def heard_of(session: Session, run: StoredRun, settings: Settings) -> list[HeardRecording]:
    """The recordings of a run with their chapters."""
    place = place_at(settings.files, settings.recordings_folder)
    found = run_recordings(session, run.record.id)
    worded = takes_of_recordings(session, [each.id for each in found])
    return [
        HeardRecording(
            each,
            chapters_of(run, each),
            file_is=whereabouts(place, each.file, each.received_bytes),
            has_words=each.id in worded,
        )
        for each in found
    ]


def chapters_of(run: StoredRun, recording: Recording) -> tuple[Chapter, ...]:
    """The segments of a run as chapters of one of its recordings, numbered as in the plan."""
    names = [f"{n}. {each.name}" for n, each in enumerate(run.plan.routine.segments, 1)]
    state = run.state
    return chapters(names, state.ends_ms, state.total_ms, recording.started_ms, recording.lasts_ms)


def _complete(session: Session, recording_id: str) -> Recording:
    recording = load_recording(session, recording_id)
    if not recording.done:
        raise NotFound("This recording has not arrived completely yet.")
    return recording


def _state(recording: Recording) -> Response:
    # What a device needs to go on from here.
    return JSONResponse({"parts": recording.received_parts, "done": recording.done})
