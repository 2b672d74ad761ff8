import csv
import io
import json
from dataclasses import replace

import pytest
from jsonschema import Draft202012Validator

from server.demo import demo_file
from server.domain.whole.exchange import LARGEST_FILE
from server.domain.whole.routine_file import parse_file
from server.store.routines import list_routines
from tests.exported import write_file
from tests.factories import NOW_MS, RULES, make_events, make_file, make_routine, make_segment
from tests.web.conftest import app_in
from tests.web.html import Page
from tests.web.shelf import keep, keep_run

DEMO_ID = demo_file().routine.id


def upload(client, content, name="routine.json"):
    return client.post("/import", files={"file": (name, content, "application/json")})


def routines(client):
    with client.app.state.database.reading() as session:
        return list_routines(session)


# Out


def test_an_exported_routine_keeps_to_the_schema_that_is_served(demo):
    schema = demo.get("/schema/routine-1.json").json()
    Draft202012Validator.check_schema(schema)
    exported = demo.get(f"/routines/{DEMO_ID}/export.json").json()
    assert list(Draft202012Validator(schema).iter_errors(exported)) == []
    assert len(exported["runs"]) == 12


def test_the_schema_refuses_what_the_import_refuses(demo):
    schema = demo.get("/schema/routine-1.json").json()
    exported = demo.get(f"/routines/{DEMO_ID}/export.json").json()
    exported["routine"]["segments"][0]["duration"]["likely_s"] = -1
    assert not Draft202012Validator(schema).is_valid(exported)
    assert upload(demo, json.dumps(exported)).status_code == 422


def test_an_exported_routine_is_imported_equal_elsewhere(demo, tmp_path):
    exported = demo.get(f"/routines/{DEMO_ID}/export.json").content
    with app_in(tmp_path) as elsewhere:
        answer = upload(elsewhere, exported)
        assert (answer.status_code, answer.headers["location"]) == (
            303,
            f"/routines/{DEMO_ID}/plan",
        )
        assert elsewhere.get(f"/routines/{DEMO_ID}/export.json").content == exported
        runs, ours = (each.get(f"/routines/{DEMO_ID}/runs").text for each in (elsewhere, demo))
        assert runs == ours


@pytest.mark.parametrize("place", ["export.json", "splits.csv"])
def test_a_file_is_named_for_its_routine_whatever_that_is_called(client, place):
    keep(client, make_routine(name='Ébb/"flow"\r\nX: y'))
    header = client.get(f"/routines/r1/{place}").headers["content-disposition"]
    assert header.startswith('attachment; filename="')
    assert "%C3%89bb%2F%22flow%22" in header
    assert "\n" not in header


def test_a_file_that_is_taken_out_is_never_an_old_one(demo):
    for place in ("export.json", "splits.csv"):
        assert demo.get(f"/routines/{DEMO_ID}/{place}").headers["cache-control"] == "no-store"


def read_csv(answer):
    text = answer.content.decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


def test_splits_open_as_a_table(demo):
    answer = demo.get(f"/routines/{DEMO_ID}/splits.csv")
    rows = read_csv(answer)
    assert answer.headers["content-type"] == "text/csv; charset=utf-8"
    assert answer.content.startswith(b"\xef\xbb\xbf")
    assert len({row["run_id"] for row in rows}) == 12
    assert all(float(row["end_s"]) > 0 for row in rows)


def test_splits_of_a_run_add_up_to_its_total(demo):
    rows = read_csv(demo.get(f"/routines/{DEMO_ID}/splits.csv"))
    last = [row for row in rows if row["run_id"] == "run-demo-12"]
    assert sum(float(row["split_s"]) for row in last) == pytest.approx(float(last[0]["total_s"]))


def test_a_text_that_a_spreadsheet_would_run_is_neutralised(client):
    routine = make_routine(segments=(make_segment("s1", name='=HYPERLINK("http://x")'),))
    keep(client, routine)
    run_id = keep_run(client, routine, make_events(total_s=60))
    client.post(f"/runs/{run_id}", data={"label": "@SUM(A1)\n=1+1"})
    (row,) = read_csv(client.get("/routines/r1/splits.csv"))
    assert (row["segment"], row["run"]) == ('\'=HYPERLINK("http://x")', "'@SUM(A1)\n=1+1")


def test_a_routine_without_runs_gives_a_table_of_nothing(client):
    keep(client)
    assert read_csv(client.get("/routines/r1/splits.csv")) == []


