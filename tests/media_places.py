"""Where the tests keep uploaded files: in a folder, or in a bucket of `bucket_server`.

What holds for both is tested on both; what is spoilt on the way is spoilt here in the way of each.
"""

import os

import pytest

from server.store.uploads.media import MediaFolder
from server.store.uploads.media_place import place_at
from tests.bucket_server import ADDRESS, bucket_server

on_both_places = pytest.mark.parametrize("lies_in", ["folder", "bucket"], indirect=True)


@pytest.fixture
def lies_in(request):
    """Where files lie: usually in a folder."""
    return getattr(request, "param", "folder")


@pytest.fixture
def bucket(monkeypatch):
    """A store of the test's own, with its keys in the environment."""
    with bucket_server() as server:
        for name, value in server.variables().items():
            monkeypatch.setenv(name, value)
        yield server


@pytest.fixture
def place_of(request, lies_in, tmp_path):
    """Makes the place for the files of a kind, wherever this test keeps them."""
    address = ADDRESS if lies_in == "bucket" and request.getfixturevalue("bucket") else ""
    return lambda kind: place_at(address, tmp_path / kind)


def content_of(place, name):
    with place.at_hand(name) as path:
        return path.read_bytes()


def lay_behind(place, name, content):
    """What a worker leaves that was killed before the database counted what it had put."""
    place.append(name, place.size(name), content)


@pytest.fixture
def keep_only(request, lies_in):
    """Loses what lies behind the first bytes of a file; None for all of it."""
    server = request.getfixturevalue("bucket") if lies_in == "bucket" else None

    def cut(place, name, kept_bytes):
        if isinstance(place, MediaFolder):
            path = place.path(name)
            path.unlink() if kept_bytes is None else os.truncate(path, kept_bytes)
            return
        for key in [key for key in server.objects if f"/{name}/" in key]:
            left = max((kept_bytes or 0) - int(key.rpartition("/")[2]), 0)
            server.objects[key] = server.objects[key][:left]
            if not left:
                del server.objects[key]

    return cut
