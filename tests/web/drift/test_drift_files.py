import csv
import io
import json
import math

import pytest

from server.domain.drift.spreadsheet import FORECAST_HEADER, PAIR_HEADER, SEGMENT_HEADER
from server.domain.runs.labels import Occasion
from tests.web.practice import PATH, PLAN, practise
from tests.web.shelf import keep

RUNS = [[180 + n, 200 - n, 205 + n % 3] for n in range(8)]
HEADERS = {"segments": SEGMENT_HEADER, "forecasts": FORECAST_HEADER, "groups": PAIR_HEADER}


def table(client, name):
    answer = client.get(f"{PATH}/{name}.csv")
    # A spreadsheet knows UTF-8 by the byte-order mark.
    assert answer.text.startswith("\ufeff")
    return list(csv.reader(io.StringIO(answer.text.removeprefix("\ufeff"))))


@pytest.mark.parametrize("name", HEADERS)
def test_a_table_opens_with_a_row_of_names_that_carry_their_units(client, name):
    practise(client, *RUNS, every_ms=12 * 3_600_000)
    header, *rows = table(client, name)
    assert tuple(header) == HEADERS[name]
    assert all(len(row) == len(header) for row in rows)
    assert rows


def test_segments_are_told_in_seconds(client):
    practise(client, *RUNS)
    header, total, first, *_ = table(client, "segments")
    assert dict(zip(header, first, strict=True))["median_s"] == "183.500"
    assert dict(zip(header, total, strict=True))["runs"] == "8"


@pytest.mark.parametrize("name", HEADERS)
def test_no_cell_can_be_run_as_a_formula(client, name):
    practise(client, *({"splits": run, "occasion": Occasion(tags=("alone",))} for run in RUNS))
    client.post("/routines/r1/segments/s1", data={"name": "=1+2", "likely": "3:00"})
    cells = [cell for row in table(client, name) for cell in row]
    assert [cell for cell in cells if cell.startswith(("=", "+", "@", "\t"))] == []
    # A minus may only begin a number.
    assert all(math.isfinite(float(cell)) for cell in cells if cell.startswith("-"))


@pytest.mark.parametrize("name", HEADERS)
def test_without_runs_a_table_has_its_names(client, name):
    keep(client, PLAN)
    assert tuple(table(client, name)[0]) == HEADERS[name]


def test_the_document_holds_sentences_runs_and_figures(client):
    occasion = Occasion("Studio", ("coach",))
    practise(client, *({"splits": run, "occasion": occasion} for run in RUNS))
    answer = client.get(f"{PATH}/report.json")
    told = json.loads(answer.text, parse_constant=pytest.fail)
    assert answer.headers["content-type"].startswith("application/json")
    assert (told["format"], len(told["runs"]), len(told["segments"])) == ("ninefifty-drift", 8, 3)
    assert (told["runs"][0]["venue"], told["runs"][0]["tags"]) == ("Studio", ["coach"])
    assert told["sentences"][0]["anchor"] == "forecast"


def test_files_are_named_for_the_routine(client):
    practise(client, *RUNS)
    said = client.get(f"{PATH}/groups.csv").headers["content-disposition"]
    assert 'filename="Low tide groups.csv"' in said


@pytest.mark.parametrize("path", [f"{PATH}/secrets.csv", "/routines/nobody/drift/segments.csv"])
def test_what_is_not_there_is_not_found(client, path):
    keep(client, PLAN)
    assert client.get(path).status_code == 404
