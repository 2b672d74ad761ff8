"""Whatever is asked of any route, the answer is never a failure of the app (5xx).

Every route gets requests that schemathesis makes up from a seed: ids that are there, ids that are
not, fields that any form reads, with values that people, scripts and broken devices send. One seed
is always the same; with --all comes a new one each time, which stands in the message of a failure.
"""

import random
import re
from pathlib import Path

import httpx2
import hypothesis
import pytest
from hypothesis import HealthCheck, Phase, given, settings

from server.demo import demo_file
from server.settings import ROOT
from tests.factories import NOW_MS
from tests.lent import with_every_room
from tests.web.conftest import ORIGIN

EACH_ROUTE = 1
NEW = random.SystemRandom().randrange(2, 10**6)
FILES = ("/import", "/music/{routine_id}", "/photographs/{routine_id}")
NEVER_ENDING = "/api/runs/{run_id}/live"

FILE = demo_file()
IDS = {
    "routine_id": [FILE.routine.id],
    "run_id": [run.id for run in FILE.runs[:3]],
    "drink_id": [each.id for each in FILE.routine.drinks],
    "ingredient_id": [part.id for each in FILE.routine.drinks for part in each.ingredients],
    "segment_id": [each.id for each in FILE.routine.segments],
    "process_id": [each.id for each in FILE.routine.processes],
    "sheet_id": [FILE.rules.id, "new"],
    "event_id": [event.id for event in FILE.runs[0].events[:5]],
}
STRANGE = ("nobody", "0", "-1", "é", "a" * 300, "%00", "..%2f..", "null", "'\"<>&;--")
VALUES = (
    "", " ", "0", "-1", "1e309", "nan", "1:15", "99999999999999999999", "½", "1,5", "on", "true",
    "null", "[]", "{", "\x00", "😀", "x" * 5000, "1\n2\n3", "<b>", "م", "45 ml",
)  # fmt: skip
JSON = (
    None, True, -1, 2**70, 1.5, "", "x" * 3000, "\u0000", [], {}, [[[]]], {"events": []},
    {"events": [{"id": "x"}]}, {"events": [None]}, {"id": 1, "kind": "sound"},
    {"name": "é", "code": "AAAAAA", "device_id": "t"}, NOW_MS,
)  # fmt: skip
_READ = re.compile(r'(?:typed|form|values)\.\w+\(\s*"(\w+)"|query_params\.get\("(\w+)"')


def field_names():
    """Every name that a form or an address is asked for, anywhere in the web."""
    sources = (path.read_text() for path in Path(ROOT / "server" / "web").rglob("*.py"))
    return sorted(
        {name for text in sources for pair in _READ.findall(text) for name in pair if name}
    )


def a_string(*likely):
    return {"anyOf": [{"enum": list(likely)}, {"type": "string", "maxLength": 40}]}


def fields_of(names, most):
    """An object of some of the fields that are read anywhere, with what may stand in them."""
    known = [each for ids in IDS.values() for each in ids]
    return {
        "type": "object",
        "propertyNames": {"enum": names},
        "additionalProperties": {"enum": [*VALUES, *known]},
        "maxProperties": most,
    }


def described(path, method, names):
    """A route as OpenAPI 3.1 describes one: what stands in its path, its query and its body."""
    parts = re.findall(r"{(\w+)[^}]*}", path)
    known = {part: IDS.get(part, []) for part in parts}
    in_path = [
        {"name": part, "in": "path", "required": True, "schema": a_string(*ids, *STRANGE)}
        for part, ids in known.items()
    ]
    query = {
        "name": "asked", "in": "query", "required": True, "explode": True, "style": "form",
        "schema": fields_of(names, 2),
    }  # fmt: skip
    said = {"parameters": [*in_path, query], "responses": {"200": {"description": "a page"}}}
    if method in ("GET", "HEAD"):
        return said
    kind, body = "application/x-www-form-urlencoded", fields_of(names, 12)
    if path.startswith("/api/"):
        kind, body = "application/json", {"enum": list(JSON)}
    elif path in FILES:
        kind, body = "multipart/form-data", {
            "type": "object", "required": ["file"],
            "properties": {each: {"type": "string", "format": "binary"} for each in ("file", "x")},
        }  # fmt: skip
    return said | {"requestBody": {"required": True, "content": {kind: {"schema": body}}}}


def operations(app):
    """Every route of the app, as schemathesis makes requests to it."""
    # It takes a second to load, and each process of the tests lists this file.
    import schemathesis

    paths, names = {}, field_names()
    for path, method in routes_of(app):
        plain = re.sub(r"{(\w+)[^}]*}", r"{\1}", path)
        paths.setdefault(plain, {})[method.lower()] = described(path, method, names)
    about = {"title": "Ninefifty", "version": "1"}
    schema = schemathesis.openapi.from_dict({"openapi": "3.1.0", "info": about, "paths": paths})
    return [result.ok() for result in schema.get_all_operations()]


def requests_to(operation, seed):
    """Some requests to a route, always the same from one seed."""
    made = []

    @hypothesis.seed(seed)
    @settings(
        max_examples=EACH_ROUTE, phases=[Phase.generate], database=None, deadline=None,
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(case=operation.as_strategy())
    def draw(case):
        made.append(case.as_transport_kwargs(base_url=ORIGIN))

    draw()
    return made


def sent(client, request):
    """The answer to a request; None where no client could send it."""
    kept = ("method", "url", "params", "data", "files", "json")
    asked = {name: request[name] for name in kept if name in request}
    if isinstance(asked.get("data"), bytes | str):
        asked["content"] = asked.pop("data")
    if isinstance(asked.get("files"), list):
        asked["files"] = [(name, _as_text(part)) for name, part in asked["files"]]
    try:
        return client.request(**asked)
    except (httpx2.InvalidURL, UnicodeEncodeError, TypeError, ValueError):
        return None


def _as_text(part):
    """A part of a form; one that is a number is sent as its digits."""
    name, content, *kind = part
    return (name, content if isinstance(content, str | bytes) else str(content), *kind)


def routes_of(app):
    """Path and method of every route; those that delete come last, or little would be left."""
    rooms = with_every_room(app).routes
    routers = (each.original_router for each in rooms if hasattr(each, "original_router"))
    found = {
        (each.path, method)
        for router in routers
        for each in router.routes
        for method in each.methods
    }
    return sorted(found - {(NEVER_ENDING, "GET")}, key=lambda each: ("delete" in each[0], *each))


def test_there_are_routes_and_fields_to_ask(client):
    assert len(routes_of(client.app)) > 100
    assert {"name", "likely", "said", "edit"} <= set(field_names())


@pytest.mark.parametrize(
    "seed",
    [
        pytest.param(1, id="the same"),
        # What a new seed finds is for whoever looks for it, not for whoever changed something else.
        pytest.param(NEW, id="another each time", marks=pytest.mark.thorough),
    ],
)
def test_no_route_fails_at_whatever_it_is_asked(own_demo, seed):
    failed, answered = [], 0
    asked = operations(own_demo.app)
    for operation in asked:
        for request in requests_to(operation, seed):
            answer = sent(own_demo, request)
            answered += answer is not None
            if answer is not None and answer.status_code >= 500:
                failed.append((operation.label, request))
    assert failed == [], f"seed {seed}"
    assert answered > len(asked) / 2
