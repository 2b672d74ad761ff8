"""How the app looks to somebody who runs the server."""

import json
import logging
from dataclasses import replace

import pytest
from fastapi.testclient import TestClient
from prometheus_client.parser import text_string_to_metric_families

from server.app import create_app
from server.logs import JsonLines, TextLines, begin_request
from server.settings import Settings
from server.web.frame import health


@pytest.fixture
def settings(tmp_path):
    return Settings(data_dir=tmp_path, demo=False)


@pytest.fixture
def counted(settings):
    with TestClient(create_app(replace(settings, metrics=True)), "http://localhost") as client:
        yield client


def sample(client, name, **labels):
    families = text_string_to_metric_families(client.get("/metrics").text)
    samples = (each for family in families for each in family.samples)
    return sum(
        each.value
        for each in samples
        if each.name == name and labels.items() <= each.labels.items()
    )


def test_a_server_that_can_serve_says_so_point_by_point(counted):
    answer = counted.get("/readyz")
    assert (answer.status_code, answer.json()) == (200, {"database": "ok", "disk": "ok"})


def test_a_server_whose_disk_is_full_is_not_ready(counted, monkeypatch):
    monkeypatch.setattr(health, "LEAST_FREE_BYTES", 2**80)
    answer = counted.get("/readyz")
    assert answer.status_code == 503
    assert answer.json()["disk"].endswith("MB left")


def test_a_server_without_its_tables_is_not_ready_but_alive(counted):
    with counted.app.state.database.writing() as session:
        session.connection().exec_driver_sql("DROP TABLE alembic_version")
    assert counted.get("/readyz").status_code == 503
    assert counted.get("/healthz").text == "ok"


def test_answers_are_counted_by_the_pattern_of_their_address(counted):
    for name in ("one", "two"):
        counted.get(f"/routines/{name}")
    asked = {"route": "/routines/{routine_id}", "method": "GET"}
    assert sample(counted, "ninefifty_requests_total", **asked) == 2
    assert sample(counted, "ninefifty_request_seconds_count", **asked) == 2


def test_an_address_that_is_made_up_makes_no_label(counted):
    counted.get("/made-up")
    text = counted.get("/metrics").text
    assert "made-up" not in text
    assert sample(counted, "ninefifty_requests_total", route="(none)", status="404") == 1


def test_sizes_are_told(counted):
    assert sample(counted, "ninefifty_database_bytes") > 0
    assert sample(counted, "ninefifty_disk_free_bytes") > 0
    assert sample(counted, "ninefifty_followers") == 0


def test_nothing_is_told_unless_it_is_switched_on(settings):
    with TestClient(create_app(settings), "http://localhost") as client:
        answer = client.get("/metrics")
    assert answer.status_code == 404
    assert "NINEFIFTY_METRICS" in answer.text


def test_a_request_keeps_the_name_that_a_proxy_gave_it(counted):
    named = counted.get("/healthz", headers={"X-Request-ID": "proxy-7"})
    assert named.headers["x-request-id"] == "proxy-7"


@pytest.mark.parametrize("given", ["", "a b", "x" * 65, 'a"b'])
def test_a_name_that_would_spoil_the_log_is_replaced(counted, given):
    named = counted.get("/healthz", headers={"X-Request-ID": given})
    assert named.headers["x-request-id"] not in ("", given)


def record(error=None):
    told = (type(error), error, None) if error else None
    return logging.LogRecord("server.x", logging.ERROR, "x.py", 1, "it %s", ("broke",), told)


def test_the_log_for_a_collector_is_one_object_a_line():
    begin_request("r-1")
    line = JsonLines().format(record(ValueError("why\nnot")))
    assert "\n" not in line
    told = json.loads(line)
    assert (told["message"], told["request"], told["level"]) == ("it broke", "r-1", "error")
    assert told["error"].endswith("not")


def test_the_log_for_people_ends_with_the_request():
    begin_request("r-1")
    assert TextLines().format(record()) == "ERROR server.x: it broke [r-1]"
