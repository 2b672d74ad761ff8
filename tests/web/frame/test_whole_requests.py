"""No page is asked before its request is here, so no network can keep others from writing."""

import asyncio
import re

import pytest

from tests.lent import addresses
from tests.table import table
from tests.web.conftest import app_in

TAKES_FILES = ("/import", "/music/")
FORM = ("application/x-www-form-urlencoded", b"name=Half")
FILE = (
    "multipart/form-data; boundary=b",
    b'--b\r\nContent-Disposition: form-data; name="file"; filename="f"\r\n\r\nHalf',
)


def posted_to():
    """Method and path of every address that takes something in."""
    return [pair for pair in addresses() if pair[0] not in ("GET", "HEAD", "OPTIONS")]


@pytest.fixture(scope="module")
def running(tmp_path_factory):
    with app_in(tmp_path_factory.mktemp("whole")) as client:
        yield client


def stalled(client, method, path, kind, half):
    """What is answered to half a request, and whether the writer is free while the rest is away."""
    scope = {
        "type": "http", "method": method, "path": path, "raw_path": path.encode(),
        "query_string": b"", "scheme": "http", "server": ("tablet.lan", 80), "client": None,
        "http_version": "1.1", "root_path": "",
        "headers": [
            (b"host", b"tablet.lan"), (b"origin", b"http://tablet.lan"),
            (b"content-type", kind.encode()), (b"content-length", b"900"),
        ],
    }  # fmt: skip

    async def ask():
        halves, is_stalled, answers = [half], asyncio.Event(), []

        async def receive():
            if halves:
                return {"type": "http.request", "body": halves.pop(), "more_body": True}
            is_stalled.set()
            return await asyncio.Future()

        async def send(message):
            answers.append(message)
            is_stalled.set()

        asking = asyncio.ensure_future(client.app(scope, receive, send))
        await is_stalled.wait()
        is_free = await comes_free(client.app.state.database._write_lock)
        asking.cancel()
        await asyncio.gather(asking, return_exceptions=True)
        return answers, is_free

    return client.portal.call(ask)


async def comes_free(lock):
    """Whether a lock is let go of while the request still stalls: others may write for a moment."""
    for _ in range(100):
        if not lock.locked():
            return True
        await asyncio.sleep(0.1)
    return False


@table("method, path", posted_to())
def test_half_a_request_keeps_nobody_from_writing(running, method, path):
    takes_file = path.startswith(TAKES_FILES)
    address = re.sub(r"\{.*?\}", "0", path)
    answers, is_free = stalled(running, method, address, *(FILE if takes_file else FORM))
    assert is_free
    assert takes_file or answers == []
