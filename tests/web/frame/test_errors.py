import pytest

from server.web.frame.layers.security import HEADERS
from tests.engines import POSTGRES, SQLITE, chosen
from tests.factories import make_routine
from tests.table import table
from tests.web.conftest import app_in
from tests.web.html import Page
from tests.web.shelf import keep, keep_run

UNKNOWN_PAGES = (
    "/nowhere",
    "/rules/nobody",
    "/routines/nobody",
    "/routines/nobody/details",
    "/routines/nobody/drinks",
    "/routines/nobody/plan",
    "/routines/nobody/rehearse",
    "/routines/nobody/runs",
    "/routines/nobody/runs/by-hand",
    "/routines/nobody/export.json",
    "/routines/nobody/splits.csv",
    "/runs/nobody",
    "/runs/nobody/stage",
    "/routines/r1/plan?edit=segment-nobody",
    "/routines/r1/plan?edit=process-nobody",
    "/routines/r1/drinks?edit=drink-nobody",
)
UNKNOWN_ACTIONS = (
    "/rules/nobody",
    "/rules/nobody/copy",
    "/rules/nobody/delete",
    "/rules/nobody/restore",
    "/routines/nobody/copy",
    "/routines/nobody/delete",
    "/routines/nobody/restore",
    "/routines/nobody/move",
    "/routines/nobody/details",
    "/routines/nobody/undo",
    "/routines/nobody/redo",
    "/routines/nobody/rehearse",
    "/routines/nobody/runs/by-hand",
    "/routines/nobody/segments/new",
    "/routines/r1/segments/nobody",
    "/routines/r1/segments/nobody/move",
    "/routines/r1/segments/nobody/delete",
    "/routines/r1/processes/nobody",
    "/routines/r1/processes/nobody/delete",
    "/routines/r1/drinks/nobody",
    "/routines/r1/drinks/nobody/move",
    "/routines/r1/drinks/nobody/delete",
    "/routines/r1/drinks/nobody/ingredients/new",
    "/routines/r1/drinks/nobody/ingredients/nobody/move",
    "/routines/r1/drinks/nobody/ingredients/nobody/delete",
    "/runs/nobody",
    "/runs/nobody/delete",
    "/runs/nobody/restore",
    "/runs/nobody/incidents/nobody",
)
TYPED = {
    "name": "Mine", "likely": "1:00", "to": "0", "amount": "1 ml", "serves": "4", "after": "s1",
    "before": "s3", "text": "note", "slot": "10:00", "target": "9:50", "penalty": "1",
    "rules": "rules",
}  # fmt: skip


@pytest.fixture(scope="module")
def holding_one(tmp_path_factory):
    """A browser on an app with one routine, which nothing here can change."""
    with app_in(tmp_path_factory.mktemp("unknown")) as client:
        keep(client)
        yield client


@table("path", UNKNOWN_PAGES)
def test_an_unknown_page_is_a_page_that_says_so(holding_one, path):
    page = Page(holding_one.get(path, follow_redirects=True))
    assert (page.status, page.text("h1")) == (404, "Not found")
    assert page.one("main a").get("href") == "/"


@table("path", UNKNOWN_ACTIONS)
def test_an_action_on_something_unknown_is_not_found(holding_one, path):
    page = Page(holding_one.post(path, data=TYPED))
    assert (page.status, page.text("h1")) == (404, "Not found")


@pytest.mark.parametrize("path", ["/api/nowhere", "/api/runs/nobody/events"])
def test_what_is_unknown_to_the_api_is_told_in_json(client, path):
    answer = client.get(path)
    assert answer.status_code == 404
    assert answer.json()["error"].keys() == {"code", "message", "faults"}


@pytest.mark.parametrize(("method", "path"), [("GET", "/import"), ("POST", "/rules"), ("PUT", "/")])
def test_a_request_that_a_page_does_not_take_is_told_so(client, method, path):
    page = Page(client.request(method, path))
    assert (page.status, page.text("h1")) == (405, "Not possible here")


def test_an_error_inside_a_page_is_answered_with_the_body_alone(client):
    page = Page(client.get("/routines/nobody/plan", headers={"HX-Target": "main#page"}))
    assert (page.status, page.is_body) == (404, True)


@pytest.fixture
def failing(client):
    """A browser on an app with an address at which the code breaks."""

    def fail():
        raise RuntimeError("a secret of the code")

    client.app.add_api_route("/defect", fail)
    client.app.add_api_route("/api/defect", fail)
    return client


def test_a_defect_never_shows_its_trace(failing):
    answer = failing.get("/defect")
    page = Page(answer)
    assert (answer.status_code, page.text("h1")) == (500, "Something went wrong")
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text
    assert {name: answer.headers[name] for name in HEADERS} == HEADERS


def test_a_defect_behind_the_api_is_told_in_json(failing):
    answer = failing.get("/api/defect")
    assert (answer.status_code, answer.json()["error"]["code"]) == (500, "defect")
    assert "secret" not in answer.text


SPOILER = "CREATE TABLE spoiler (id TEXT REFERENCES plan (key) DEFERRABLE INITIALLY DEFERRED);"
SPOIL_COMMITS = {
    SQLITE: f"""
{SPOILER}
CREATE TRIGGER spoil_event AFTER INSERT ON event BEGIN INSERT INTO spoiler VALUES ('x'); END;
CREATE TRIGGER spoil_revision AFTER INSERT ON revision BEGIN INSERT INTO spoiler VALUES ('x'); END;
""",
    POSTGRES: f"""
{SPOILER}
CREATE FUNCTION spoil() RETURNS trigger LANGUAGE plpgsql AS \
$$BEGIN INSERT INTO spoiler VALUES ('x'); RETURN NEW; END$$;
CREATE TRIGGER spoil_event AFTER INSERT ON event FOR EACH ROW EXECUTE FUNCTION spoil();
CREATE TRIGGER spoil_revision AFTER INSERT ON revision FOR EACH ROW EXECUTE FUNCTION spoil();
""",
}


@pytest.fixture
def spoilt(client):
    """A browser on an app whose writes succeed and whose commits fail."""
    keep(client)
    run_id = keep_run(client, events=())
    with client.app.state.database.writing() as session:
        for statement in SPOIL_COMMITS[chosen()].strip().split("\n"):
            session.connection().exec_driver_sql(statement)
    return client, run_id


def test_a_commit_that_fails_is_never_answered_as_saved(spoilt):
    client, run_id = spoilt
    event = {
        "id": "e1", "device_id": "d", "boot_id": "b", "seq": 0, "kind": "start", "wall_ms": 1,
        "mono_ms": 0,
    }  # fmt: skip
    answer = client.post(f"/api/runs/{run_id}/events", json={"events": [event]})
    assert answer.status_code == 500
    assert client.get(f"/api/runs/{run_id}/events").json()["events"] == []


def test_a_form_whose_commit_fails_is_answered_500_and_nothing_is_kept(spoilt):
    client, _ = spoilt
    answer = client.post("/routines/r1/segments/new", data={"name": "Pour", "likely": "60"})
    assert answer.status_code == 500
    names = Page(client.get("/routines/r1/plan")).texts(".plan-row .name")
    assert len(names) == len(make_routine().segments)


def test_after_a_failed_commit_the_next_write_is_taken(spoilt):
    client, run_id = spoilt
    client.post("/routines/r1/segments/new", data={"name": "Pour", "likely": "60"})
    assert client.post(f"/runs/{run_id}", data={"label": "Monday"}).status_code == 303
    assert Page(client.get(f"/runs/{run_id}")).text("h1").startswith("Monday")
