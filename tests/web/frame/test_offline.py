"""The service worker as it is served, and what it is told to keep."""

import json
import re

from server.web.frame import offline
from server.web.frame.offline import STATIC, files, version
from tests.web.html import Page


def test_the_worker_is_asked_for_anew_each_time(client):
    answer = client.get("/sw.js")
    assert answer.headers["content-type"].startswith("text/javascript")
    assert answer.headers["cache-control"] == "no-cache"


def test_it_is_told_all_that_the_stage_page_loads(client):
    told = json.loads(re.search(r"^const FILES = (.*);$", client.get("/sw.js").text, re.M)[1])
    scripts = {
        f"/static/{path.relative_to(STATIC).as_posix()}"
        for room in ("run", "recorder", "stage")
        for path in (STATIC / "js" / room).rglob("*.js")
    }
    assert scripts <= set(told)
    assert any(path.endswith(".woff2") for path in told)
    assert not any(path.endswith("worker.js") for path in told)


def test_it_knows_the_caches_by_the_same_text_as_the_pages_without_being_a_module(client):
    told = client.get("/sw.js").text
    shared = (STATIC / "js/frame/offline/caches.js").read_text("utf-8")
    assert shared.replace("export ", "") in told
    assert not re.search(r"^(import|export) ", told, re.M)


def test_each_file_it_is_told_is_there(client):
    assert {path: client.head(path).status_code for path in files()} == dict.fromkeys(files(), 200)


def test_the_page_without_the_server_knows_that_the_computer_itself_needs_no_https(client):
    told = Page(client.get("/offline")).text("[data-kept-stages]")
    assert told.endswith("over https or, on the computer itself, at localhost.")


def test_a_changed_file_is_another_version(tmp_path, monkeypatch):
    before = version()
    assert version() == before
    changed = tmp_path / "worker.js"
    changed.write_text(offline.WORKER.read_text() + "\n")
    monkeypatch.setattr(offline, "WORKER", changed)
    monkeypatch.setattr(offline, "ROOT", tmp_path)
    assert version() != before


def test_the_manifest_names_icons_that_are_there(client):
    answer = client.get("/static/manifest.webmanifest")
    assert answer.headers["content-type"].startswith("application/manifest+json")
    manifest = answer.json()
    assert (manifest["display"], manifest["start_url"]) == ("standalone", "/")
    sizes = {icon["sizes"]: client.get(icon["src"]) for icon in manifest["icons"]}
    assert {"192x192", "512x512"} <= set(sizes)
    assert {size: picture_size(got.content) for size, got in sizes.items() if size != "any"} == {
        size: size for size in sizes if size != "any"
    }


def picture_size(png):
    """Width and height, from the header of a PNG (ISO/IEC 15948, 11.2.2)."""
    assert png.startswith(b"\x89PNG\r\n\x1a\n")
    width, height = (int.from_bytes(png[at : at + 4]) for at in (16, 20))
    return f"{width}x{height}"
