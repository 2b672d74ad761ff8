"""The table of rooms against the rooms: no route that would not be found, no room left out."""

import subprocess
import sys
from importlib import import_module
from pathlib import Path

from server.rooms import ROOMS
from server.settings import ROOT
from server.web import __path__ as web
from tests.lent import is_loaded_for

WEB = Path(web[0])


def test_every_module_with_routes_stands_in_the_table_once():
    with_routes = sorted(
        "server.web." + ".".join(path.relative_to(WEB).with_suffix("").parts)
        for path in WEB.rglob("*.py")
        if "\nrouter = APIRouter(" in path.read_text()
    )
    assert sorted(room.module for room in ROOMS) == with_routes


def test_every_route_stands_at_an_address_of_its_room():
    missed = [
        f"{room.module}: {route.path}"
        for room in ROOMS
        for route in import_module(room.module).router.routes
        if not is_loaded_for(room, route.path)
    ]
    assert missed == []


def test_no_address_stands_in_the_table_without_a_route():
    idle = []
    for room in ROOMS:
        paths = [route.path for route in import_module(room.module).router.routes]
        for address in room.addresses:
            alone = type(room)(room.module, (address,))
            if not any(is_loaded_for(alone, path) for path in paths):
                idle.append(f"{room.module}: {address}")
    assert idle == []


def test_the_stage_opens_without_the_routes_of_any_other_room():
    # It may be the first page after a start, and whoever opens it waits for what it loads.
    asked = "import sys, server.app, server.web.stage.pages; print(*sys.modules)"
    loaded = subprocess.run(
        [sys.executable, "-c", asked], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.split()
    assert {room.module for room in ROOMS} & set(loaded) == {"server.web.stage.pages"}
