"""The route of a request is found by the shape of its path, and is the one that would be found."""

import sys
from concurrent.futures import ThreadPoolExecutor

import pytest
from fastapi import APIRouter, Depends, FastAPI, Request
from fastapi.responses import PlainTextResponse
from fastapi.testclient import TestClient

from server.web.frame.layers import finding
from server.web.frame.layers.finding import Room, RouteFinder
from tests.lent import is_loaded_for
from tests.table import table


@pytest.fixture
def found():
    """A browser on an app of two rooms, in which some routes fit one path."""
    first, second = APIRouter(), APIRouter(prefix="/things")

    @first.get("/things/new")
    def new() -> str:
        return "new"

    @second.get("/{thing_id}")
    def thing(thing_id: str) -> str:
        return f"thing {thing_id}"

    @second.post("/{thing_id}")
    def change(thing_id: str) -> str:
        return f"changed {thing_id}"

    @second.get("/{thing_id}/parts/{part_id}")
    def part(thing_id: str, part_id: str) -> str:
        return "the long way"

    async def at_once(request: Request) -> PlainTextResponse:
        return PlainTextResponse(f"{request.scope['route'].path} {request.path_params}")

    app = FastAPI()
    finder = RouteFinder(app)
    finder.include(0, first)
    shortcut = ("GET", "/things/{thing_id}/parts/{part_id}", at_once)
    finder.include(1, second, [shortcut])
    return TestClient(app)


def test_the_room_that_comes_first_answers(found):
    assert found.get("/things/new").json() == "new"
    assert found.get("/things/old").json() == "thing old"


def test_a_method_of_a_later_room_is_found_behind_an_earlier_path(found):
    assert found.post("/things/new").json() == "changed new"


def test_what_no_route_answers_is_told_as_ever(found):
    assert found.get("/nothing").status_code == 404
    assert found.put("/things/old").status_code == 405
    assert found.get("/things/old/").url.path == "/things/old"


def test_a_shortened_route_is_told_what_it_was_asked_for(found):
    told = found.get("/things/a/parts/b").text
    assert told == "/things/{thing_id}/parts/{part_id} {'thing_id': 'a', 'part_id': 'b'}"


@pytest.fixture
def later(tmp_path, monkeypatch):
    """A browser on an app with rooms that are not loaded yet, and what was loaded so far."""
    loaded = []
    for name, path in (("early_room", "/early"), ("late_room", "/late/{late_id}")):
        (tmp_path / f"{name}.py").write_text(
            "from fastapi import APIRouter\n"
            "router = APIRouter()\n"
            f"@router.post({path!r})\n"
            f"def answer(): return {name!r}\n"
        )
        monkeypatch.delitem(sys.modules, name, raising=False)
    monkeypatch.syspath_prepend(tmp_path)
    app = FastAPI(dependencies=[Depends(lambda: loaded.append(True))])
    app.state.finder = RouteFinder(app, [Room("early_room", ("/early",)), LATE])
    return TestClient(app), loaded


LATE = Room("late_room", ("/late/*",))


def test_a_room_is_loaded_when_something_below_its_address_is_asked_for(later):
    client, behind_door = later
    assert client.post("/late/1").json() == "late_room"
    assert ("late_room" in sys.modules, "early_room" in sys.modules) == (True, False)
    assert behind_door == [True]


def test_the_wrong_method_is_told_apart_from_what_is_not_there_before_anything_is_loaded(later):
    client, _ = later
    assert client.get("/late/1").status_code == 405
    assert client.get("/latest").status_code == 404


def test_a_slash_too_many_leads_to_a_room_that_is_not_loaded_yet(later):
    client, _ = later
    answer = client.post("/early/", follow_redirects=False)
    assert answer.headers["Location"].endswith("/early")


def test_it_is_not_quiet_while_somebody_waits_for_an_answer(later, monkeypatch):
    client, _ = later
    finder = client.app.state.finder
    monkeypatch.setattr(finding, "monotonic", lambda: 100.0)
    seen = []
    client.app.add_api_route("/slow", lambda: seen.append(finder.quiet_s()))
    finder._asked_s = 40.0
    client.get("/slow")
    assert (seen, finder._asked_s) == ([0.0], 100.0)
    monkeypatch.setattr(finding, "monotonic", lambda: 103.0)
    assert finder.quiet_s() == 3.0


def test_a_room_that_many_ask_for_at_once_is_loaded_once(later):
    client, _ = later
    with ThreadPoolExecutor(4) as many:
        told = list(many.map(lambda _: client.post("/early").json(), range(4)))
    assert told == ["early_room"] * 4
    assert sum(hasattr(each, "original_router") for each in client.app.router.routes) == 1


@table(
    "path, fits",
    [("/late", True), ("/late/1/2", True), ("/latest", False), ("/", False), ("/late/", True)],
)
def test_what_a_room_may_answer_stands_at_its_address_or_below(path, fits):
    assert is_loaded_for(LATE, path) is fits


def test_an_address_stands_for_itself_alone_unless_it_says_otherwise():
    room = Room("one", ("/runs/{run_id}",))
    assert is_loaded_for(room, "/runs/1")
    assert not is_loaded_for(room, "/runs/1/stage")
