"""A disk that takes nothing says so in its words, to people and to devices alike."""

import errno
import os

import pytest

from server.domain.runs.events import event_document
from server.store.disk import FAILING, FULL, READ_ONLY
from tests.engines import only_sqlite
from tests.factories import make_event
from tests.web.html import Page
from tests.web.shelf import keep, keep_run, kept

LARGE = "x" * 20_000
TROUBLES = {
    "PRAGMA max_page_count=1": FULL,
    "PRAGMA query_only=ON": READ_ONLY,
}


@pytest.fixture(params=TROUBLES, ids=["full", "read-only"])
def stuck(client, request):
    """A browser on an app whose database takes nothing more, a run, and what is to be said."""
    keep(client)
    run_id = keep_run(client, events=())
    with client.app.state.database.connected() as connection:
        connection.exec_driver_sql("COMMIT")
        connection.exec_driver_sql(request.param)
    return client, run_id, TROUBLES[request.param]


@only_sqlite
def test_a_form_that_cannot_be_saved_says_why(stuck):
    client, _, words = stuck
    typed = {"name": "Pour", "likely": "60", "said": LARGE}
    page = Page(client.post("/routines/r1/segments/new", data=typed))
    assert (page.status, page.text("h1")) == (507, "It could not be saved")
    assert words in page.text("main")
    assert len(kept(client).segments) == 3
    # A page that is open stays, with what was typed into it, and has only the words to say.
    beside = client.post("/routines/r1/segments/new", data=typed, headers={"HX-Request": "true"})
    assert (beside.status_code, beside.text) == (507, words)


@only_sqlite
def test_a_mark_that_cannot_be_stored_says_why_in_json(stuck):
    client, run_id, words = stuck
    log = [make_event(f"e{n}", "note", seq=n, text=LARGE[:2000]) for n in range(20)]
    answer = client.post(
        f"/api/runs/{run_id}/events", json={"events": [event_document(event) for event in log]}
    )
    assert (answer.status_code, answer.json()["error"]["message"]) == (507, words)


@only_sqlite
def test_the_log_says_in_one_line_what_the_disk_said_and_nothing_of_what_was_typed(stuck, caplog):
    client, _, _ = stuck
    client.post("/routines/r1/segments/new", data={"name": "Pour", "likely": "60", "said": LARGE})
    (line,) = [each.getMessage() for each in caplog.records]
    assert line.startswith("The disk or the database failed: ")
    assert len(line.splitlines()) == 1
    assert "xxx" not in line
    assert "UPDATE" not in line


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.ENOSPC, FULL),
        (errno.EROFS, READ_ONLY),
        (errno.EACCES, READ_ONLY),
        (errno.EIO, FAILING),
    ],
)
def test_a_file_that_cannot_be_written_says_why(client, monkeypatch, number, words):
    def fail():
        raise OSError(number, os.strerror(number))

    client.app.add_api_route("/api/file", fail)
    answer = client.get("/api/file")
    assert (answer.status_code, answer.json()["error"]["message"]) == (507, words)


def test_a_fault_of_the_system_that_is_none_of_the_disk_stays_a_defect(client):
    def fail():
        raise OSError(errno.ECONNREFUSED, "refused")

    client.app.add_api_route("/api/file", fail)
    assert client.get("/api/file").json()["error"]["code"] == "defect"


def test_a_file_that_finds_no_room_while_it_arrives_says_so(client, monkeypatch):
    def full(*_):
        raise OSError(errno.ENOSPC, "full")

    monkeypatch.setattr("starlette.datastructures.UploadFile.write", full)
    answer = client.post("/import", files={"file": ("routine.json", b"{}")})
    assert (answer.status_code, FULL in Page(answer).text("main")) == (507, True)
