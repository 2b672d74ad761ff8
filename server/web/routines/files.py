"""In and out: a routine as one JSON file, splits as CSV, and the schema of the file."""

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import replace
from tempfile import SpooledTemporaryFile
from urllib.parse import quote

from fastapi import APIRouter, Request, Response, UploadFile
from fastapi.responses import JSONResponse, StreamingResponse
from sqlmodel import Session

from server.domain.base.errors import InvalidInput, TooLarge
from server.domain.routine.routine import Routine
from server.domain.runs.splits import split_table
from server.domain.whole.exchange import LARGEST_FILE, TOO_LARGE
from server.domain.whole.routine_file import file_pieces, file_schema, parse_file
from server.store.files import export_head, import_in_turns
from server.store.routines import load_routine
from server.store.runs import list_runs, run_records, segment_names
from server.web.frame.dependencies import HeldDatabase, NowMs, ReadSession
from server.web.frame.offered.scope import HeldScope
from server.web.frame.render import page, see
from server.web.routines.pages import home_page_of

router = APIRouter()

PIECE = 1024 * 1024


@router.get("/routines/{routine_id}/export.json")
def get_export(session: ReadSession, routine_id: str, takes: str = "") -> Response:
    """`takes` is "yes" where what was said in recordings comes along."""
    file = export_head(session, routine_id, with_takes=takes == "yes")
    # Written down before a byte is sent: a page is told what is wrong, a broken file is not.
    # No session waits then for a slow network, and no memory holds all of it.
    kept = SpooledTemporaryFile(max_size=PIECE)  # noqa: SIM115  (closed when it is sent)
    for piece in file_pieces(file, run_records(session, routine_id)):
        kept.write(piece.encode())
    size = kept.tell()
    if size > LARGEST_FILE:
        kept.close()
        raise TooLarge(
            f"This routine with its runs is {TOO_LARGE}, the most that comes back in. Take out "
            "everything with ./run backup, on the computer that keeps the app."
        )
    headers = _headers(f"{file.routine.name}.json") | {"Content-Length": str(size)}
    return StreamingResponse(_sent(kept), media_type="application/json", headers=headers)


def _sent(kept: "SpooledTemporaryFile[bytes]") -> Iterator[bytes]:
    with kept:
        kept.seek(0)
        while piece := kept.read(PIECE):
            yield piece


@router.get("/routines/{routine_id}/splits.csv")
def get_splits(session: ReadSession, routine_id: str) -> Response:
    routine = load_routine(session, routine_id).routine
    names = segment_names(session, routine_id)
    text = io.StringIO()
    csv.writer(text).writerows(split_table(routine, list_runs(session, routine_id), names))
    # With a byte-order mark, so that spreadsheets read the names as UTF-8.
    return download("\ufeff" + text.getvalue(), "text/csv", f"{routine.name} splits.csv")


@router.get("/schema/routine-1.json")
def get_schema() -> Response:
    return JSONResponse(file_schema(), media_type="application/schema+json")


@router.post("/import")
def post_import(
    request: Request,
    held: HeldDatabase,
    scope: HeldScope,
    now_ms: NowMs,
    file: UploadFile | None = None,
) -> Response:
    try:
        parsed = parse_file(_content(file))
        with held.reading() as session:
            sheets, shown = scope.sheets(session), scope.routines(session)

        def own(session: Session, routine: Routine) -> None:
            scope.own(session, routine.id, now_ms)
            if sheets is not None and routine.rule_sheet_id not in sheets:
                scope.own_sheet(session, routine.rule_sheet_id)

        routine = import_in_turns(held, parsed, now_ms, own, sheets, shown)
    except InvalidInput as error:
        with held.reading() as session:
            faulty = replace(home_page_of(session, scope, now_ms), import_faults=error.faults)
        return page(request, faulty, 422)
    return see(f"/routines/{routine.id}/plan")


def _content(file: UploadFile | None) -> bytes:
    if file is None or not file.filename:
        raise InvalidInput.of("file", "Choose a file first.")
    # One byte more than is taken in: enough to see that a file is too large.
    return file.file.read(LARGEST_FILE + 1)


def download(content: str, media_type: str, name: str) -> Response:
    """A file for the person to keep, under a name of any letters."""
    return Response(content, media_type=f"{media_type}; charset=utf-8", headers=_headers(name))


def _headers(name: str) -> dict[str, str]:
    plain = re.sub(r"[^A-Za-z0-9 ._-]", "_", name)
    disposition = f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(name, safe='')}"
    return {"Content-Disposition": disposition, "Cache-Control": "no-store"}
