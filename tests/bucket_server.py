"""An S3-compatible store of the tests' own, in this process: what the app asks of one, and no more.

Objects are put whole, read in pieces, listed by prefix in pages, and deleted by lists. A request
without the key it was given is refused, as is every one while `is_away`.
"""

import re
from collections.abc import Callable
from contextlib import contextmanager
from email.utils import formatdate
from hashlib import md5
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread
from urllib.parse import parse_qs, unquote, urlsplit
from xml.sax.saxutils import escape

KEY, SECRET = "key-of-the-tests", "secret-of-the-tests"
PAGE = 5
"""Objects of a listing; stores answer with a thousand, and the tests hold fewer."""

ADDRESS = "s3://bar/ninefifty"


class BucketServer:
    """A store with one bucket, `bar`; `objects` are its keys and contents, `asked` what came.

    `meanwhile` is called whenever something is asked, before it is answered.
    """

    def __init__(self) -> None:
        self.objects: dict[str, bytes] = {}
        self.asked: list[tuple[str, str]] = []
        self.is_away = False
        self.meanwhile: Callable[[], object] = lambda: None
        self._http = ThreadingHTTPServer(("127.0.0.1", 0), _handler(self))
        self._http.daemon_threads = True
        Thread(target=self._http.serve_forever, args=(0.01,), daemon=True).start()

    def variables(self) -> dict[str, str]:
        """What a process that is to use it finds in its environment."""
        return {
            "AWS_ENDPOINT_URL": f"http://127.0.0.1:{self._http.server_port}",
            "AWS_ACCESS_KEY_ID": KEY,
            "AWS_SECRET_ACCESS_KEY": SECRET,
        }

    def names(self, kind: str) -> set[str]:
        """The names of the files of a kind of which something is there."""
        found = (re.fullmatch(rf"ninefifty/{kind}/(\w+)/\d+", key) for key in self.objects)
        return {each[1] for each in found if each}

    def content(self, kind: str, name: str) -> bytes:
        """The content of a file as its parts follow on one another."""
        prefix = f"ninefifty/{kind}/{name}/"
        return b"".join(self.objects[key] for key in sorted(self.objects) if key.startswith(prefix))

    def close(self) -> None:
        """Stop it."""
        self._http.shutdown()
        self._http.server_close()


@contextmanager
def bucket_server():
    server = BucketServer()
    try:
        yield server
    finally:
        server.close()


def _handler(server):
    class Handler(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"
        wbufsize = 64 * 1024  # Head and content in one packet: else each waits for the other's.

        def log_message(self, *_):
            pass

        def answer(self, status, content=b"", **headers):
            self.send_response(status)
            for name, value in headers.items():
                self.send_header(name.replace("_", "-"), value)
            self.send_header("Content-Length", str(len(content)))
            self.end_headers()
            self.wfile.write(content)

        def key(self):
            """The key that is asked for; answers and returns None where nothing is to be had."""
            server.asked.append((self.command, self.path))
            server.meanwhile()
            bucket, _, key = unquote(urlsplit(self.path).path).lstrip("/").partition("/")
            if server.is_away or KEY not in self.headers.get("Authorization", ""):
                self.answer(403, b"<Error><Code>AccessDenied</Code></Error>")
            elif bucket != "bar":
                self.answer(404, b"<Error><Code>NoSuchBucket</Code></Error>")
            else:
                return key
            return None

        def body(self):
            return self.rfile.read(int(self.headers.get("Content-Length", 0)))

        def do_PUT(self):
            content, key = self.body(), self.key()
            if key is not None:
                server.objects[key] = content
                self.answer(200, ETag=_tag(content))

        def do_POST(self):
            content, key = self.body().decode(), self.key()
            if key is not None:
                gone = re.findall("<Key>.*?</Key>", content)
                for each in gone:
                    server.objects.pop(each[5:-6], None)
                rows = "".join(f"<Deleted>{each}</Deleted>" for each in gone)
                self.answer(200, f"<DeleteResult>{rows}</DeleteResult>".encode())

        def do_GET(self):
            key = self.key()
            if key is None:
                return
            if not key:
                self.answer(200, _listing(server.objects, parse_qs(urlsplit(self.path).query)))
            elif key not in server.objects:
                self.answer(404, b"<Error><Code>NoSuchKey</Code></Error>")
            else:
                whole = server.objects[key]
                first, last = map(int, re.findall(r"\d+", self.headers["Range"]))
                self.answer(
                    206,
                    whole[first : last + 1],
                    Content_Range=f"bytes {first}-{min(last, len(whole) - 1)}/{len(whole)}",
                    Last_Modified=formatdate(usegmt=True),
                    ETag=_tag(whole),
                )

    return Handler


def _listing(objects, asked):
    prefix, after = (asked.get(name, [""])[0] for name in ("prefix", "continuation-token"))
    keys = sorted(key for key in list(objects) if key.startswith(prefix) and key > after)
    page, more = keys[:PAGE], keys[PAGE:]
    rows = "".join(
        f"<Contents><Key>{escape(key)}</Key><LastModified>2026-01-01T00:00:00.000Z</LastModified>"
        f"<ETag>{_tag(objects[key])}</ETag><Size>{len(objects[key])}</Size></Contents>"
        for key in page
    )
    go_on = f"<NextContinuationToken>{page[-1]}</NextContinuationToken>" if more else ""
    said = f"<IsTruncated>{str(bool(more)).lower()}</IsTruncated>{go_on}{rows}"
    return f"<ListBucketResult>{said}</ListBucketResult>".encode()


def _tag(content):
    return f'"{md5(content, usedforsecurity=False).hexdigest()}"'
