"""The real server and other sides that fall silent, over plain sockets. Patience is short here."""

import contextlib
import json
import resource
import select
import socket
import threading
from dataclasses import replace
from http.client import HTTPResponse

import pytest
from fastapi import Response

from server.app import create_app
from server.app_server import server_of
from server.domain.runs.events import event_document
from server.patience import Patience, raise_limit_of_files
from server.settings import Settings
from server.store.routines import create_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import create_run, load_run
from tests import asking
from tests.factories import NOW_MS, RULES, make_event, make_routine

SHORT = Patience(request_s=0.4, answer_s=0.4, bytes_per_s=4096)
NEVER = Patience(request_s=3600, answer_s=3600)
GIVE_UP_S = 30
"""How long a test waits for what is to happen; when it does, the wait is over."""


@contextlib.contextmanager
def serving(folder, patience):
    """The app served on a port of its own, in a thread."""
    app = create_app(Settings(data_dir=folder, demo=False))
    started = threading.Event()
    server = server_of(app, Settings(data_dir=folder), patience=patience)
    server.say = lambda *_: started.set()
    with socket.create_server(("127.0.0.1", 0)) as listener:
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]})
        thread.start()
        try:
            assert started.wait(GIVE_UP_S)
            yield app, listener.getsockname()[1]
        finally:
            server.should_exit = True
            thread.join()


@pytest.fixture
def short(tmp_path):
    with serving(tmp_path, SHORT) as (_, port):
        yield port


def connected(port):
    connection = socket.create_connection(("127.0.0.1", port), timeout=GIVE_UP_S)
    return contextlib.closing(connection)


def until_closed(connection):
    """All that is still answered before the server ends the connection."""
    pieces = []
    with contextlib.suppress(ConnectionResetError):
        while piece := connection.recv(65536):
            pieces.append(piece)
    return b"".join(pieces)


