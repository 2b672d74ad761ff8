"""A database that does not answer is told in words, and all goes on when it does."""

import time

import pytest

from server.store.between.posted import AGAIN_AFTER_S
from tests.engines import POSTGRES
from tests.postgres_server import shared_server

pytestmark = pytest.mark.parametrize("engine", [POSTGRES], indirect=True)


@pytest.fixture
def halted(client):
    """A browser on an app whose PostgreSQL was stopped; it is started again in the end."""
    server = shared_server()
    server.halt()
    yield client
    server.start()


def test_a_page_says_that_the_database_does_not_answer_and_what_to_do(halted):
    answer = halted.get("/")
    assert answer.status_code == 503
    assert "The database does not answer just now" in answer.text
    assert "look whether PostgreSQL runs" in answer.text


def test_marks_are_refused_as_by_a_dead_network_and_never_as_bad(halted):
    answer = halted.post("/api/runs/r1/events", json={"events": []})
    assert (answer.status_code, answer.json()["error"]["code"]) == (503, "unreachable")


def test_readiness_tells_that_the_database_cannot_be_read(halted):
    halted.cookies.clear()  # Whoever asks is let in nowhere.
    answer = halted.get("/readyz")
    assert answer.status_code == 503
    assert "cannot be read" in answer.json()["database"]


def test_an_outage_is_told_once_by_those_who_listen_to_other_workers(client, caplog):
    server = shared_server()
    for _ in range(2):
        server.halt()
        time.sleep(3 * AGAIN_AFTER_S)
        server.start()
        give_up = time.monotonic() + 30
        while client.get("/").status_code != 200:
            assert time.monotonic() < give_up
        time.sleep(3 * AGAIN_AFTER_S)  # They have found it again.
    told = [each for each in caplog.messages if each.startswith("No notices of other workers")]
    assert [len(each.splitlines()) for each in told] == [1, 1]


def test_all_goes_on_once_the_database_answers_again(client):
    server = shared_server()
    server.halt()
    assert client.get("/").status_code == 503
    server.start()
    assert client.get("/").status_code == 200
    assert client.post("/routines", data={"name": "Evening", "rules": "rules"}).status_code != 503
