"""The analysis to take away: tables for a spreadsheet, a document for a notebook."""

import csv
import io
import json
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from fastapi import APIRouter, Response

from server.domain.base.errors import NotFound
from server.store.routines import load_routine
from server.web.frame.dependencies import NowMs, ReadSession
from server.web.frame.local_zone import today
from server.web.plan.outlook import HeldOutlooks
from server.web.routines.files import download

if TYPE_CHECKING:
    from server.domain.drift.analysis import Drift

router = APIRouter(prefix="/routines/{routine_id}/drift")

Rows = Callable[["Drift"], Iterator[tuple[object, ...]]]


@router.get("/report.json")
def get_document(
    session: ReadSession, outlooks: HeldOutlooks, now_ms: NowMs, routine_id: str
) -> Response:
    from server.domain.drift.sentences import sentences
    from server.domain.drift.spreadsheet import document
    from server.web.drift.drift_reading import read_drift

    drift = read_drift(session, load_routine(session, routine_id), outlooks).drift
    told = document(drift, sentences(drift, today=today(now_ms)))
    text = json.dumps(told, ensure_ascii=False, allow_nan=False)
    return download(text + "\n", "application/json", f"{_name(session, routine_id)} drift.json")


@router.get("/{table}.csv")
def get_table(
    session: ReadSession, outlooks: HeldOutlooks, routine_id: str, table: str
) -> Response:
    from server.domain.drift.spreadsheet import forecast_rows, pair_rows, segment_rows
    from server.web.drift.drift_reading import read_drift

    tables: dict[str, Rows] = {
        "segments": segment_rows,
        "forecasts": forecast_rows,
        "groups": pair_rows,
    }
    if table not in tables:
        raise NotFound("There is no such table.")
    drift = read_drift(session, load_routine(session, routine_id), outlooks).drift
    text = io.StringIO()
    csv.writer(text).writerows(tables[table](drift))
    # With a byte-order mark, so that spreadsheets read the names as UTF-8.
    name = f"{_name(session, routine_id)} {table}.csv"
    return download("\ufeff" + text.getvalue(), "text/csv", name)


def _name(session: ReadSession, routine_id: str) -> str:
    return load_routine(session, routine_id).routine.name
