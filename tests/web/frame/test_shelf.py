"""The app's own files, answered from memory."""

import pytest
from starlette.applications import Starlette
from starlette.routing import Mount
from starlette.staticfiles import StaticFiles
from starlette.testclient import TestClient

from server.web.frame.layers.shelf import LARGEST_KEPT, Shelf

NAMES = ("one.js", "deep/two.css", "three.webmanifest", "four.woff2", "five.svg", "six.mp3")


@pytest.fixture
def folder(tmp_path):
    for name in NAMES:
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(f"what {name} holds", encoding="utf-8")
    return tmp_path


@pytest.fixture
def plain(folder):
    """Starlette's own way to hand out files."""
    return Starlette(routes=[Mount("/static", StaticFiles(directory=folder))])


@pytest.fixture
def client(plain, folder):
    return TestClient(Shelf(plain, folder))


@pytest.mark.parametrize("name", NAMES)
def test_answers_as_the_plain_way_does(client, plain, name):
    ours, usual = client.get(f"/static/{name}"), TestClient(plain).get(f"/static/{name}")
    assert ours.content == usual.content
    for header in ("content-type", "content-length", "last-modified"):
        assert ours.headers[header] == usual.headers[header]


def test_file_that_the_browser_has_is_not_sent_again(client):
    etag = client.get("/static/one.js").headers["etag"]
    again = client.get("/static/one.js", headers={"if-none-match": etag})
    assert (again.status_code, again.content) == (304, b"")


def test_changed_file_is_read_again(client, folder):
    before = client.get("/static/one.js")
    (folder / "one.js").write_text("something longer than it held", encoding="utf-8")
    after = client.get("/static/one.js", headers={"if-none-match": before.headers["etag"]})
    assert after.text == "something longer than it held"


def test_part_of_a_file_is_sent_as_asked_for(client):
    part = client.get("/static/six.mp3", headers={"range": "bytes=0-3"})
    assert (part.status_code, part.text) == (206, "what")


def test_large_file_is_not_kept_in_memory(client, folder):
    (folder / "large.bin").write_bytes(b"x" * (LARGEST_KEPT + 1))
    assert "accept-ranges" in client.get("/static/large.bin").headers


@pytest.mark.parametrize(
    "path", ["nothing.js", "deep", "", "%2e%2e/secret", "deep/%2e%2e/one.js", "%00"]
)
def test_what_is_no_file_of_the_folder_is_not_handed_out(client, folder, path):
    (folder.parent / "secret").write_text("not for anybody", encoding="utf-8")
    answer = client.get(f"/static/{path}")
    assert "not for anybody" not in answer.text
    assert answer.status_code in (200, 404)


def test_head_tells_without_sending(client):
    answer = client.head("/static/one.js")
    assert (answer.headers["content-length"], answer.content) == ("17", b"")


def test_a_browser_soon_asks_again_whether_a_script_changed(client):
    """An update of the app must not meet the scripts of the version before."""
    kept = {name: client.get(f"/static/{name}").headers["cache-control"] for name in NAMES}
    assert kept["one.js"] == kept["deep/two.css"] == "max-age=60"
    assert kept["four.woff2"] == "max-age=604800"
