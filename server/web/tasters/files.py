"""The answers of a tasting to take away: a table for a spreadsheet, all of it for a notebook.

Tasters are numbers in them: their names stay here.
"""

import csv
import io
import json
from collections.abc import Iterator

from fastapi import APIRouter, Response

from server.domain.tasters.decoys import SORTS
from server.web.frame.dependencies import NowMs, ReadSession
from server.web.routines.files import download
from server.web.tasters.one import sitting_in
from server.web.tasters.results import Result, result_of

router = APIRouter(prefix="/routines/{routine_id}/tastings/{sitting_id}")

WORD_COLUMNS = ("taster", "counts", "word", "sort", "ticked", "when", "strength")
GLASS_COLUMNS = ("taster", "counts", "glasses", "versions", "chosen", "chosen_version")


@router.get("/answers.csv")
def get_answers(session: ReadSession, now_ms: NowMs, routine_id: str, sitting_id: str) -> Response:
    sitting = sitting_in(session, routine_id, sitting_id, now_ms).sitting
    result = result_of(session, sitting)
    text = io.StringIO()
    is_list = sitting.kind == "list"
    writer = csv.writer(text)
    writer.writerow(WORD_COLUMNS if is_list else GLASS_COLUMNS)
    writer.writerows(_word_rows(result) if is_list else _glass_rows(result))
    # With a byte-order mark, so that spreadsheets read the names as UTF-8.
    return download("\ufeff" + text.getvalue(), "text/csv", f"{sitting.name} answers.csv")


@router.get("/tasting.json")
def get_tasting(session: ReadSession, now_ms: NowMs, routine_id: str, sitting_id: str) -> Response:
    sitting = sitting_in(session, routine_id, sitting_id, now_ms).sitting
    from server.domain.whole.exchange import to_json

    result = result_of(session, sitting)
    is_list = sitting.kind == "list"
    columns = WORD_COLUMNS if is_list else GLASS_COLUMNS
    rows = _word_rows(result) if is_list else _glass_rows(result)
    document = {
        "tasting": json.loads(to_json(sitting)),
        "words": [
            {"word": each.word, "sort": each.asked.sort, "found": each.found,
             "tasters": each.tasters, "low": each.low, "high": each.high, "p": each.p}
            for each in (*result.found.stated, *result.found.decoys)
        ] if result.found else [],
        "test": {
            "right": result.outcome.hits, "tasters": result.outcome.tasters, "p": result.outcome.p,
            "least_who_can_tell": result.outcome.least, "most_who_can_tell": result.outcome.most,
        } if result.outcome else None,
        "answers": [dict(zip(columns, row, strict=True)) for row in rows],
    }  # fmt: skip
    text = json.dumps(document, ensure_ascii=False, allow_nan=False)
    return download(text + "\n", "application/json", f"{sitting.name}.json")


def _word_rows(result: Result) -> Iterator[tuple[object, ...]]:
    for taster in result.people:
        ticks = {tick.word: tick for tick in taster.answer.ticks}
        for place, asked in enumerate(result.sitting.words):
            tick = ticks.get(place)
            yield (
                taster.place, int(taster.counts), asked.word, SORTS[asked.sort],
                int(tick is not None), tick.when if tick else "",
                (tick.strength or "") if tick else "",
            )  # fmt: skip


def _glass_rows(result: Result) -> Iterator[tuple[object, ...]]:
    for taster in result.people:
        glasses = result.sitting.sets[taster.place - 1]
        chosen = taster.answer.chosen
        yield (
            taster.place, int(taster.counts), " ".join(glasses.codes),
            "".join(glasses.versions), chosen, glasses.version_of(chosen) or "",
        )  # fmt: skip
