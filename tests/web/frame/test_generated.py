"""Whatever is asked of any route, the answer is never a failure of the app (5xx).

Every route gets requests made up from a seed: ids that are there, ids that are not, every field
that any form reads, with values that people, scripts and broken devices send. One seed is always
the same; the other is new each time and stands in the name of what fails.
"""

import json
import random
import re
from dataclasses import dataclass
from pathlib import Path

import pytest

from server.demo import demo_file
from server.settings import ROOT
from tests.factories import NOW_MS

EACH_ROUTE = 1
SEEDS = (1, random.SystemRandom().randrange(2, 10**6))
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


@dataclass
class Requests:
    """Requests drawn from a seed."""

    dice: random.Random
    names: list[str]

    def to(self, client, path, method):
        """Send a request to a route and return its answer."""
        address = re.sub(r"{(\w+)[^}]*}", lambda found: self._id(found[1]), path)
        query = self._fields(2)
        if method in ("GET", "HEAD"):
            return client.request(method, address, params=query)
        if path.startswith("/api/"):
            body = json.dumps(self.dice.choice(JSON)).encode()
            cut = body[: self.dice.choice((len(body), len(body), 3))]
            return client.request(method, address, content=cut)
        if path == "/import" or self.dice.random() < 0.1:
            content = self.dice.choice(VALUES).encode() + b"{}"
            files = {self.dice.choice(("file", "music", "x")): ("a", content, "text/plain")}
            return client.post(address, files=files)
        return client.post(address, params=self._fields(1), data=self._fields(12))

    def _id(self, name):
        if self.dice.random() < 0.7 and name in IDS:
            return self.dice.choice(IDS[name])
        return self.dice.choice(STRANGE)

    def _fields(self, most):
        chosen = self.dice.sample(self.names, self.dice.randint(0, most))
        return {name: self._value() for name in chosen}

    def _value(self):
        known = [each for ids in IDS.values() for each in ids]
        return self.dice.choice(known) if self.dice.random() < 0.3 else self.dice.choice(VALUES)


def routes_of(app):
    """Path and method of every route; those that delete come last, or little would be left."""
    routers = (each.original_router for each in app.routes if hasattr(each, "original_router"))
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


@pytest.mark.parametrize("seed", SEEDS)
def test_no_route_fails_at_whatever_it_is_asked(own_demo, seed):
    requests = Requests(random.Random(seed), field_names())
    failed = []
    for path, method in routes_of(own_demo.app):
        for _ in range(EACH_ROUTE):
            answer = requests.to(own_demo, path, method)
            if answer.status_code >= 500:
                failed.append((method, str(answer.request.url), answer.request.content[:300]))
    assert failed == [], f"seed {seed}"
