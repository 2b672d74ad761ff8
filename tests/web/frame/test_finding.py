"""The route of a request is found by the shape of its path, and is the one that would be found."""

import pytest
from fastapi import APIRouter, FastAPI, Request
from fastapi.responses import PlainTextResponse
from fastapi.testclient import TestClient

from server.web.frame.finding import RouteFinder


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
    finder.include(first)
    finder.include(second)
    finder.shorten(second, "GET", "/things/{thing_id}/parts/{part_id}", at_once)
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