# In

FILE = json.loads(write_file(make_file()))


def changed(**changes):
    return json.dumps({**FILE, **changes}).encode()


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "This is no JSON file. Choose one exported here."),
        (b"\x89PNG\r\n\x1a\n", "This is no JSON file. Choose one exported here."),
        (b'{"format": "ninefifty-routine"', "This is no JSON file. Choose one exported here."),
        (b"[]", "This is no JSON file. Choose one exported here."),
        (b"{}", "This file does not hold a routine exported here."),
        (changed(format="other"), "This file does not hold a routine exported here."),
        (changed(version=2), "This file has version 2; this app reads 1."),
        (changed(version=None), "This file has version None; this app reads 1."),
        (changed(plans={}), "The file lacks the plan “k” of a run."),
        (changed(runs=FILE["runs"] * 2), "Two runs of the file carry the same id."),
        (b" " * (LARGEST_FILE + 1), "The file is larger than 32 MB."),
    ],
)
def test_a_file_that_cannot_be_taken_is_told_beside_its_field(client, content, told):
    page = Page(upload(client, content))
    assert (page.status, page.fault("file", "/import")) == (422, told)
    assert routines(client) == []


def test_a_wrong_value_is_told_with_its_place(client):
    wrong = json.loads(json.dumps(FILE))
    wrong["routine"]["segments"][1]["duration"]["likely_s"] = -1
    told = Page(upload(client, json.dumps(wrong))).fault("file", "/import")
    assert told.startswith("At routine.segments.1.duration.likely_s: ")


@pytest.mark.parametrize("files", [{}, {"file": ("", b"")}], ids=["no field", "no file chosen"])
def test_an_import_of_nothing_asks_for_a_file(client, files):
    page = Page(client.post("/import", files=files) if files else client.post("/import"))
    assert (page.status, page.fault("file", "/import")) == (422, "Choose a file first.")


def test_a_text_in_the_place_of_a_file_is_refused(client):
    assert client.post("/import", data={"file": "x"}).status_code == 422


def test_a_name_is_shown_as_text_when_it_is_refused_and_when_it_is_taken(client):
    name = "<img src=x onerror=alert(1)>"
    wrong = changed(version=name)
    assert name in Page(upload(client, wrong)).fault("file", "/import")
    upload(client, write_file(make_file(routine=make_routine(name=name))))
    assert Page(client.get("/")).texts("ol.cards h2") == [name]


def test_a_second_import_is_a_second_routine_with_its_runs(client):
    for _ in range(2):
        assert upload(client, write_file(make_file())).status_code == 303
    first, second = routines(client)
    assert first.id != second.id
    for routine in (first, second):
        (row, *_) = read_csv(client.get(f"/routines/{routine.id}/splits.csv"))
        assert (row["run"], row["position"], row["split_s"]) == ("Run 1", "1", "61.000")


def test_a_rule_sheet_that_differs_comes_in_beside_ours(client):
    keep(client, make_routine(routine_id="r0"), replace(RULES, slot_s=900))
    upload(client, write_file(make_file()))
    page = Page(client.get("/routines/r1/plan"))
    assert "House rules: slot 10:00" in page.text(".menu .about")
    assert "slot 15:00" in Page(client.get("/routines/r0/plan")).text(".menu .about")


def test_three_hundred_runs_of_forty_segments_go_out_and_in_again(client, tmp_path):
    keys = [f"s{number}" for number in range(40)]
    ends = {key: 14.5 * number for number, key in enumerate(keys, 1)}
    logs = [
        make_events(ends, total_s=580, started_ms=NOW_MS + n, prefix=f"r{n}-") for n in range(300)
    ]
    content = write_file(make_file(routine=make_routine(segments=keys), runs=logs)).encode()
    assert len(content) <= LARGEST_FILE
    assert len(parse_file(content).runs) == 300


def test_what_goes_out_comes_in_by_one_limit(client, monkeypatch):
    keep(client)
    size = len(client.get("/routines/r1/export.json").content)
    monkeypatch.setattr("server.web.routines.files.LARGEST_FILE", size - 1)
    answer = Page(client.get("/routines/r1/export.json"))
    assert answer.status == 413
    assert "./run backup" in answer.text("main")


def test_an_export_tells_its_size_before_it_comes(client):
    keep(client)
    answer = client.get("/routines/r1/export.json")
    assert int(answer.headers["content-length"]) == len(answer.content)