def healthy(connection):
    """Whether the server answers on a connection, the whole of it read."""
    connection.sendall(b"GET /healthz HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
    answer = HTTPResponse(connection)
    answer.begin()
    answer.read()
    return answer.status == 200


def head(method, path, length=0, more=""):
    return (
        f"{method} {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nOrigin: http://127.0.0.1\r\n"
        f"Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {length}\r\n{more}\r\n"
    ).encode()


def kept_run(app):
    with app.state.database.writing() as session:
        save_rule_sheet(session, RULES)
        create_routine(session, make_routine(), NOW_MS)
        return create_run(session, make_routine(), RULES, NOW_MS)


def test_a_mark_is_stored_while_the_body_of_another_stands_still(tmp_path):
    with serving(tmp_path, NEVER) as (app, port):
        run_id = kept_run(app)
        path = f"/api/runs/{run_id}/events"
        with connected(port) as stalled:
            stalled.sendall(head("POST", path, 1000) + b'{"events":')
            batch = json.dumps({"events": [event_document(make_event("e1", "start"))]})
            url = f"http://127.0.0.1:{port}"
            answer = asking.post(url + path, content=batch, headers={"Origin": url})
            assert answer.status_code == 200
        with app.state.database.reading() as session:
            assert [event.id for event in load_run(session, run_id).record.events] == ["e1"]


@pytest.mark.parametrize(
    "begun",
    [head("POST", "/routines", 100)[:40], head("POST", "/routines", 100) + b"name=Half"],
    ids=["head", "body"],
)
def test_a_request_that_stands_still_is_told_so_and_closed(short, begun):
    with connected(short) as connection:
        connection.sendall(begun)
        assert until_closed(connection).startswith(b"HTTP/1.1 408 ")


def test_a_head_that_trickles_is_closed_all_the_same(short):
    with connected(short) as connection:
        connection.settimeout(0.02)
        connection.sendall(b"GET / HTTP/1.1\r\nX: ")
        for _ in range(GIVE_UP_S * 50):
            with contextlib.suppress(TimeoutError):
                assert connection.recv(65536)[:12] in (b"HTTP/1.1 408", b"")
                return
            connection.sendall(b"x")
        pytest.fail("It was waited for to the end.")


@pytest.mark.parametrize(
    "piece",
    [b"X: " + b"a" * 65536, b"X: a\r\n" * 8192],
    ids=["one long line", "many lines"],
)
def test_a_head_without_an_end_is_not_held_in_memory(tmp_path, piece):
    with serving(tmp_path, NEVER) as (_, port), connected(port) as connection:
        connection.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n")
        with contextlib.suppress(ConnectionError):
            for _ in range(2000):
                connection.sendall(piece)
            pytest.fail("All of it was taken.")


def test_what_ends_a_body_is_not_held_in_memory_either(tmp_path):
    start = head("POST", "/routines").replace(b"Content-Length: 0", b"Transfer-Encoding: chunked")
    with serving(tmp_path, NEVER) as (_, port), connected(port) as connection:
        connection.sendall(start + b"4\r\nname\r\n0\r\n")
        with contextlib.suppress(ConnectionError):
            for _ in range(2000):
                connection.sendall(b"X: " + b"a" * 65536)
            pytest.fail("All of it was taken.")


def test_one_address_that_holds_every_place_keeps_nobody_out(tmp_path):
    few = replace(NEVER, connections=5)
    with serving(tmp_path, few) as (_, port), contextlib.ExitStack() as held:
        first = held.enter_context(connected(port))
        first.sendall(b"GET / HTTP/1.1\r\nX: ")
        with connected(port) as second:
            assert healthy(second)
        # The clock by which the server tells who was first counts milliseconds.
        threading.Event().wait(0.01)
        crowd = [held.enter_context(connected(port)) for _ in range(20)]
        for each in crowd:
            each.sendall(b"GET / HTTP/1.1\r\nX: ")
        other = ("127.0.0.2", 0)
        with socket.create_connection(("127.0.0.1", port), GIVE_UP_S, other) as asking:
            assert healthy(asking)
            held.enter_context(connected(port))
            assert healthy(asking)
        # The first gave up its place, and of the crowd, who came at once, as many as there were.
        assert until_closed(first) == b""
        left = set(crowd)
        while len(left) > few.connections:
            gone = select.select(left, [], [], GIVE_UP_S)[0]
            assert gone, f"{len(left)} of the crowd hold a place"
            assert {until_closed(each) for each in gone} == {b""}
            left.difference_update(gone)


def test_the_limit_of_open_files_is_raised_as_far_as_it_may(monkeypatch):
    kept = []
    monkeypatch.setattr(resource, "setrlimit", lambda _, limits: kept.append(limits))
    for soft, hard in ((256, resource.RLIM_INFINITY), (1024, 1200), (20_000, 20_000)):
        monkeypatch.setattr(resource, "getrlimit", lambda _, limits=(soft, hard): limits)
        raise_limit_of_files(Patience(connections=1000))
    assert kept == [(1500, resource.RLIM_INFINITY), (1200, 1200)]


def test_a_connection_without_a_request_is_closed_without_a_word(short):
    with connected(short) as connection:
        assert until_closed(connection) == b""


def test_a_body_that_keeps_coming_is_waited_for(tmp_path):
    # Each byte buys a second, so that a busy machine does not make it late.
    with (
        serving(tmp_path, replace(SHORT, bytes_per_s=1)) as (_, port),
        connected(port) as connection,
    ):
        connection.sendall(head("POST", "/routines", 150))
        for _ in range(150):
            threading.Event().wait(0.005)
            connection.sendall(b"x")
        assert connection.recv(12) == b"HTTP/1.1 422"


def test_one_who_takes_no_answer_is_let_go(tmp_path):
    with serving(tmp_path, SHORT) as (app, port), connected(port) as connection:
        app.add_api_route("/large", lambda: Response(bytes(64 * 1024 * 1024)))
        connection.sendall(head("GET", "/large"))
        ended = select.poll()
        ended.register(connection, 0)  # Nothing is read; it only waits for the end.
        assert ended.poll(GIVE_UP_S * 1000)


def test_one_who_takes_the_answer_slowly_gets_it_all(tmp_path):
    with serving(tmp_path, SHORT) as (app, port), connected(port) as connection:
        app.add_api_route("/large", lambda: Response(bytes(16 * 1024 * 1024)))
        connection.sendall(head("GET", "/large", more="Connection: close\r\n"))
        taken = 0
        while piece := connection.recv(256 * 1024):
            taken += len(piece)
            threading.Event().wait(0.02)
        assert taken > 16 * 1024 * 1024


def test_a_failure_closes_its_connection(tmp_path):
    with serving(tmp_path, NEVER) as (app, port), connected(port) as connection:
        app.add_api_route("/fails", lambda: 1 // 0)
        connection.sendall(head("GET", "/fails"))
        answer = until_closed(connection)
        assert answer.startswith(b"HTTP/1.1 500 ")
        assert b"The app failed at this" in answer
